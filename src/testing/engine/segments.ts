import type { Curve, Key, SegmentKind } from '../../curves/curve.js';

/** One segment as four points of time and value, worked out from its keys and nothing else. */
export interface PlainSegment {
  readonly kind: SegmentKind;
  readonly time: readonly [number, number, number, number];
  readonly value: readonly [number, number, number, number];
}

/** The segments of a curve; that of a cycle's seam is the last one. */
export function segmentsOf({ keys, period, gain = 0 }: Curve): PlainSegment[] {
  const segments = keys.slice(1).map((key, i) => segmentOf(keys[i], key, key.time, 0));
  if (period === undefined) return segments;
  const last = keys[keys.length - 1];
  return [...segments, segmentOf(last, keys[0], keys[0].time + period, gain)];
}

function segmentOf(from: Key, to: Key, end: number, lift: number): PlainSegment {
  const arrives = (to.arrives ?? to.value) + lift;
  return {
    kind: from.next ?? 'curve',
    time: [from.time, from.time + from.out.span, end - to.in.span, end],
    value: [
      from.value,
      from.value + from.out.span * from.out.slope,
      arrives - to.in.span * to.in.slope,
      arrives,
    ],
  };
}

/** A cubic Bézier at a parameter, by de Casteljau's construction. */
export function bezierAt([a, b, c, d]: PlainSegment['time'], s: number): number {
  const mix = (x: number, y: number): number => x + (y - x) * s;
  const [ab, bc, cd] = [mix(a, b), mix(b, c), mix(c, d)];
  return mix(mix(ab, bc), mix(bc, cd));
}
