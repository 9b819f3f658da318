import { type FitResult, fitCurve } from '../curves/fit/fit-curve.js';
import type { Series } from '../curves/series.js';
import { numberProblem, recordProblem, refuseAny } from '../internal/check.js';
import { type FollowerTrack, sampleTrack } from './follower-track.js';
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
}

/** Checks how a follower is to be keyed. */
export function checkKeys(where: string, keys: KeyOptions | undefined): void {
  if (keys === undefined) return;
  refuseAny(where, [recordProblem('keys', keys, ['fps', 'tolerance'])]);
  refuseAny(where, [
    numberProblem('keys.fps', keys.fps, { above: 0, unit: '1/s' }),
    keys.tolerance === undefined ? undefined : numberProblem('keys.tolerance', keys.tolerance, { above: 0 }),
  ]);
}

/** A track as sparse keys on whole frames, with the error that they really have. */
export function keyTrack(track: FollowerTrack, { fps, tolerance }: KeyOptions): FitResult {
  const range = 'cos' in track ? seriesReach(track) : spread(track.values);
  const bound = tolerance ?? Math.max(0.01 * range, 1e-9);
  const options = { tolerance: bound, frames: { fps } };
  if ('cos' in track) return fitCurve(track, options);
  const { start, every, values, period, gain = 0 } = track;
  const source = { jet: (t: number, out: Float64Array) => sampleTrack(track, t, out) };
  if (period === undefined) {
    const end = start + (values.length - 1) * every;
    return fitCurve(source, { ...options, start, end, before: 'holds', after: 'holds' });
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

const jet = new Float64Array(9);

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
  const end = reader.start + reader.duration;
  const placed = values.map((value, i) => {
    const t = start + i * every;
    reader.sample(reader.repeats ? t : Math.min(t, end), jet);
    return {
      value: value + jet[3 * at],
      slope: slopes[i] + (reader.repeats || t <= end ? jet[3 * at + 1] : 0),
    };
  });
  const gain = path && period !== undefined ? (path.drift * period) / path.period : 0;
  return {
    ...track,
    values: placed.map(({ value }) => value),
    slopes: placed.map(({ slope }) => slope),
    ...(gain === 0 ? {} : { gain }),
  };
}
