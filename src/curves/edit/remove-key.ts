import { errorOf, requireNumber } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Key } from '../curve.js';
import { makeGrid } from '../fit/grid.js';
import { type ErrorMeasure, measureFit } from '../fit/measure.js';
import { SegmentSolver } from '../fit/segment-solver.js';
import { sourceOf } from '../fit/source.js';

/** A curve with a key less, and what that cost. */
export interface RemoveResult {
  readonly curve: Curve;
  /** Change in value between the neighbours of the key that went. */
  readonly error: ErrorMeasure;
}

/** Points at which the joint segment is fitted, and at which it is measured. */
const FIT_POINTS = 48;
const MEASURE_POINTS = 256;

/**
 * The curve without one key, its neighbours' handles refitted to the shape it had.
 *
 * The neighbours keep value and slope; the two spans between them are solved by Gauss–Newton. Nothing else
 * changes. The change is measured at 256 points and stated.
 *
 * @param index - which key, from 0
 * @returns curve and measured change in value, in the curve's unit
 * @throws RangeError where the key or a neighbour is locked, or too few keys would be left
 * @example
 * import { insertKey, removeKey } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 1, value: 1, in: flat, out: flat },
 * ];
 * const more = insertKey({ keys, start: 0, before: 'holds', after: 'holds' }, 0.3);
 * console.log(removeKey(more, 1).error.max < 1e-4); // → true
 */
export function removeKey(curve: Curve, index: number): RemoveResult {
  const { keys, start, period, gain = 0 } = requireCurve('removeKey', curve);
  const n = keys.length;
  requireNumber('removeKey', 'index', index, { min: 0, below: n, whole: true });
  const refuse = (field: string, rule: string, got: string): never => {
    throw errorOf('removeKey', { field, rule, got, kind: 'range' });
  };
  if (n < 2) refuse('keys', 'must have at least 2 entries', String(n));
  if (keys[index].locked) refuse(`keys[${index}]`, 'must not be locked', 'a locked key');
  const rest = keys.filter((_, i) => i !== index);
  const inner = period !== undefined || (index > 0 && index < n - 1);
  if (!inner || n === 2) {
    const shorter = { ...curve, keys: rest };
    const moved =
      period === undefined && index === 0 ? { ...shorter, start: Math.max(start, rest[0].time) } : shorter;
    if (period === undefined) return { curve: moved, error: { max: 0, at: rest[0].time, rms: 0 } };
    return { curve: clampSpans(moved), error: errorBetween(curve, clampSpans(moved), start, start + period) };
  }
  const li = (index - 1 + n) % n;
  const ri = (index + 1) % n;
  const left = keys[li];
  const right = keys[ri];
  for (const [key, i] of [
    [left, li],
    [right, ri],
  ] as const) {
    if (key.locked) refuse(`keys[${i}]`, 'must not be locked: its handle has to change', 'a locked key');
  }
  const from = left.time - (li > index ? (period ?? 0) : 0);
  const to = right.time + (ri < index ? (period ?? 0) : 0);
  const source = sourceOf(repeating(curve));
  const times = Float64Array.from(
    { length: FIT_POINTS },
    (_, i) => from + ((to - from) * (i + 0.5)) / FIT_POINTS,
  );
  const solver = new SegmentSolver(makeGrid(source, times), 0, 0, 0, FIT_POINTS);
  solver.solve({
    start: from,
    length: to - from,
    value0: left.value - (li > index ? gain : 0),
    value1: (right.arrives ?? right.value) + (ri < index ? gain : 0),
    slope0: left.out.slope,
    slope1: right.in.slope,
  });
  const length = to - from;
  const made = rest.map((key): Key => {
    if (key === left && key === right) {
      return {
        ...key,
        out: { ...key.out, span: solver.out * length },
        in: { ...key.in, span: solver.in * length },
      };
    }
    if (key === left) return { ...key, next: 'curve', out: { ...key.out, span: solver.out * length } };
    if (key === right) return { ...key, in: { ...key.in, span: solver.in * length } };
    return key;
  });
  const result = { ...curve, keys: made };
  return { curve: result, error: errorBetween(curve, result, from, to) };
}

/** A loop that goes on both ways and carries its gain, so that a segment across the seam is seen whole. */
const repeating = (curve: Curve): Curve =>
  curve.period === undefined ? curve : { ...curve, before: 'travels', after: 'travels' };

function clampSpans(curve: Curve): Curve {
  const { keys, period = 0 } = curve;
  return {
    ...curve,
    keys: keys.map((key) => ({
      ...key,
      in: { ...key.in, span: Math.min(key.in.span, period) },
      out: { ...key.out, span: Math.min(key.out.span, period) },
    })),
  };
}

function errorBetween(before: Curve, after: Curve, from: number, to: number): ErrorMeasure {
  return measureFit(repeating(after), sourceOf(repeating(before)), from, to, MEASURE_POINTS / (to - from))
    .value;
}
