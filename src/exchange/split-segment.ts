import type { Key } from '../curves/curve.js';
import { cutParameter, Segment } from '../curves/segment.js';

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
  const end = right.arrives ?? right.value;
  const s = cutParameter(new Segment(left, right, { start: left.time, length }), time);
  const flat = { span: 0, slope: 0 };
  if (kind !== 'curve') {
    const value = kind === 'line' ? left.value + s * (end - left.value) : left.value;
    return { left, middle: { time, value, in: flat, out: flat, next: kind }, right };
  }
  const times = splitCubic(left.time, left.time + left.out.span, right.time - right.in.span, right.time, s);
  const values = splitCubic(
    left.value,
    left.value + left.out.slope * left.out.span,
    end - right.in.slope * right.in.span,
    end,
    s,
  );
  const value = values.middle;
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

/** The point at parameter `s` of a cubic and the inner control points on either side of it. */
function splitCubic(
  a: number,
  b: number,
  c: number,
  d: number,
  s: number,
): { before: number; middle: number; after: number } {
  const mix = (x: number, y: number): number => x + s * (y - x);
  const [ab, bc, cd] = [mix(a, b), mix(b, c), mix(c, d)];
  const [before, after] = [mix(ab, bc), mix(bc, cd)];
  return { before, middle: mix(before, after), after };
}
