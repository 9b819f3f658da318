import { errorOf, requireNumber } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Key, SegmentKind, Tangent } from '../curve.js';
import { makeGrid } from '../fit/grid.js';
import type { ErrorMeasure } from '../fit/measure.js';
import { SegmentSolver } from '../fit/segment-solver.js';
import { sourceOf } from '../fit/source.js';
import { endSlope } from '../segment.js';
import { measureChange } from './measure-change.js';

/** A curve with a key less, and what that cost. */
export interface RemoveResult {
  readonly curve: Curve;
  /**
   * Change in value between the neighbours of the key that went; from the end that went to the new one, where what
   * lies outside the keys has taken over.
   */
  readonly error: ErrorMeasure;
}

/** Points at which the joint segment is fitted. */
const FIT_POINTS = 48;

/**
 * The curve without one key, its neighbours' handles refitted to the shape it had.
 *
 * The neighbours keep value and slope; the two spans between them are solved by Gauss–Newton. Where a side of the
 * key was a line or held, so may the joint segment be: the kind that changes the curve least is taken. Nothing
 * else changes. The change is measured, closed in on where it is largest, and stated.
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
  const { keys, period, gain = 0 } = requireCurve('removeKey', curve);
  const n = keys.length;
  requireNumber('removeKey', 'index', index, { min: 0, below: n, whole: true });
  const refuse = (field: string, rule: string, got: string): never => {
    throw errorOf('removeKey', { field, rule, got, kind: 'range' });
  };
  if (n < 2) refuse('keys', 'must have at least 2 entries', String(n));
  if (keys[index].locked) refuse(`keys[${index}]`, 'must not be locked', 'a locked key');
  const rest = keys.filter((_, i) => i !== index);
  if (period === undefined && (index === 0 || index === n - 1)) {
    const shorter = { ...curve, keys: rest, ...(index === 0 ? { start: rest[0].time } : {}) };
    const [from, to] = index === 0 ? [keys[0].time, rest[0].time] : [rest[n - 2].time, keys[n - 1].time];
    return { curve: shorter, error: measureChange(curve, shorter, from, to) };
  }
  const li = (index - 1 + n) % n;
  const ri = (index + 1) % n;
  for (const i of [li, ri]) {
    const rule = 'must not be locked: its handle has to change';
    if (keys[i].locked) refuse(`keys[${i}]`, rule, 'a locked key');
  }
  const [left, right] = [keys[li], keys[ri]];
  const around: Around = {
    start: left.time - (li > index ? (period ?? 0) : 0),
    value0: left.value - (li > index ? gain : 0),
    end: right.time + (ri < index ? (period ?? 0) : 0),
    value1: (right.arrives ?? right.value) + (ri < index ? gain : 0),
  };
  const before = repeating(curve);
  const kinds = new Set<SegmentKind>([left.next ?? 'curve', keys[index].next ?? 'curve', 'curve']);
  let best: RemoveResult | undefined;
  for (const kind of kinds) {
    const sides =
      kind === 'curve' ? refitted(curve, index, left, right, around) : { out: left.out, in: right.in };
    const made = rest.map((key): Key => {
      const { next: _, ...own } = key === left ? { ...key, out: sides.out } : key;
      const next = key !== left ? key.next : kind === 'curve' ? undefined : kind;
      return { ...own, ...(key === right ? { in: sides.in } : {}), ...(next ? { next } : {}) };
    });
    const result = { ...curve, keys: made };
    const error = measureChange(before, repeating(result), around.start, around.end);
    if (!best || error.max < best.error.max) best = { curve: result, error };
  }
  return best!;
}

/** The two ends of the joint segment, as seen in the cycle of the key that goes. */
interface Around {
  readonly start: number;
  readonly value0: number;
  readonly end: number;
  readonly value1: number;
}

/** The two inner sides of the joint segment: the slopes that the curve has there, the spans that follow it best. */
function refitted(
  curve: Curve,
  index: number,
  left: Key,
  right: Key,
  { start, end, value0, value1 }: Around,
): { out: Tangent; in: Tangent } {
  const key = curve.keys[index];
  const source = sourceOf(repeating(curve));
  const slope0 = endSlope(left, key, key.time - start, (key.arrives ?? key.value) - value0, 'left');
  const slope1 = endSlope(key, right, end - key.time, value1 - key.value, 'right');
  const length = end - start;
  const slopes = [slope0 ?? left.out.slope, slope1 ?? right.in.slope];
  const times = Float64Array.from(
    { length: FIT_POINTS },
    (_, i) => start + (length * (i + 0.5)) / FIT_POINTS,
  );
  const solver = new SegmentSolver(makeGrid(source, times), 0, 0, 0, FIT_POINTS);
  solver.solve({ start, length, value0, value1, slope0: slopes[0], slope1: slopes[1] });
  return {
    out: { span: solver.out * length, slope: slopes[0] },
    in: { span: solver.in * length, slope: slopes[1] },
  };
}

/** A loop that goes on both ways and carries its gain, so that a segment across the seam is seen whole. */
const repeating = (curve: Curve): Curve =>
  curve.period === undefined ? curve : { ...curve, before: 'travels', after: 'travels' };
