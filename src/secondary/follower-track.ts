import { type Series, sampleSeries } from '../curves/series.js';
import { requireNumber } from '../internal/check.js';

/** Values and slopes at even times; between them the cubic that both agree with. */
export interface SampledTrack {
  /** Time of the first sample in s. */
  readonly start: number;
  /** Time between samples in s. */
  readonly every: number;
  readonly values: readonly number[];
  /** Slopes per second. */
  readonly slopes: readonly number[];
  /** Length of the loop in s where it repeats; the sample after the last is then the first again. */
  readonly period?: number;
  /** What the value gains over one period; 0 where left out. */
  readonly gain?: number;
}

/** One channel of what follows: an exact series, or samples with their slopes. */
export type FollowerTrack = Series | SampledTrack;

/** Writes value, first and second derivative of a track at time `t` (s) into `out[0..2]`. */
export function sampleTrack(track: FollowerTrack, t: number, out: Float64Array): void {
  if ('cos' in track) {
    sampleSeries(track, t, out);
    return;
  }
  const { start, every, values, slopes, period, gain = 0 } = track;
  const n = values.length;
  let x = (t - start) / every;
  const turns = period === undefined ? 0 : Math.floor(x / n);
  x -= turns * n;
  const i = Math.max(0, Math.min(period === undefined ? n - 2 : n - 1, Math.floor(x)));
  const u = period === undefined ? Math.max(0, Math.min(1, x - i)) : x - i;
  const j = period === undefined ? Math.min(i + 1, n - 1) : (i + 1) % n;
  const seam = j < i ? gain : 0;
  const [p, q, a, b] = [values[i], values[j] + seam, slopes[i] * every, slopes[j] * every];
  const c3 = 2 * (p - q) + a + b;
  const c2 = 3 * (q - p) - 2 * a - b;
  out[0] = ((c3 * u + c2) * u + a) * u + p + turns * gain;
  out[1] = ((3 * c3 * u + 2 * c2) * u + a) / every;
  out[2] = (6 * c3 * u + 2 * c2) / (every * every);
}

const scratch = new Float64Array(3);

/**
 * The value of a follower's track at a time, in the track's own unit (m or rad).
 *
 * Series are summed exactly; samples are joined by the cubic through their values and slopes.
 *
 * @param track - one channel of a follower
 * @param t - time in s; a track that does not repeat stays at its ends
 * @throws RangeError or TypeError where `t` is not finite
 *
 * @example
 * ```ts
 * import { followBounce, planWalk, trackValue } from 'underfoot';
 *
 * const walk = planWalk({ pace: { strideLength: 1.4, strideRate: 0.9 } });
 * const belly = followBounce(walk, { frequencyHz: 4, dampingRatio: 0.2 });
 * const { height } = belly.tracks;
 * const gap = trackValue(height, 0) - trackValue(height, 1 / 0.9);
 * console.log(Math.abs(gap) < 1e-15); // → true
 * ```
 */
export function trackValue(track: FollowerTrack | undefined, t: number): number {
  requireNumber('trackValue', 't', t, { unit: 's' });
  if (!track) throw new TypeError('trackValue: track must be a track of a follower, got undefined');
  sampleTrack(track, t, scratch);
  return scratch[0];
}

/** Smallest and largest value of a track over its length, by 2048 even samples. */
export function trackExtent(track: FollowerTrack, start: number, duration: number): [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < 2048; i++) {
    sampleTrack(track, start + (i * duration) / 2048, scratch);
    low = Math.min(low, scratch[0]);
    high = Math.max(high, scratch[0]);
  }
  return [low, high];
}

/** A track times `by`, plus `add`. */
export function scaleTrack(track: FollowerTrack, by: number, add: number): FollowerTrack {
  const scale = (x: number): number => by * x + 0;
  if ('cos' in track) {
    const { period, mean, drift, cos, sin } = track;
    return { period, mean: by * mean + add, drift: by * drift, cos: cos.map(scale), sin: sin.map(scale) };
  }
  return { ...track, values: track.values.map((x) => by * x + add), slopes: track.slopes.map(scale) };
}

/** One track less another of the same form. */
export function subtractTrack(a: FollowerTrack, b: FollowerTrack): FollowerTrack {
  if ('cos' in a && 'cos' in b) {
    const longer = Math.max(a.cos.length, b.cos.length);
    const minus = (x: readonly number[], y: readonly number[]) =>
      Array.from({ length: longer }, (_, k) => (x[k] ?? 0) - (y[k] ?? 0));
    return {
      period: a.period,
      mean: a.mean - b.mean,
      drift: 0,
      cos: minus(a.cos, b.cos),
      sin: minus(a.sin, b.sin),
    };
  }
  if ('cos' in a || 'cos' in b) return a;
  return {
    ...a,
    values: a.values.map((x, i) => x - b.values[i]),
    slopes: a.slopes.map((x, i) => x - b.slopes[i]),
  };
}
