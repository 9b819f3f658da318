import type { Key } from '../curves/curve.js';
import { prepareSegment, STRIDE, segmentParameter, segmentValue } from '../curves/segment.js';

/** A segment cut in two: its ends with new inner handles, and the key between. */
export interface Split {
  readonly left: Key;
  readonly middle: Key;
  readonly right: Key;
}

/**
 * A segment cut at a time inside it, exactly (de Casteljau): the two halves together are the same curve.
 * The keys keep everything but the handles on this segment's side.
 */
export function splitSegment(left: Key, right: Key, time: number): Split {
  const length = right.time - left.time;
  const kind = left.next ?? 'curve';
  const row = new Float64Array(STRIDE);
  prepareSegment(row, 0, left, right, left.time, length, 0, 0);
  const s = segmentParameter(row, 0, time);
  const value = segmentValue(row, 0, s);
  const flat = { span: 0, slope: 0 };
  if (kind !== 'curve') return { left, middle: { time, value, in: flat, out: flat, next: kind }, right };
  const end = right.arrives ?? right.value;
  const times = splitCubic(left.time, left.time + left.out.span, right.time - right.in.span, right.time, s);
  const values = splitCubic(
    left.value,
    left.value + left.out.slope * left.out.span,
    end - right.in.slope * right.in.span,
    end,
    s,
  );
  const before = time - times.before;
  const after = times.after - time;
  return {
    left: { ...left, out: { ...left.out, span: left.out.span * s } },
    middle: {
      time,
      value,
      in: { span: before, slope: before > 0 ? (value - values.before) / before : 0 },
      out: { span: after, slope: after > 0 ? (values.after - value) / after : 0 },
      next: 'curve',
    },
    right: { ...right, in: { ...right.in, span: right.in.span * (1 - s) } },
  };
}

/** The inner control points next to the cut of a cubic at parameter `s`. */
function splitCubic(
  a: number,
  b: number,
  c: number,
  d: number,
  s: number,
): { before: number; after: number } {
  const mix = (x: number, y: number): number => x + s * (y - x);
  const [ab, bc, cd] = [mix(a, b), mix(b, c), mix(c, d)];
  return { before: mix(ab, bc), after: mix(bc, cd) };
}
