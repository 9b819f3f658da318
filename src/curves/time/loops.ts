import { errorOf, requireNumber } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Key } from '../curve.js';
import { requireOpen } from '../edit/insert-key.js';

/** A loop made of an open curve, and how well its ends meet. */
export interface LoopResult {
  readonly curve: Curve;
  /** What the ends miss each other by, before they were made one: value (after the gain) and slope. */
  readonly seam: { readonly value: number; readonly slope: number };
}

/**
 * An open curve as a loop: its last key becomes the first one of the next cycle.
 *
 * The seam keeps the first key's value and right side and the last key's left side, so nothing moves where
 * the ends meet; where they do not, the misses are stated.
 *
 * @param options.travels - whether the distance gained is carried on; false leaves the value where it began
 * @returns the loop, and by how much value and slope missed
 * @throws RangeError where the curve repeats already or has fewer than two keys
 * @example
 * import { loopCurve } from 'underfoot/curves';
 * const tangent = { span: 0.3, slope: 1 };
 * const keys = [
 *   { time: 0, value: 0, in: tangent, out: tangent },
 *   { time: 1, value: 1, in: tangent, out: tangent },
 * ];
 * const { curve, seam } = loopCurve({ keys, start: 0, before: 'holds', after: 'holds' }, { travels: true });
 * console.log(curve.gain, seam.value, seam.slope); // → 1 0 0
 */
export function loopCurve(curve: Curve, options: { readonly travels?: boolean } = {}): LoopResult {
  const { keys } = requireOpen('loopCurve', curve, 'curve');
  if (keys.length < 2) {
    throw errorOf('loopCurve', {
      field: 'keys',
      rule: 'must have at least 2 entries',
      got: '1',
      kind: 'range',
    });
  }
  const first = keys[0];
  const last = keys[keys.length - 1];
  const end = last.arrives ?? last.value;
  const gain = options.travels ? end - first.value : 0;
  const value = end - gain - first.value;
  const { arrives: _, ...rest } = first;
  const seam: Key = { ...rest, in: last.in, ...(value === 0 ? {} : { arrives: end - gain }) };
  const side = options.travels ? 'travels' : 'loops';
  return {
    curve: {
      ...curve,
      keys: [seam, ...keys.slice(1, -1)],
      start: first.time,
      period: last.time - first.time,
      ...(gain ? { gain } : {}),
      before: side,
      after: side,
    },
    seam: { value, slope: last.in.slope - first.out.slope },
  };
}

/**
 * Several cycles of a loop as an open curve, from the first key of the cycle on.
 *
 * Keys are repeated, with the gain added where the curve travels, and the first key once more at the end.
 *
 * @param cycles - how many, ≥ 1
 * @returns an open curve that holds outside
 * @throws RangeError where the curve does not repeat, `cycles` is not whole, or more than 10⁶ keys would result
 * @example
 * import { unrollCurve } from 'underfoot/curves';
 * const flat = { span: 0.3, slope: 0 };
 * const keys = [{ time: 0, value: 1, in: flat, out: flat }];
 * const loop = { keys, start: 0, period: 1, before: 'loops' as const, after: 'loops' as const };
 * console.log(unrollCurve(loop, 3).keys.length); // → 4
 */
export function unrollCurve(curve: Curve, cycles: number): Curve {
  requireCurve('unrollCurve', curve);
  const period = requirePeriod('unrollCurve', curve);
  requireNumber('unrollCurve', 'cycles', cycles, { min: 1, max: 1e6 / curve.keys.length, whole: true });
  const { gain, period: _, ...rest } = curve;
  const travels = curve.after === 'travels';
  const lift = travels ? (gain ?? 0) : 0;
  const jump = travels ? 0 : (gain ?? 0);
  const keys: Key[] = [];
  for (let c = 0; c < cycles; c++) {
    curve.keys.forEach((key, i) => {
      const moved = { ...key, time: key.time + c * period, value: key.value + c * lift };
      if (key.arrives !== undefined) moved.arrives = key.arrives + c * lift;
      if (i === 0 && c > 0 && jump !== 0) moved.arrives = (key.arrives ?? key.value) + jump;
      keys.push(moved);
    });
  }
  const { arrives, next: __, ...first } = curve.keys[0];
  keys.push({
    ...first,
    time: first.time + cycles * period,
    value: (arrives ?? first.value) + cycles * lift + jump,
  });
  return { ...rest, keys, start: keys[0].time, before: 'holds', after: 'holds' };
}

function requirePeriod(where: string, curve: Curve): number {
  if (curve.period !== undefined) return curve.period;
  throw errorOf(where, {
    field: 'period',
    rule: 'must be given: only a loop will do',
    got: 'undefined',
    kind: 'range',
  });
}

/**
 * The same loop, its cycle beginning at another time. Nothing moves; keys are listed from there on.
 *
 * @param start - s, any finite number
 * @returns the loop with keys in [start, start + period)
 * @throws RangeError where the curve does not repeat both ways, since what lies outside would change
 * @example
 * import { cutLoop } from 'underfoot/curves';
 * const flat = { span: 0.1, slope: 0 };
 * const keys = [0, 0.5].map((time) => ({ time, value: time, in: flat, out: flat }));
 * const loop = { keys, start: 0, period: 1, before: 'loops' as const, after: 'loops' as const };
 * console.log(cutLoop(loop, 0.25).keys.map((key) => key.time)); // → [ 0.5, 1 ]
 */
export function cutLoop(curve: Curve, start: number): Curve {
  requireCurve('cutLoop', curve);
  const period = requirePeriod('cutLoop', curve);
  requireNumber('cutLoop', 'start', start, { unit: 's' });
  const repeats = (curve.before === 'loops' || curve.before === 'travels') && curve.before === curve.after;
  if (!repeats || (curve.gain && curve.before === 'loops')) {
    const rule = 'must be "loops" (without a gain) or "travels", as after is';
    throw errorOf('cutLoop', { field: 'before', rule, got: `"${curve.before}"`, kind: 'range' });
  }
  const gain = curve.gain ?? 0;
  const keys = curve.keys.map((key): Key => {
    let turns = Math.ceil((start - key.time) / period);
    if (key.time + turns * period >= start + period) turns--;
    const time = key.time + turns * period;
    const moved = { ...key, time: Math.max(time, start), value: key.value + turns * gain };
    return key.arrives === undefined ? moved : { ...moved, arrives: key.arrives + turns * gain };
  });
  keys.sort((a, b) => a.time - b.time);
  return { ...curve, keys, start };
}
