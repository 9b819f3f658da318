import type { Curve } from '../curve.js';
import type { ErrorMeasure } from '../fit/measure.js';
import { Track } from '../track.js';

/** Points between any two keys of either curve, at least; they crowd towards keys, where steep places are. */
const POINTS = 48;

/** Relative distance from a key at which its sides are looked at. */
const BESIDE = 1e-9;

/** Steps in which the largest difference is closed in on, each to 0.62 of the interval. */
const CLOSER = 40;
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/** Times in (from, to) at which either curve has a key, in whatever cycle, and the two limits. */
function cutsOf(tracks: readonly Track[], from: number, to: number): number[] {
  const cuts = new Set([from, to]);
  for (const { bounds, period } of tracks) {
    for (const bound of bounds) {
      const first = period > 0 ? Math.ceil((from - bound) / period) : 0;
      const last = period > 0 ? Math.floor((to - bound) / period) : 0;
      for (let n = 0; n <= last - first; n++) {
        const t = bound + (first + n) * period;
        if (t > from && t < to) cuts.add(t);
      }
    }
  }
  return [...cuts].sort((a, b) => a - b);
}

/**
 * How far two curves differ in value between two times that are no more than a few cycles apart: largest
 * difference, where it is, and root mean square.
 *
 * Measured at 48 points or more between any two keys of either curve and beside each key, and closed in on
 * where it is largest.
 *
 * @param perSecond - points per second, at least
 */
export function measureChange(
  before: Curve,
  after: Curve,
  from: number,
  to: number,
  perSecond = 0,
): ErrorMeasure {
  const old = new Track(before);
  const made = new Track(after);
  const out = new Float64Array(2);
  const miss = (t: number): number => {
    old.writeValue(t, out, 0);
    made.writeValue(t, out, 1);
    return Math.abs(out[1] - out[0]);
  };
  let max = 0;
  let at = from;
  let around = [from, from];
  let squares = 0;
  const cuts = cutsOf([old, made], from, to);
  for (let k = 0; k + 1 < cuts.length; k++) {
    const [a, length] = [cuts[k], cuts[k + 1] - cuts[k]];
    const points = Math.max(POINTS, Math.ceil(length * perSecond));
    const time = (i: number): number => {
      const s = 0.5 - 0.5 * Math.cos((Math.PI * i) / points);
      return a + Math.min(1 - BESIDE, Math.max(BESIDE, s)) * length;
    };
    let sum = 0;
    let weights = 0;
    for (let i = 0; i <= points; i++) {
      const t = time(i);
      const size = miss(t);
      // Crowded points count for less in the mean.
      const weight = Math.sin((Math.PI * (i + 0.5)) / (points + 1));
      sum += weight * size * size;
      weights += weight;
      if (size > max) {
        max = size;
        at = t;
        around = [time(Math.max(0, i - 1)), time(Math.min(points, i + 1))];
      }
    }
    squares += (sum / weights) * length;
  }
  let [low, high] = around;
  for (let step = 0; step < CLOSER && high > low; step++) {
    const left = high - GOLDEN * (high - low);
    const right = low + GOLDEN * (high - low);
    const [m, n] = [miss(left), miss(right)];
    if (Math.max(m, n) > max) {
      max = Math.max(m, n);
      at = m > n ? left : right;
    }
    if (m > n) high = right;
    else low = left;
  }
  return { max, at, rms: Math.min(max, Math.sqrt(squares / (to - from || 1))) };
}
