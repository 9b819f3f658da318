import {
  errorOf,
  numberProblem,
  refuseAny,
  requireArray,
  requireNumber,
  show,
} from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Key, Tangent } from '../curve.js';
import { piecesOf } from '../pieces.js';
import { settle } from './settle.js';

const scaled = ({ span, slope }: Tangent, by: number): Tangent => ({ span: span * by, slope: slope / by });

/**
 * The same curve later or earlier; values, slopes and spans are untouched.
 *
 * @param by - s, positive for later
 * @throws RangeError where `by` is not finite or two keys would fall on one time
 * @example
 * import { shiftCurve } from 'underfoot/curves';
 * const flat = { span: 0, slope: 0 };
 * const keys = [{ time: 1, value: 2, in: flat, out: flat }];
 * console.log(shiftCurve({ keys, start: 1, before: 'holds', after: 'holds' }, 0.5).keys[0].time); // → 1.5
 */
export function shiftCurve(curve: Curve, by: number): Curve {
  requireCurve('shiftCurve', curve);
  requireNumber('shiftCurve', 'by', by, { unit: 's' });
  const keys = curve.keys.map((key) => ({ ...key, time: key.time + by }));
  return settle('shiftCurve', { ...curve, keys, start: curve.start + by });
}

/**
 * The same curve slower or faster: times multiplied, slopes divided.
 *
 * @param factor - > 0; 2 makes it take twice as long. Backwards is `reverseCurve`
 * @param about - time in s that stays where it is; 0 by default
 * @throws RangeError where `factor` is not > 0, or times or slopes become too large or fall together
 * @example
 * import { stretchCurve } from 'underfoot/curves';
 * const tangent = { span: 0.25, slope: 1 };
 * const keys = [{ time: 1, value: 2, in: tangent, out: tangent }];
 * console.log(stretchCurve({ keys, start: 1, before: 'holds', after: 'holds' }, 2).keys[0].out); // → { span: 0.5, slope: 0.5 }
 */
export function stretchCurve(curve: Curve, factor: number, about = 0): Curve {
  requireCurve('stretchCurve', curve);
  requireNumber('stretchCurve', 'factor', factor, { above: 0 });
  requireNumber('stretchCurve', 'about', about, { unit: 's' });
  const move = (t: number): number => about + (t - about) * factor;
  const keys = curve.keys.map((key) => ({
    ...key,
    time: move(key.time),
    in: scaled(key.in, factor),
    out: scaled(key.out, factor),
  }));
  const { period } = curve;
  return settle('stretchCurve', {
    ...curve,
    keys,
    start: move(curve.start),
    ...(period === undefined ? {} : { period: period * factor }),
  });
}

/**
 * The curve played backwards over the same time.
 *
 * Sides change places, slopes change sign, kinds and jumps move to the other end of their segment. A
 * hold holds the value it leaves for, since that is what it shows backwards, so holds become jumps.
 *
 * @returns a curve over the same range of time; a gain changes sign, `before` and `after` change places
 * @throws RangeError or TypeError where the curve is not one
 * @example
 * import { evaluate, reverseCurve } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 1, value: 1, in: flat, out: flat },
 * ];
 * console.log(evaluate(reverseCurve({ keys, start: 0, before: 'holds', after: 'holds' }), 0)); // → 1
 */
export function reverseCurve(curve: Curve): Curve {
  const { keys, start, period, gain = 0 } = requireCurve('reverseCurve', curve);
  const n = keys.length;
  const cyclic = period !== undefined;
  const from = cyclic ? start : keys[0].time;
  const to = cyclic ? start + period : keys[n - 1].time;
  const turn = ({ span, slope }: Tangent): Tangent => ({ span, slope: 0 - slope });
  const made: Key[] = [];
  for (let i = n - 1; i >= 0; i--) {
    const key = keys[i];
    const before = i > 0 ? keys[i - 1] : cyclic ? keys[n - 1] : undefined;
    const kind = before?.next ?? 'curve';
    const seam = i === 0 ? gain : 0;
    // What stands left of this key, and so leaves it when played backwards.
    const leaves = kind === 'hold' && before ? before.value - seam : (key.arrives ?? key.value);
    const arrives = key.value;
    const { arrives: _, next: __, ...rest } = key;
    made.push({
      ...rest,
      time: from + (to - key.time),
      value: leaves,
      in: turn(key.out),
      out: turn(key.in),
      ...(kind === 'curve' ? {} : { next: kind }),
      ...(arrives === leaves ? {} : { arrives }),
    });
  }
  const swapped = { before: curve.after, after: curve.before };
  if (!cyclic) return settle('reverseCurve', { ...curve, ...swapped, keys: made });
  const wrapped = made.map((key): Key => {
    if (key.time < to) return key;
    const moved = { ...key, time: from, value: key.value + gain };
    return key.arrives === undefined ? moved : { ...moved, arrives: key.arrives + gain };
  });
  wrapped.sort((a, b) => a.time - b.time);
  return settle('reverseCurve', {
    ...curve,
    ...swapped,
    keys: wrapped,
    ...(gain ? { gain: 0 - gain } : {}),
  });
}

/**
 * The curve with its keys at new times: spans keep their share of their segment.
 *
 * The slope of a key is divided by how much the time between its neighbours was stretched, so that both
 * sides stay equal where they were; the shape between keys changes wherever that is uneven. What an open
 * curve has before its first key moves along with it.
 *
 * @param times - one time in s per key, rising
 * @param period - new length of the cycle in s, for a curve that repeats; unchanged if left out
 * @throws RangeError where the times do not rise, are not as many as the keys or leave their cycle, or where a
 * period is given for an open curve
 * @example
 * import { retimeCurve } from 'underfoot/curves';
 * const tangent = { span: 0.25, slope: 1 };
 * const keys = [
 *   { time: 0, value: 0, in: tangent, out: tangent },
 *   { time: 1, value: 1, in: tangent, out: tangent },
 * ];
 * const slower = retimeCurve({ keys, start: 0, before: 'holds', after: 'holds' }, [0, 2]);
 * console.log(slower.keys[0].out); // → { span: 0.5, slope: 0.5 }
 */
export function retimeCurve(curve: Curve, times: readonly number[], period = curve.period): Curve {
  requireCurve('retimeCurve', curve);
  requireArray('retimeCurve', 'times', times, 1);
  const { keys } = curve;
  const n = keys.length;
  if (times.length !== n) {
    const rule = `must have ${n} entries, one per key`;
    throw errorOf('retimeCurve', { field: 'times', rule, got: String(times.length), kind: 'range' });
  }
  const cyclic = curve.period !== undefined;
  if (!cyclic && period !== undefined) {
    const rule = 'must be left out on a curve without one';
    throw errorOf('retimeCurve', { field: 'period', rule, got: show(period), kind: 'range' });
  }
  const end = cyclic
    ? curve.start + requireNumber('retimeCurve', 'period', period, { above: 0, unit: 's' })
    : Number.POSITIVE_INFINITY;
  refuseAny('retimeCurve', [
    numberProblem('times[0]', times[0], cyclic ? { min: curve.start, below: end, unit: 's' } : { unit: 's' }),
    ...times.map((t, i) => {
      const limits = { above: times[i - 1], ...(cyclic ? { below: end } : {}), unit: 's' };
      return i > 0 ? numberProblem(`times[${i}]`, t, limits) : undefined;
    }),
  ]);
  const old = piecesOf(curve).map((piece) => piece.length);
  const moved = keys.map((key, i) => ({ ...key, time: times[i] }));
  // The same number where the first key stays: a sum of differences would round.
  const start = cyclic || times[0] === keys[0].time ? curve.start : times[0] - (keys[0].time - curve.start);
  const cycle = curve.period === undefined ? {} : { period };
  const fresh = piecesOf({ ...curve, ...cycle, keys: moved }).map((piece) => piece.length);
  const made = moved.map((key, i): Key => {
    const left = i > 0 ? i - 1 : curve.period === undefined ? -1 : n - 1;
    const right = i < old.length ? i : -1;
    const sum = (list: readonly number[]): number =>
      (left >= 0 ? list[left] : 0) + (right >= 0 ? list[right] : 0);
    const stretch = n > 1 || curve.period !== undefined ? sum(fresh) / sum(old) : 1;
    const side = (tangent: Tangent, k: number): Tangent => ({
      span: tangent.span * (k >= 0 ? fresh[k] / old[k] : stretch),
      slope: tangent.slope / stretch,
    });
    return { ...key, in: side(key.in, left), out: side(key.out, right) };
  });
  return settle('retimeCurve', { ...curve, ...cycle, keys: made, start });
}
