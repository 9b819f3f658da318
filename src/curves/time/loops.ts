import { errorOf, requireNumber, requireRecord, show } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Key } from '../curve.js';
import { bothMeta } from '../edit/both-meta.js';
import { requireOpen } from '../edit/insert-key.js';
import { gainAsJump } from './gain-as-jump.js';
import { settle } from './settle.js';

/** A loop made of an open curve, and how well its ends meet. */
export interface LoopResult {
  readonly curve: Curve;
  /** Last key less first key, before they were made one: value (less the gain) and slope, in value per second. */
  readonly seam: { readonly value: number; readonly slope: number };
}

/**
 * An open curve as a loop: its last key becomes the first one of the next cycle.
 *
 * The seam keeps the first key's value and right side and the last key's left side, so nothing moves where
 * the ends meet; where they do not, the misses are stated. Of both keys' metadata every field is kept, the first
 * key's where they differ, and the seam is locked if either is.
 *
 * @param options.travels - whether the distance gained is carried on; false, the default, goes back to the first value
 * @returns the loop, and by how much value and slope missed
 * @throws RangeError where the curve repeats already or has fewer than two keys, TypeError for unknown options
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
  requireRecord('loopCurve', 'options', options, ['travels']);
  if (options.travels !== undefined && typeof options.travels !== 'boolean') {
    const rule = 'must be true or false';
    throw errorOf('loopCurve', { field: 'travels', rule, got: show(options.travels), kind: 'type' });
  }
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
  // What is held before the last key never arrives at it.
  const held = keys[keys.length - 2].next === 'hold';
  const end = held ? last.value : (last.arrives ?? last.value);
  const gain = options.travels ? end - first.value : 0;
  const value = end - gain - first.value;
  const { arrives: _, ...rest } = first;
  const seam: Key = {
    ...rest,
    in: last.in,
    ...(value === 0 ? {} : { arrives: end - gain }),
    ...(first.locked || last.locked ? { locked: true } : {}),
    ...bothMeta(first, last),
  };
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
 * Keys are repeated, with the gain added where the curve travels, and the first key once more at the end, with the
 * value that arrives there. A loop that gains and does not travel drops the gain at the start of each
 * cycle: it is unrolled from there, with a key that jumps.
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
  const travels = curve.after === 'travels';
  const { gain = 0, period: _, ...rest } = travels ? curve : gainAsJump('unrollCurve', curve);
  const keys: Key[] = [];
  const laterBy = (key: Key, cycle: number): Key => ({
    ...key,
    time: key.time + cycle * period,
    value: key.value + cycle * gain,
    ...(key.arrives === undefined ? {} : { arrives: key.arrives + cycle * gain }),
  });
  for (let c = 0; c < cycles; c++) keys.push(...rest.keys.map((key) => laterBy(key, c)));
  const { arrives, next: __, ...last } = laterBy(rest.keys[0], cycles);
  keys.push(arrives === undefined ? last : { ...last, value: arrives });
  return settle('unrollCurve', { ...rest, keys, start: keys[0].time, before: 'holds', after: 'holds' });
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
 * Where a loop gains and does not travel, the gain that it drops at the start of each cycle becomes the jump
 * of a key there.
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
  const both = [curve.before, curve.after];
  const alike = curve.before === curve.after || !curve.gain;
  if (!alike || !both.every((side) => side === 'loops' || side === 'travels')) {
    const rule = 'must be "loops" or "travels", and the same on both sides';
    throw errorOf('cutLoop', { field: 'before', rule, got: both.map(show).join(' and '), kind: 'range' });
  }
  const whole = curve.before === 'travels' ? curve : gainAsJump('cutLoop', curve);
  const { gain = 0 } = whole;
  const keys = whole.keys.map((key): Key => {
    let turns = Math.ceil((start - key.time) / period);
    if (key.time + turns * period >= start + period) turns--;
    if (turns === 0) return key;
    const time = Math.max(start, key.time + turns * period);
    const moved = { ...key, time, value: key.value + turns * gain };
    return key.arrives === undefined ? moved : { ...moved, arrives: key.arrives + turns * gain };
  });
  keys.sort((a, b) => a.time - b.time);
  return settle('cutLoop', { ...whole, keys, start });
}
