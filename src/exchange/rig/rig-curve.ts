import type { Curve, Key, Outside } from '../../curves/curve.js';
import { evaluate } from '../../curves/evaluate.js';
import { requireNumber } from '../../internal/check.js';
import { framesPerSecond } from '../frame-rate.js';
import type { Scene } from '../scene.js';
import { unrollCurve } from '../unroll-curve.js';
import type { RigCurve, RigKey } from './rig-adapter.js';

/** How seconds and values become a host's: frames, and a factor and an offset on values. */
export interface RigScale {
  readonly scene: Pick<Scene, 'frameRate' | 'firstFrame'>;
  readonly factor: number;
  readonly offset: number;
}

/** A curve in a host's frames and values, its seam written out. */
export function toRigCurve(curve: Curve, { scene, factor, offset }: RigScale): RigCurve {
  const rate = framesPerSecond(scene.frameRate);
  const keys = unrollCurve(curve).map(
    (key, i): RigKey => ({
      frame: tidy(scene.firstFrame + key.time * rate),
      value: key.value * factor + offset,
      in: { frames: key.in.span * rate, slope: (key.in.slope * factor) / rate },
      out: { frames: key.out.span * rate, slope: (key.out.slope * factor) / rate },
      next: key.next ?? 'curve',
      // What arrives at the first key of a cycle does so at its other end.
      ...(jumpsAt(key) && (i > 0 || curve.period === undefined)
        ? { arrives: (key.arrives ?? key.value) * factor + offset }
        : {}),
    }),
  );
  const { period, start, before, after } = curve;
  const seam = curve.keys[0].time <= start;
  if (period !== undefined && seam && !repeats(after)) {
    // What stays behind the last key is what it arrives with.
    const { arrives: _, ...last } = keys[keys.length - 1];
    keys[keys.length - 1] = { ...last, value: endOf(curve) * factor + offset };
  }
  return { keys, before, after };
}

/** Whether a curve arrives at a key with another value than it leaves with. */
export function jumpsAt({ arrives, value }: Key): boolean {
  return arrives !== undefined && arrives !== value;
}

const repeats = (outside: Outside): boolean => outside === 'loops' || outside === 'travels';

/** The value that a cyclic curve arrives at the end of its cycle with. */
function endOf({ keys, start, gain = 0 }: Curve): number {
  const [first, last] = [keys[0], keys[keys.length - 1]];
  if (last.next === 'hold') return last.value;
  return (first.time > start ? first.value : (first.arrives ?? first.value)) + gain;
}

/**
 * Whether a curve that travels on before its keys and not behind them jumps at its seam: a rig's last key
 * would have to say both what it gains and where it stays.
 */
export function jumpsAtEnd(curve: Curve): boolean {
  const { keys, period, gain = 0, before, after, start } = curve;
  if (period === undefined || before !== 'travels' || repeats(after) || keys[0].time > start) return false;
  return endOf(curve) !== keys[0].value + gain;
}

/** How near a whole frame a time in seconds has to come to be meant as one, in frames. */
const NEAR = 1e-9;

function tidy(frame: number): number {
  const whole = Math.round(frame);
  return Math.abs(frame - whole) <= NEAR * Math.max(1, Math.abs(frame)) ? whole : frame;
}

/**
 * The value of a rig's curve at a frame, in the host's unit: for adapters of hosts that want samples.
 *
 * @param curve - as `writeKeys` is given it
 * @param frame - any frame, fractions too
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { rigValue } from 'underfoot/exchange';
 *
 * const flat = { frames: 4, slope: 0 };
 * const keys = [1, 13].map((frame) => ({ frame, value: frame - 1, in: flat, out: flat, next: 'curve' as const }));
 * console.log(rigValue({ keys, before: 'holds', after: 'holds' }, 7).toFixed(3)); // → 6.000
 * ```
 */
export function rigValue(curve: RigCurve, frame: number): number {
  requireNumber('rigValue', 'frame', frame);
  return evaluate(fromRigCurve(curve), frame);
}

const known = new WeakMap<RigCurve, Curve>();

/** The curve again, over frames instead of seconds; kept, so that a curve is prepared once. */
function fromRigCurve(curve: RigCurve): Curve {
  const seen = known.get(curve);
  if (seen) return seen;
  const { keys, before, after } = curve;
  const cyclic = repeats(before) || repeats(after);
  const [first, last] = [keys[0], keys[keys.length - 1]];
  const plain = keys.map(({ frame, value, in: arriving, out, next, arrives }) => ({
    time: frame,
    value,
    in: { span: arriving.frames, slope: arriving.slope },
    out: { span: out.frames, slope: out.slope },
    next,
    ...(arrives === undefined ? {} : { arrives }),
  }));
  const gain = last.value - first.value;
  const again: Curve = cyclic
    ? {
        // The seam's left side arrives at the first key from the cycle before.
        keys: [
          {
            ...plain[0],
            in: plain[plain.length - 1].in,
            ...(last.arrives === undefined ? {} : { arrives: last.arrives - gain }),
          },
          ...plain.slice(1, -1),
        ],
        start: first.frame,
        period: last.frame - first.frame,
        gain,
        before,
        after,
      }
    : { keys: plain, start: first.frame, before, after };
  known.set(curve, again);
  return again;
}
