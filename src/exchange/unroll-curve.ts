import type { Curve, Key } from '../curves/curve.js';
import { splitSegment } from './split-segment.js';

/** How near the start, in periods, a key stands on it. */
const NEAR = 1e-12;

/**
 * The keys of one cycle with the seam written out at both ends: from `start` to `start + period`, cut there
 * exactly where no key stands. The last key carries the gain. A curve that does not repeat keeps its keys.
 */
export function unrollCurve(curve: Curve): Key[] {
  const { keys, start, period, gain = 0 } = curve;
  if (period === undefined) return [...keys];
  const moved = (key: Key, turns: number): Key => ({
    ...key,
    time: key.time + turns * period,
    value: key.value + turns * gain,
    ...(key.arrives === undefined ? {} : { arrives: key.arrives + turns * gain }),
  });
  const last = keys[keys.length - 1];
  if (keys[0].time - start <= NEAR * period) return [...keys, moved(keys[0], 1)];
  const cut = splitSegment(moved(last, -1), keys[0], start);
  // The cut's left side belongs to the end of the cycle, where the same segment comes round again.
  const inner = [cut.right, ...keys.slice(1)];
  inner[inner.length - 1] = { ...inner[inner.length - 1], next: last.next, out: cut.left.out };
  return [cut.middle, ...inner, moved(cut.middle, 1)];
}
