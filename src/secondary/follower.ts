import { type FitResult, fitCurve } from '../curves/fit/fit-curve.js';
import type { Series } from '../curves/series.js';
import { numberProblem, recordProblem, refuseAny, show } from '../internal/check.js';
import { JETS, sampleGrid } from './drive-grid.js';
import type { Channel } from './driver.js';
import { type FollowerTrack, type SampledTrack, sampleTrack } from './follower-track.js';
import { keyByHalves } from './key-halves.js';
import type { DriverReader } from './read-driver.js';

/** What a note about a follower is about; stable, to be matched by tools. */
export type FollowerNoteCode =
  | 'repeats-after-cycles'
  | 'does-not-repeat'
  | 'sways-by-itself'
  | 'past-small-angles'
  | 'not-solved'
  | 'struck';

/** Something possible but odd about a follower, with its numbers; never an error. */
export interface FollowerNote {
  readonly code: FollowerNoteCode;
  /** One plain sentence. */
  readonly text: string;
  readonly values: Readonly<Record<string, number>>;
}

/** Relative to the carrier, or in the world. */
export type Space = 'relative' | 'world';

/** How a follower is to be keyed. */
export interface KeyOptions {
  /** Frames per second, > 0; keys lie on whole frames. */
  readonly fps: number;
  /** Bound asked of the largest error, in the track's unit, > 0. Default a hundredth of its range. */
  readonly tolerance?: number;
  /**
   * Where the track does not repeat: keys by halving, about three times as many in a thirtieth of the time. By
   * default the curve fitter searches for few. Default false.
   */
  readonly halve?: boolean;
}

/** Checks how a follower is to be keyed. */
export function checkKeys(where: string, keys: KeyOptions | undefined): void {
  if (keys === undefined) return;
  refuseAny(where, [recordProblem('keys', keys, ['fps', 'tolerance', 'halve'])]);
  refuseAny(where, [
    numberProblem('keys.fps', keys.fps, { above: 0, unit: '1/s' }),
    keys.halve === undefined || typeof keys.halve === 'boolean'
      ? undefined
      : { field: 'keys.halve', rule: 'must be true or false', got: show(keys.halve), kind: 'type' },
    keys.tolerance === undefined ? undefined : numberProblem('keys.tolerance', keys.tolerance, { above: 0 }),
  ]);
}

/** Rounding that a time in frames may carry. */
const FRAME = 1e-6;

/** How long to run after the end of a driver, in s: as asked for, and with keys on to the next whole frame. */
export function settleToFrame(
  reader: Pick<DriverReader, 'start' | 'duration'>,
  settle: number,
  keys: KeyOptions | undefined,
): number {
  if (!keys) return settle;
  const end = reader.start + reader.duration;
  return Math.max(settle, Math.ceil((end + settle) * keys.fps - FRAME) / keys.fps - end);
}

/** A track as sparse keys on whole frames, with the error that they really have. */
export function keyTrack(track: FollowerTrack, { fps, tolerance, halve = false }: KeyOptions): FitResult {
  const range = 'cos' in track ? seriesReach(track) : spread(track.values);
  const bound = tolerance ?? Math.max(0.01 * range, 1e-9);
  const options = { tolerance: bound, frames: { fps } };
  if ('cos' in track) return fitCurve(track, options);
  const { start, every, values, period, gain = 0 } = track;
  const source = { jet: (t: number, out: Float64Array) => sampleTrack(track, t, out) };
  if (period === undefined && halve) return keyByHalves(track, fps, bound);
  if (period === undefined) {
    // The last whole frame; whoever runs for keys runs up to one.
    const end = Math.floor((start + (values.length - 1) * every) * fps + FRAME) / fps;
    return fitCurve(source, { ...options, search: 'quick', start, end, before: 'holds', after: 'holds' });
  }
  const outside = gain === 0 ? 'loops' : 'travels';
  return fitCurve(source, { ...options, start, period, gain, before: outside, after: outside });
}

const spread = (values: readonly number[]): number =>
  values.reduce((top, x) => Math.max(top, x), Number.NEGATIVE_INFINITY) -
  values.reduce((low, x) => Math.min(low, x), Number.POSITIVE_INFINITY);

/** Twice the sum of a series' amplitudes: at least its range. */
const seriesReach = ({ cos, sin }: Series): number =>
  2 * cos.reduce((sum, a, k) => sum + Math.hypot(a, sin[k]), 0);

/** A relative displacement of one channel, in m, put into the world: the carrier's own path added. */
export function placeInWorld(
  track: FollowerTrack,
  reader: DriverReader,
  at: number,
  path: Series | undefined,
): FollowerTrack {
  if ('cos' in track) {
    if (!path) return track;
    const longer = Math.max(track.cos.length, path.cos.length);
    const add = (a: readonly number[], b: readonly number[]) =>
      Array.from({ length: longer }, (_, k) => (a[k] ?? 0) + (b[k] ?? 0));
    return {
      period: track.period,
      mean: track.mean + path.mean,
      drift: track.drift + path.drift,
      cos: add(track.cos, path.cos),
      sin: add(track.sin, path.sin),
    };
  }
  const { start, every, values, slopes, period } = track;
  const jets = sampleGrid(reader, start, every, values.length);
  const gain = path && period !== undefined ? (path.drift * period) / path.period : 0;
  // What the grid holds of a body that turns is its own speed; its path is in fixed axes.
  const speedAt = reader.sampleHeading ? fixedSpeed(reader, at) : undefined;
  return {
    ...track,
    values: values.map((value, i) => value + jets[JETS * i + 3 * at]),
    slopes: slopes.map(
      (slope, i) => slope + (speedAt ? speedAt(start + i * every, jets, i) : jets[JETS * i + 3 * at + 1]),
    ),
    ...(gain === 0 ? {} : { gain }),
  };
}

const heading = new Float64Array(2);

function fixedSpeed(
  reader: DriverReader,
  at: number,
): ((t: number, jets: Float64Array, i: number) => number) | undefined {
  if (at === 0) return undefined;
  return (t, jets, i) => {
    reader.sampleHeading?.(t, heading);
    const [c, s] = [Math.cos(heading[0]), Math.sin(heading[0])];
    const [f, g] = [jets[JETS * i + 4], jets[JETS * i + 7]];
    return at === 1 ? c * f - s * g : s * f + c * g;
  };
}

/** A displacement forward or to the side of a body that turns, in m, in the fixed axes. */
export function turnIntoWorld(
  tracks: Partial<Record<Channel, FollowerTrack>>,
  reader: DriverReader,
  channel: Channel,
): FollowerTrack {
  const own = tracks[channel] as SampledTrack;
  const f = tracks.forward as SampledTrack | undefined;
  const g = tracks.side as SampledTrack | undefined;
  const values: number[] = [];
  const slopes: number[] = [];
  for (let i = 0; i < own.values.length; i++) {
    reader.sampleHeading?.(own.start + i * own.every, heading);
    const [c, s] = [Math.cos(heading[0]), Math.sin(heading[0])];
    const rate = heading[1];
    const [x, y] = [f?.values[i] ?? 0, g?.values[i] ?? 0];
    const [v, w] = [(f?.slopes[i] ?? 0) - rate * y, (g?.slopes[i] ?? 0) + rate * x];
    values.push(channel === 'forward' ? c * x - s * y : s * x + c * y);
    slopes.push(channel === 'forward' ? c * v - s * w : s * v + c * w);
  }
  return { ...own, values, slopes };
}
