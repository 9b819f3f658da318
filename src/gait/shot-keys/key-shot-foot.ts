import type { Curve } from '../../curves/curve.js';
import type { FootTrack } from '../feet/foot-tracks.js';
import type { Shot } from '../shot/shot.js';
import type { Side } from '../walk.js';
import { openCurve } from './hermite-keys.js';
import { readCurves } from './read-curves.js';
import {
  type FootPiece,
  SHOT_FOOT_CHANNELS,
  SHOT_FOOT_NUMBERS,
  type ShotFoot,
  shotFootPath,
} from './shot-foot-path.js';
import type { FootStances } from './stance-times.js';

/** How closely the keys have to hold the path, in m: through the air, and planted. */
export interface FootBounds {
  readonly path: number;
  readonly slip: number;
}

/** A foot of a shot as curves. */
export type ShotFootCurves = Record<keyof typeof SHOT_FOOT_CHANNELS, Curve>;

const { forward, side, height, pitch, toeBend, heading } = SHOT_FOOT_CHANNELS;
const CHANNELS = [forward, side, height, pitch, toeBend, heading];

/** What is aimed at, over what is asked for: room for what lies between the points that are looked at. */
const AIM = 0.8;

/** Points at which a segment is looked at while it is chosen. */
const LOOKS = 10;

/** Points a frame at which the curves are measured, or so many a stance and a swing off the frames. */
const MEASURED = { frame: 5, part: 48 } as const;

/** Parts that a stance or a swing off the frames may be cut into, at most, as a power of two. */
const DEEPEST = 6;

/** How often at most a foot is made to land flatter. */
const MOST_FLATTENING = 8;

/** A row of keys: a time and all channels with two derivatives there. */
interface Row {
  readonly time: number;
  readonly jet: Float64Array;
}

/** Keys one foot of a shot on its stances' times. */
export function keyShotFoot(
  shot: Shot,
  side: Side,
  { times, onFrames }: FootStances,
  bounds: FootBounds,
  range: { readonly fps?: number; readonly end: number },
): { readonly curves: ShotFootCurves; readonly error: FootTrack['error']; readonly foot: ShotFoot } {
  const aim = { path: AIM * bounds.path, slip: AIM * bounds.slip };
  const step = onFrames && range.fps !== undefined ? 1 / range.fps : undefined;
  const scales = times.map(() => 1);
  let foot = shotFootPath(shot, side, times, scales);
  const slips = (piece: FootPiece): number => slipAtLanding(foot, piece, aim.slip, step);
  for (let round = 0; round < MOST_FLATTENING; round++) {
    let flatter = false;
    for (const [i, piece] of foot.pieces.entries()) {
      const slip = piece.strike === 0 ? 0 : slips(piece);
      if (slip <= aim.slip) continue;
      // What the heel slips by grows about as the square of the angle that it rolls through.
      scales[i] *= Math.min(0.9, AIM * Math.sqrt(aim.slip / slip));
      flatter = true;
    }
    if (!flatter) break;
    foot = shotFootPath(shot, side, times, scales);
  }
  const rows = rowsOf(foot, aim, step, range.end);
  const curve = (channel: number): Curve =>
    openCurve(rows.map(({ time, jet }) => [time, jet[channel], jet[channel + 1]] as const));
  const curves = {
    forward: curve(forward),
    side: curve(SHOT_FOOT_CHANNELS.side),
    height: curve(height),
    pitch: curve(pitch),
    toeBend: curve(toeBend),
    heading: curve(heading),
  };
  return { curves, error: measure(foot, curves, step, range.end), foot };
}

function rowAt(piece: FootPiece, time: number): Row {
  const jet = new Float64Array(SHOT_FOOT_NUMBERS);
  piece.write(time, jet);
  return { time, jet };
}

/** Rows at all events from 0 to the end, and between them where cubic segments would stray. */
function rowsOf(foot: ShotFoot, aim: FootBounds, step: number | undefined, end: number): Row[] {
  const rows: Row[] = [];
  const add = (piece: FootPiece, from: number, to: number, onHeel: boolean, moves: boolean): void => {
    const [a, b] = [Math.max(0, from), Math.min(end, to)];
    if (b <= a) return;
    const first = rowAt(piece, a);
    if (rows.length === 0) rows.push(first);
    const last = rowAt(piece, b);
    if (moves) halve(foot, piece, first, last, aim, onHeel, step, 0, rows);
    rows.push(last);
  };
  for (const piece of foot.pieces) {
    const { land, flat, heelOff, lift } = piece.times;
    add(piece, land, flat, true, piece.strike > 0);
    add(piece, flat, heelOff, false, false);
    add(piece, heelOff, lift, false, true);
    if (piece.next !== undefined) add(piece, lift, piece.next, false, true);
  }
  return rows;
}

/** Adds the rows between two others that the bounds need, halving as often as it takes. */
function halve(
  foot: ShotFoot,
  piece: FootPiece,
  from: Row,
  to: Row,
  aim: FootBounds,
  onHeel: boolean,
  step: number | undefined,
  depth: number,
  rows: Row[],
): void {
  const parts = step === undefined ? 2 : Math.round((to.time - from.time) / step);
  if (parts < 2 || depth >= DEEPEST || excessOf(foot, piece, from, to, aim, onHeel) <= 1) return;
  const time =
    step === undefined ? (from.time + to.time) / 2 : (Math.round(from.time / step) + (parts >> 1)) * step;
  const middle = rowAt(piece, time);
  halve(foot, piece, from, middle, aim, onHeel, step, depth + 1, rows);
  rows.push(middle);
  halve(foot, piece, middle, to, aim, onHeel, step, depth + 1, rows);
}

const exact = new Float64Array(SHOT_FOOT_NUMBERS);
const joined = new Float64Array(SHOT_FOOT_NUMBERS);

/** Largest error of one segment over its bound. */
function excessOf(
  { shape }: ShotFoot,
  piece: FootPiece,
  from: Row,
  to: Row,
  aim: FootBounds,
  onHeel: boolean,
): number {
  const span = to.time - from.time;
  let excess = 0;
  for (let k = 0; k < LOOKS; k++) {
    const u = (k + 0.5) / LOOKS;
    piece.write(from.time + u * span, exact);
    for (const c of CHANNELS) joined[c] = hermite(from.jet, to.jet, c, span, u);
    excess = Math.max(excess, strayOf(shape.heelToBall) / aim.path);
    if (onHeel) excess = Math.max(excess, heelSlip(piece, joined, shape.heelToBall) / aim.slip);
    if (excess > 1) return excess;
  }
  return excess;
}

/** What the joined channels stray by from the exact ones, in m; turns count at the heel. */
function strayOf(heelToBall: number): number {
  const away = lengthOf(
    joined[forward] - exact[forward],
    joined[side] - exact[side],
    joined[height] - exact[height],
  );
  const turned = Math.max(
    Math.abs(joined[pitch] - exact[pitch]),
    Math.abs(joined[toeBend] - exact[toeBend]),
    Math.abs(joined[heading] - exact[heading]),
  );
  return Math.max(away, turned * heelToBall);
}

/** How far the heel is from where it is planted. */
function heelSlip({ step: { plant } }: FootPiece, at: Float64Array, heelToBall: number): number {
  const back = heelToBall * Math.cos(at[pitch]);
  return lengthOf(
    at[forward] - back * Math.cos(at[heading]) - plant.forward,
    at[side] - back * Math.sin(at[heading]) - plant.side,
    at[height] + heelToBall * Math.sin(at[pitch]) - plant.height,
  );
}

/** Farthest that the heel slips between landing and flat, with as many keys as there are frames. */
function slipAtLanding(
  { shape }: ShotFoot,
  piece: FootPiece,
  bound: number,
  step: number | undefined,
): number {
  const { land, flat } = piece.times;
  const parts = step === undefined ? 2 ** DEEPEST : Math.max(1, Math.round((flat - land) / step));
  const span = (flat - land) / parts;
  let slip = 0;
  for (let i = 0; i < parts; i++) {
    const [from, to] = [rowAt(piece, land + i * span), rowAt(piece, land + (i + 1) * span)];
    for (let k = 0; k < LOOKS; k++) {
      for (const c of CHANNELS) joined[c] = hermite(from.jet, to.jet, c, span, (k + 0.5) / LOOKS);
      slip = Math.max(slip, heelSlip(piece, joined, shape.heelToBall));
    }
    if (step === undefined && slip <= bound) break;
  }
  return slip;
}

function hermite(from: Float64Array, to: Float64Array, c: number, span: number, u: number): number {
  const v = 1 - u;
  return (
    from[c] * v * v * (1 + 2 * u) +
    to[c] * u * u * (1 + 2 * v) +
    span * u * v * (from[c + 1] * v - to[c + 1] * u)
  );
}

/** What planted feet move and swinging ones stray, in m, measured on the curves themselves. */
function measure(
  foot: ShotFoot,
  curves: ShotFootCurves,
  step: number | undefined,
  end: number,
): FootTrack['error'] {
  const sampler = readCurves([
    curves.forward,
    curves.side,
    curves.height,
    curves.pitch,
    curves.toeBend,
    curves.heading,
  ]);
  const now = new Float64Array(CHANNELS.length);
  const { heelToBall } = foot.shape;
  let slip = 0;
  let stray = 0;
  for (const piece of foot.pieces) {
    const { land, flat, lift } = piece.times;
    const [from, to] = [Math.max(0, land), Math.min(end, piece.next ?? lift)];
    const looks = step === undefined ? MEASURED.part : Math.ceil(((to - from) / step) * MEASURED.frame);
    for (let k = 0; k < looks; k++) {
      const t = from + ((k + 0.5) / looks) * (to - from);
      sampler.sample(t, now);
      CHANNELS.forEach((c, i) => {
        joined[c] = now[i];
      });
      piece.write(t, exact);
      if (t <= flat) slip = Math.max(slip, heelSlip(piece, joined, heelToBall));
      else if (t <= lift) {
        slip = Math.max(
          slip,
          lengthOf(
            joined[forward] - exact[forward],
            joined[side] - exact[side],
            joined[height] - exact[height],
          ),
        );
      } else stray = Math.max(stray, strayOf(heelToBall));
    }
  }
  return { slip, path: stray };
}

/** Length of a vector, without the care for overflow that costs `Math.hypot` its time. */
function lengthOf(x: number, y: number, z: number): number {
  return Math.sqrt(x * x + y * y + z * z);
}
