import {
  errorOf,
  isRecord,
  numberProblem,
  recordProblem,
  refuseAny,
  requireArray,
} from '../../internal/check.js';
import { keyProblems } from '../check-curve.js';
import type { Curve, Key } from '../curve.js';
import { type ThirdsOptions, thirdsOf } from './thirds.js';

/** A key of a cubic Hermite curve: derivatives are per second, not per segment and not a third of it. */
export interface HermiteKey extends Omit<Key, 'in' | 'out'> {
  /** Derivative on the left, in value units per second. */
  readonly in: number;
  /** Derivative on the right, in value units per second. */
  readonly out: number;
}

/** A curve as Hermite keys, and how far it moved to become one. */
export interface HermiteResult {
  readonly keys: readonly HermiteKey[];
  /** Largest change in value, measured; 0 where every span was a third already. */
  readonly error: number;
  /** Whether the tolerance is met by that. */
  readonly met: boolean;
}

/**
 * A curve as cubic Hermite keys with derivatives per second.
 *
 * A span of a third is a Hermite segment without loss; other segments are split, by `toThirds`, until the
 * largest change in value is within the tolerance.
 *
 * @param options.tolerance - bound on the change in value, measured at 32 points a segment; default 1e-6 of the range
 * @returns keys, the largest change, and whether the tolerance is met
 * @throws RangeError or TypeError where the curve is not one
 * @example
 * import { toHermite } from 'underfoot/curves';
 * const tangent = { span: 0.1, slope: 2 };
 * const keys = [
 *   { time: 0, value: 0, in: tangent, out: tangent },
 *   { time: 0.3, value: 1, in: tangent, out: tangent },
 * ];
 * const { keys: hermite, error } = toHermite({ keys, start: 0, before: 'holds', after: 'holds' });
 * console.log(hermite[0].out, error < 1e-12); // → 2 true
 */
export function toHermite(curve: Curve, options: ThirdsOptions = {}): HermiteResult {
  const { curve: thirds, error, met } = thirdsOf('toHermite', curve, options);
  return {
    keys: thirds.keys.map((key) => ({ ...key, in: key.in.slope, out: key.out.slope })),
    error: error.max,
    met,
  };
}

/**
 * Keys with third-length spans from Hermite derivatives per second; exact.
 *
 * Back to a curve: `{ ...curve, keys: fromHermite(keys, curve.period) }`.
 *
 * @param keys - Hermite keys in order of time
 * @param period - length of the cycle in s, for keys that repeat
 * @returns keys whose spans are a third of their segment; the outer spans of an open curve are 0
 * @throws RangeError or TypeError where a key is not one, times do not rise or the cycle is shorter than the keys
 * @example
 * import { fromHermite } from 'underfoot/curves';
 * const keys = fromHermite([
 *   { time: 0, value: 0, in: 0, out: 3 },
 *   { time: 0.75, value: 1, in: 0, out: 0 },
 * ]);
 * console.log(keys[0].out.span, keys[0].out.slope); // → 0.25 3
 */
export function fromHermite(keys: readonly HermiteKey[], period?: number): Key[] {
  requireArray('fromHermite', 'keys', keys);
  const n = keys.length;
  keys.forEach((key, i) => {
    const field = `keys[${i}]`;
    const shape = recordProblem(field, key);
    const time = { unit: 's', ...(i > 0 ? { above: keys[i - 1].time } : {}) };
    const flat = { span: 0, slope: 0 };
    const others = isRecord(key) ? keyProblems(field, { ...key, in: flat, out: flat }) : [];
    refuseAny('fromHermite', [shape, ...others]);
    refuseAny('fromHermite', [
      numberProblem(`${field}.time`, key.time, time),
      numberProblem(`${field}.in`, key.in),
      numberProblem(`${field}.out`, key.out),
    ]);
  });
  if (period !== undefined && n > 0) {
    const problem = numberProblem('period', period, { above: keys[n - 1].time - keys[0].time, unit: 's' });
    if (problem) throw errorOf('fromHermite', problem);
  }
  const lengthAfter = (i: number): number => {
    if (i + 1 < n) return keys[i + 1].time - keys[i].time;
    return period === undefined ? 0 : keys[0].time + period - keys[i].time;
  };
  return keys.map((key, i) => {
    const before = i > 0 ? lengthAfter(i - 1) : period === undefined ? 0 : lengthAfter(n - 1);
    return {
      ...key,
      in: { span: before / 3, slope: key.in },
      out: { span: lengthAfter(i) / 3, slope: key.out },
    };
  });
}
