import type { Curve, Tracked } from '../../curves/curve.js';
import type { KeyedError } from '../key-root.js';
import type { Note } from '../note.js';
import type { Shot } from '../shot/shot.js';
import { createShotSampler, type ShotSampler } from '../shot/shot-sampler.js';
import { prepareTrack } from '../shot/tracks.js';
import type { Channels } from '../walk.js';
import {
  type Bounds,
  type Column,
  chooseFrames,
  columnFor,
  type FrameGrid,
  hermiteCurve,
} from './hermite-keys.js';
import { type LegReach, reachOf } from './leg-reach.js';
import { poseFrames } from './pose-frames.js';
import { readCurves } from './read-curves.js';
import { lastFrameOf } from './shot-frames.js';

/** Height, forward and side in m, and heading in rad. */
export interface ShotChannels<T> extends Channels<T> {
  /** Of the body from its heading at the beginning; positive is turned left. */
  readonly heading: T;
}

/** The keyed root of a shot: open curves from frame 0 on. */
export interface KeyedShotRoot extends ShotChannels<Curve> {
  readonly of: Tracked;
  readonly fps: number;
  /** Last frame. */
  readonly frames: number;
  /** Achieved errors of the path, measured on a grid finer than the one that placed the keys. */
  readonly error: Channels<KeyedError>;
  /** Largest error of the heading in rad. */
  readonly headingError: number;
  /** Whether every channel met the tolerances that were asked for, and the legs reach. */
  readonly met: boolean;
  readonly shot: Shot;
  /** What changed on the way, beyond the shot's own notes. */
  readonly notes: readonly Note[];
}

/** What the keys of a shot's root are asked for; defaults filled in. */
export interface ShotRootRequest {
  readonly fps: number;
  readonly of: Tracked;
  /** In m. */
  readonly tolerance: number;
  /** In BW, rms. */
  readonly loadTolerance: number;
  /** In rad. */
  readonly turnTolerance: number;
  readonly keyPoses: boolean;
}

/** Grid times a frame that place keys, and that measure what came out; the two never fall together between frames. */
const PER_FRAME = 3;
const MEASURED = 5;

/** Largest error of load at one place over the rms that is asked for. */
const WORST_OVER_RMS = 2;

/** Rounds of asking for more than is wanted, until what is measured is met. */
const ROUNDS = 5;
const STRICTER = 0.7;

/** What is aimed at, over what is asked for: room for what lies between the times that place keys. */
const AIM = 0.95;

/** Writes height, forward, side and heading, each with two derivatives, into `out[0..11]`. */
export type ShotJets = (t: number, out: Float64Array) => void;

/** A reader of a shot's root or centre of mass, lowered where the legs would not reach. */
export function prepareShotJets(
  shot: Shot,
  of: Tracked,
  sampler: ShotSampler = createShotSampler(shot),
): { readonly jets: ShotJets; readonly reached: boolean; readonly notes: readonly Note[] } {
  const { lowered, reached, notes }: LegReach = of === 'root' ? reachOf(shot) : { reached: true, notes: [] };
  const down = lowered && prepareTrack(lowered);
  const by = new Float64Array(3);
  const jets: ShotJets = (t, out) => {
    sampler.read(t);
    sampler.write(out, of);
    for (let i = 0; i < 3; i++) out[9 + i] = sampler.state.heading[i];
    if (!down) return;
    down(Math.min(t, shot.duration), by, 0);
    for (let i = 0; i < 3; i++) out[i] -= by[i];
  };
  return { jets, reached, notes };
}

/**
 * Keys a shot's path and heading; checks are the caller's.
 *
 * @param poses - frames of its poses, where they are known already
 */
export function keyShotRoot(shot: Shot, request: ShotRootRequest, poses?: readonly number[]): KeyedShotRoot {
  const { fps, of, tolerance, loadTolerance, turnTolerance, keyPoses } = request;
  const last = lastFrameOf(shot, fps);
  const grid: FrameGrid = { fps, last, per: PER_FRAME };
  const { jets, reached, notes } = prepareShotJets(shot, of);
  const columns = [0, 1, 2, 3].map(() => columnFor(grid));
  const exact = new Float64Array(12);
  for (let k = 0; k <= last * PER_FRAME; k++) {
    jets(k / PER_FRAME / fps, exact);
    columns.forEach((column, c) => {
      column.value[k] = exact[3 * c];
      column.slope[k] = exact[3 * c + 1];
      column.bend[k] = exact[3 * c + 2];
    });
  }
  const marks = keyPoses ? (poses ?? poseFrames(shot, fps, last)) : [0, last];
  const { gravity } = shot;
  const load = loadTolerance * gravity;
  const wanted: Bounds[] = [0, 1, 2, 3].map((c) =>
    c < 3 ? { value: AIM * tolerance, bend: WORST_OVER_RMS * load } : { value: AIM * turnTolerance },
  );
  const keyed = columns.map((column, c) => curveOf(column, grid, marks, wanted[c], c < 3 ? of : undefined));
  const measured = exactJets(jets, last, fps);
  const errors = keyed.map((curve, c) => measureCurve(curve, c, measured, fps, gravity));
  const misses = (c: number): boolean => {
    const { value, load: rms } = errors[c];
    return c < 3 ? value.max > tolerance || rms.rms > loadTolerance : value.max > turnTolerance;
  };
  for (let round = 0; round < ROUNDS; round++) {
    const missing = [0, 1, 2, 3].filter(misses);
    if (missing.length === 0) break;
    for (const c of missing) {
      const { value, bend } = wanted[c];
      wanted[c] = { value: STRICTER * value, ...(bend === undefined ? {} : { bend: STRICTER * bend }) };
      keyed[c] = curveOf(columns[c], grid, marks, wanted[c], c < 3 ? of : undefined);
      errors[c] = measureCurve(keyed[c], c, measured, fps, gravity);
    }
  }
  return {
    of,
    fps,
    frames: last,
    height: keyed[0],
    forward: keyed[1],
    side: keyed[2],
    heading: keyed[3],
    error: { height: errors[0], forward: errors[1], side: errors[2] },
    headingError: errors[3].value.max,
    met: reached && ![0, 1, 2, 3].some(misses),
    shot,
    notes,
  };
}

function curveOf(
  column: Column,
  grid: FrameGrid,
  marks: readonly number[],
  bounds: Bounds,
  of: Tracked | undefined,
): Curve {
  return hermiteCurve(column, grid, chooseFrames(column, grid, marks, bounds), of);
}

/** The exact jets at the times that measure, 12 numbers a time. */
function exactJets(jets: ShotJets, last: number, fps: number): Float64Array {
  const count = last * MEASURED;
  const all = new Float64Array(12 * count);
  const row = new Float64Array(12);
  for (let k = 0; k < count; k++) {
    jets(measuredTime(k, fps), row);
    all.set(row, 12 * k);
  }
  return all;
}

function measuredTime(k: number, fps: number): number {
  return (k + 0.5) / MEASURED / fps;
}

/** What a curve misses its exact channel by, measured on the curve itself. */
function measureCurve(
  curve: Curve,
  channel: number,
  exact: Float64Array,
  fps: number,
  gravity: number,
): KeyedError {
  const sampler = readCurves([curve]);
  const have = new Float64Array(3);
  const count = exact.length / 12;
  const value = { max: 0, at: 0, rms: 0 };
  const load = { max: 0, at: 0, rms: 0 };
  const add = (part: typeof value, off: number, t: number): void => {
    part.rms += off * off;
    if (off <= part.max) return;
    part.max = off;
    part.at = t;
  };
  for (let k = 0; k < count; k++) {
    const t = measuredTime(k, fps);
    sampler.sampleJets(t, have);
    const i = 12 * k + 3 * channel;
    add(value, Math.abs(have[0] - exact[i]), t);
    add(load, Math.abs(have[2] - exact[i + 2]) / gravity, t);
  }
  const rms = (part: typeof value) => ({ ...part, rms: Math.sqrt(part.rms / count) });
  return { value: rms(value), load: rms(load), jump: jumpOf(curve, gravity) };
}

/** Largest jump of the implied load at a key in BW: between the second derivatives of the cubics beside it. */
function jumpOf({ keys }: Curve, gravity: number): KeyedError['jump'] {
  let max = 0;
  let at = keys[0].time;
  const bendAt = (i: number, end: 0 | 1): number => {
    const [a, b] = [keys[i], keys[i + 1]];
    const span = b.time - a.time;
    const [d0, d1] = [a.out.slope * span, b.in.slope * span];
    const c2 = 3 * (b.value - a.value) - 2 * d0 - d1;
    const c3 = 2 * (a.value - b.value) + d0 + d1;
    return (2 * c2 + 6 * c3 * end) / (span * span);
  };
  for (let i = 1; i + 1 < keys.length; i++) {
    const jump = Math.abs(bendAt(i, 0) - bendAt(i - 1, 1)) / gravity;
    if (jump > max) [max, at] = [jump, keys[i].time];
  }
  return { max, at };
}
