import type { Curve } from '../../curves/curve.js';
import { createSampler } from '../../curves/sampler.js';
import type { Channels, Side } from '../../gait/walk.js';
import type { MotionDocument } from '../document.js';
import { type Figure, makeFigure } from '../figure/pose-figure.js';
import { type HermiteTrack, refitHermite, type VectorFunction } from './refit-hermite.js';
import { type Turn, turnLimb, turnWithin } from './turns.js';

/** What a track moves. */
export type TrackPath = 'translation' | 'rotation';

/** One animated property of a node. Times from the start of the span, in s. */
export interface NodeTrack {
  readonly node: string;
  readonly path: TrackPath;
  readonly track: HermiteTrack;
}

/** Asked-for errors: m for places, components of unit quaternions for turns. */
export interface TrackTolerance {
  readonly translation: number;
  readonly rotation: number;
}

/** Step in s for slopes of what is solved and has no formula for them. */
const STEP = 1e-5;

/** How far in s a curve is looked at beside its knots, where its slope may jump. */
const BESIDE = 1e-9;

/** glTF's axes are settled by its standard: x to the left, y up, z the way a figure faces. */
const ORDER = ['side', 'height', 'forward'] as const;

/** Axis of glTF that a channel runs along. */
export const AXIS_OF = { side: 0, height: 1, forward: 2 } as const;

/** Every animated property of the preview, by node. */
export function motionTracks(
  document: MotionDocument,
  spot: boolean,
  tolerance: TrackTolerance,
): { readonly tracks: readonly NodeTrack[]; readonly figure: Figure } {
  const { root, feet, followers, span } = document;
  const away = spot ? (root.forward.gain ?? 0) / span.duration : 0;
  const figure = makeFigure(document);
  const tracks: NodeTrack[] = [];
  const add = (node: string, path: TrackPath, curves: readonly Curve[], size: number, fn: VectorFunction) => {
    const knots = knotsOf(curves, document);
    const fitted = refitHermite(fn, { size, knots, tolerance: tolerance[path] });
    const track = { ...fitted, times: fitted.times.map((time) => time - span.start) };
    tracks.push({ node, path, track });
  };
  const addPlace = (node: string, curves: Channels<Curve>): void => {
    const sampler = createSampler(ORDER.map((channel) => curves[channel]));
    const jets = new Float64Array(9);
    add(
      node,
      'translation',
      ORDER.map((channel) => curves[channel]),
      3,
      (time, out, side) => {
        sampler.sampleJets(time + (side ?? 0) * BESIDE, jets);
        for (let k = 0; k < 3; k++) {
          out[k] = jets[3 * k];
          out[3 + k] = jets[3 * k + 1];
        }
        out[2] -= away * (time - span.start);
        out[5] -= away;
      },
    );
  };
  const addTurn = (node: string, curve: Curve, axis: 0 | 1 | 2, sign: 1 | -1): void => {
    const sampler = createSampler(curve);
    const jet = new Float64Array(3);
    add(node, 'rotation', [curve], 4, (time, out, side) => {
      sampler.sampleJets(time + (side ?? 0) * BESIDE, jet);
      const half = (sign * jet[0]) / 2;
      const rate = (sign * jet[1]) / 2;
      out.fill(0);
      out[axis] = Math.sin(half);
      out[3] = Math.cos(half);
      out[4 + axis] = rate * Math.cos(half);
      out[7] = -rate * Math.sin(half);
    });
  };
  addPlace('Root', root);
  for (const side of ['left', 'right'] as const) {
    const name = side === 'left' ? 'Left' : 'Right';
    addPlace(`${name}Foot`, feet[side]);
    addTurn(`${name}Foot`, feet[side].pitch, 0, 1);
    addTurn(`${name}Toes`, feet[side].toeBend, 0, -1);
    const curves = [
      root.height,
      root.forward,
      root.side,
      feet[side].height,
      feet[side].forward,
      feet[side].pitch,
    ];
    for (const limb of ['Thigh', 'Shin', 'UpperArm', 'LowerArm'] as const) {
      const turn = (time: number): Turn => limbTurn(figure, side, limb, time);
      add(`${name}${limb}`, 'rotation', curves, 4, withSlopes(turn));
    }
  }
  followers.forEach(({ curve, unit, channel }, i) => {
    const axis = AXIS_OF[channel];
    if (unit === 'rad') addTurn(`Part${i}`, curve, axis, 1);
    else {
      const sampler = createSampler(curve);
      const jet = new Float64Array(3);
      add(`Part${i}`, 'translation', [curve], 3, (time, out, side) => {
        sampler.sampleJets(time + (side ?? 0) * BESIDE, jet);
        out.fill(0);
        out[axis] = jet[0];
        out[3 + axis] = jet[1];
      });
    }
  });
  return { tracks, figure };
}

function limbTurn(
  figure: Figure,
  side: Side,
  limb: 'Thigh' | 'Shin' | 'UpperArm' | 'LowerArm',
  time: number,
): Turn {
  const { legs, arms } = figure.at(time);
  const { hip, knee, ankle } = legs[side];
  const { shoulder, elbow, hand } = arms[side];
  switch (limb) {
    case 'Thigh':
      return turnLimb(hip, knee);
    case 'Shin':
      return turnWithin(turnLimb(hip, knee), turnLimb(knee, ankle));
    case 'UpperArm':
      return turnLimb(shoulder, elbow);
    case 'LowerArm':
      return turnWithin(turnLimb(shoulder, elbow), turnLimb(elbow, hand));
  }
}

/** A turn with slopes by differences of second order, central or to one side. */
function withSlopes(turn: (time: number) => Turn): VectorFunction {
  return (time, out, side) => {
    const at = turn(time);
    for (let k = 0; k < 4; k++) out[k] = at[k];
    if (side === undefined) return;
    const near = turn(time + (side || 1) * STEP);
    const far = turn(time + (side === 0 ? -1 : 2 * side) * STEP);
    for (let k = 0; k < 4; k++) {
      out[4 + k] =
        side === 0
          ? (near[k] - far[k]) / (2 * STEP)
          : (side * (4 * near[k] - 3 * at[k] - far[k])) / (2 * STEP);
    }
  };
}

/** Every time within the span at which one of the curves has a key, with the span's ends. */
function knotsOf(curves: readonly Curve[], { span }: MotionDocument): number[] {
  const [from, to] = [span.start, span.start + span.duration];
  const times = curves.flatMap(({ keys, period }) =>
    keys.map(({ time }) => (period === undefined ? time : from + positive(time - from, period))),
  );
  const near = 1e-7 * span.duration;
  const inside = times.filter((time) => time > from + near && time < to - near).sort((a, b) => a - b);
  return [from, ...inside.filter((time, i) => i === 0 || time - inside[i - 1] > near), to];
}

function positive(x: number, period: number): number {
  return x - Math.floor(x / period) * period;
}
