import type { Curve, Key } from '../curves/curve.js';
import type { Channels, Side } from '../gait/walk.js';
import type { MotionDocument } from './document.js';

const FLAT = { span: 0, slope: 0 };

/**
 * Where a foot stands as held keys in m, one for each time it lands: on the floor at its plant until it
 * lands at the next. Nothing where the foot never lands.
 */
export function plantCurves(document: MotionDocument, side: Side): Channels<Curve> | undefined {
  const { contacts, plants } = document.feet[side];
  if (plants.length === 0) return undefined;
  const { span, root } = document;
  const gain = span.repeats ? (root.forward.gain ?? 0) : 0;
  const curve = (of: (i: number) => number, travel: number): Curve => {
    const keys = contacts.map(
      ({ land }, i): Key => ({ time: land, value: of(i), in: FLAT, out: FLAT, next: 'hold' }),
    );
    if (!span.repeats) return { keys, start: keys[0].time, before: 'holds', after: 'holds' };
    const outside = travel === 0 ? 'loops' : 'travels';
    const cycle = { start: keys[0].time, period: span.duration, before: outside, after: outside } as const;
    return { keys, ...cycle, ...(travel === 0 ? {} : { gain: travel }) };
  };
  return {
    height: curve(() => 0, 0),
    forward: curve((i) => plants[i].forward, gain),
    side: curve((i) => plants[i].side, 0),
  };
}
