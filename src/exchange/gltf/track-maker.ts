import type { Curve } from '../../curves/curve.js';
import { createSampler } from '../../curves/sampler.js';
import type { Channels } from '../../gait/walk.js';
import type { MotionDocument } from '../document.js';
import type { Triple, Turn } from '../figure/turns.js';
import { type HermiteTrack, refitHermite, type VectorFunction } from './refit-hermite.js';

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

/** Makes the tracks of a document's nodes and keeps them. */
export class TrackMaker {
  readonly tracks: NodeTrack[] = [];
  /** Speed in m/s that is taken off what travels, so that it stays where it stands. */
  private readonly away: number;

  constructor(
    private readonly document: MotionDocument,
    spot: boolean,
    private readonly tolerance: TrackTolerance,
  ) {
    const { root, span } = document;
    this.away = spot ? (root.forward.gain ?? 0) / span.duration : 0;
  }

  /** A place in the world by its three curves. */
  place(node: string, curves: Channels<Curve>): void {
    const own = ORDER.map((channel) => curves[channel]);
    const sampler = createSampler(own);
    const jets = new Float64Array(9);
    this.add(node, 'translation', own, 3, (time, out, side) => {
      sampler.sampleJets(time + (side ?? 0) * BESIDE, jets);
      for (let k = 0; k < 3; k++) {
        out[k] = jets[3 * k];
        out[3 + k] = jets[3 * k + 1];
      }
      out[2] -= this.away * (time - this.document.span.start);
      out[5] -= this.away;
    });
  }

  /** A displacement along axes by a curve each; an axis without one stays at 0. */
  shift(node: string, curves: Partial<Channels<Curve>>): void {
    const channels = ORDER.filter((channel) => curves[channel]);
    const own = channels.map((channel) => curves[channel] as Curve);
    const sampler = createSampler(own);
    const jets = new Float64Array(9);
    this.add(node, 'translation', own, 3, (time, out, side) => {
      sampler.sampleJets(time + (side ?? 0) * BESIDE, jets);
      out.fill(0);
      channels.forEach((channel, k) => {
        out[AXIS_OF[channel]] = jets[3 * k];
        out[3 + AXIS_OF[channel]] = jets[3 * k + 1];
      });
    });
  }

  /** A turn about an axis by a curve in rad. */
  turn(node: string, curve: Curve, axis: 0 | 1 | 2, sign: 1 | -1): void {
    const sampler = createSampler(curve);
    const jet = new Float64Array(3);
    this.add(node, 'rotation', [curve], 4, (time, out, side) => {
      sampler.sampleJets(time + (side ?? 0) * BESIDE, jet);
      const half = (sign * jet[0]) / 2;
      const rate = (sign * jet[1]) / 2;
      out.fill(0);
      out[axis] = Math.sin(half);
      out[3] = Math.cos(half);
      out[4 + axis] = rate * Math.cos(half);
      out[7] = -rate * Math.sin(half);
    });
  }

  /** A turn that is solved from curves. */
  rotation(node: string, curves: readonly Curve[], turn: (time: number) => Turn): void {
    this.add(node, 'rotation', curves, 4, withSlopes(turn, 4));
  }

  /** A place within a node's parent that is solved from curves; `travels` where it is in the world. */
  solved(node: string, curves: readonly Curve[], place: (time: number) => Triple, travels = false): void {
    const away = travels ? this.away : 0;
    const inOrder = (time: number): number[] => {
      const [forward, height, side] = place(time);
      return [side, height, forward - away * (time - this.document.span.start)];
    };
    this.add(node, 'translation', curves, 3, withSlopes(inOrder, 3));
  }

  private add(
    node: string,
    path: TrackPath,
    curves: readonly Curve[],
    size: number,
    fn: VectorFunction,
  ): void {
    const { span } = this.document;
    const knots = knotsOf(curves, this.document);
    const fitted = refitHermite(fn, { size, knots, tolerance: this.tolerance[path] });
    const track = { ...fitted, times: fitted.times.map((time) => time - span.start) };
    this.tracks.push({ node, path, track });
  }
}

/** A function with slopes by differences of second order, central or to one side. */
function withSlopes(fn: (time: number) => readonly number[], size: number): VectorFunction {
  return (time, out, side) => {
    const at = fn(time);
    for (let k = 0; k < size; k++) out[k] = at[k];
    if (side === undefined) return;
    const near = fn(time + (side || 1) * STEP);
    const far = fn(time + (side === 0 ? -1 : 2 * side) * STEP);
    for (let k = 0; k < size; k++) {
      out[size + k] =
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
