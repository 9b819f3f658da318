import {
  errorOf,
  numberProblem,
  type Problem,
  recordProblem,
  refuseAny,
  requireArray,
  requireChoice,
  requireRecord,
} from '../../internal/check.js';
import { keyProblems, requireCurve } from '../check-curve.js';
import type { Curve, Key, Tangent } from '../curve.js';

/** A handle as its distance from the key, in s and value units; on the left of a rise both are negative. */
export interface Offset {
  /** Time from the key to the handle in s: ≤ 0 on the left, ≥ 0 on the right. */
  readonly time: number;
  /** Value from the key to the handle. */
  readonly value: number;
}

/** A key whose handles are offsets; everything else as in `Key`. */
export interface OffsetKey extends Omit<Key, 'in' | 'out'> {
  readonly in: Offset;
  readonly out: Offset;
}

/** What to do with handles that have no slope, and which keys to keep as they were. */
export interface FromOffsetsOptions {
  /** `refuse` (the default) throws by key; `flatten` sets their slope to 0 and states the value that is lost. */
  readonly vertical?: 'refuse' | 'flatten';
  /** The curve the offsets came from: handles that nobody touched are taken from it bit by bit. */
  readonly like?: Curve;
}

/** Keys made from offsets, and what flattening moved. */
export interface FromOffsetsResult {
  readonly keys: readonly Key[];
  /** Largest height of a flattened handle: no value moves by more; 0 where none was flattened. */
  readonly error: number;
  /** Index of the key at which that is; −1 where none was flattened. */
  readonly at: number;
}

// Written as 0 − x so that a span of zero does not give −0.
const leftOf = ({ span, slope }: Tangent): Offset => ({ time: 0 - span, value: 0 - span * slope });
const rightOf = ({ span, slope }: Tangent): Offset => ({ time: span, value: span * slope });

const same = (a: Offset, b: Offset): boolean => a.time === b.time && a.value === b.value;

/** What is wrong with a key whose handles are offsets, but for where they point. */
function offsetProblems(field: string, key: unknown): Problem[] {
  const flat = { span: 0, slope: 0 };
  const shape = recordProblem(field, key);
  if (shape) return [shape];
  const sides = key as Record<string, unknown>;
  const problems = keyProblems(field, { ...sides, in: flat, out: flat });
  for (const side of ['in', 'out']) {
    const wrong = recordProblem(`${field}.${side}`, sides[side], ['time', 'value']);
    const { time, value } = (sides[side] ?? {}) as Record<string, unknown>;
    const parts = [
      numberProblem(`${field}.${side}.time`, time, { unit: 's' }),
      numberProblem(`${field}.${side}.value`, value),
    ];
    for (const problem of wrong ? [wrong] : parts) if (problem) problems.push(problem);
  }
  return problems;
}

/**
 * The keys of a curve with handles as time–value offsets: s and value units.
 *
 * Each offset is span and span × slope; exact but for one rounding.
 *
 * @returns one key per key, everything else carried along
 * @throws RangeError or TypeError where the curve is not one
 * @example
 * import { toOffsets } from 'underfoot/curves';
 * const tangent = { span: 0.5, slope: 2 };
 * const key = { time: 1, value: 3, in: tangent, out: tangent };
 * console.log(toOffsets({ keys: [key], start: 1, before: 'holds', after: 'holds' })[0].out.value); // → 1
 */
export function toOffsets(curve: Curve): OffsetKey[] {
  return requireCurve('toOffsets', curve).keys.map((key) => ({
    ...key,
    in: leftOf(key.in),
    out: rightOf(key.out),
  }));
}

/**
 * Keys from handles given as time–value offsets, slopes in value units per second.
 *
 * Slope is value over time. A handle with no width but a height has no slope: it is refused by key, or
 * flattened, in which case `error` bounds how far the curve can move, since a cubic stays between its handles.
 * Back to a curve: `{ ...curve, keys: fromOffsets(offsets).keys }`.
 *
 * @param keys - keys with offsets, for example from `toOffsets`
 * @param options - see `FromOffsetsOptions`
 * @returns keys, and the largest value lost by flattening
 * @throws RangeError for a vertical handle (unless flattened), or one that points the wrong way; RangeError or
 * TypeError where keys or options are not usable
 * @example
 * import { fromOffsets } from 'underfoot/curves';
 * const key = { time: 1, value: 3, in: { time: -0.5, value: -1 }, out: { time: 0.5, value: 1 } };
 * console.log(fromOffsets([key]).keys[0].in.slope); // → 2
 */
export function fromOffsets(keys: readonly OffsetKey[], options: FromOffsetsOptions = {}): FromOffsetsResult {
  requireArray('fromOffsets', 'keys', keys);
  requireRecord('fromOffsets', 'options', options, ['vertical', 'like']);
  const vertical = requireChoice('fromOffsets', 'vertical', options.vertical ?? 'refuse', [
    'refuse',
    'flatten',
  ]);
  if (options.like !== undefined) requireCurve('fromOffsets', options.like, 'like');
  refuseAny(
    'fromOffsets',
    keys.flatMap((key, i) => offsetProblems(`keys[${i}]`, key)),
  );
  let error = 0;
  let at = -1;
  const known = new Map<number, Key>(options.like?.keys.map((key) => [key.time, key]));
  const tangent = (offset: Offset, sign: number, i: number, side: string): Tangent => {
    const field = `keys[${i}].${side}`;
    if (offset.time * sign < 0) {
      const rule = `must point ${sign < 0 ? 'left' : 'right'}`;
      throw errorOf('fromOffsets', { field, rule, got: `${offset.time} s, ${offset.value}`, kind: 'range' });
    }
    const span = Math.abs(offset.time);
    const slope = span > 0 ? offset.value / offset.time : 0;
    if (offset.value !== 0 && !(span > 0 && Number.isFinite(slope))) {
      if (vertical === 'refuse') {
        const rule = 'must not be vertical: it has no slope, unless vertical is "flatten"';
        throw errorOf('fromOffsets', {
          field,
          rule,
          got: `${offset.time} s, ${offset.value}`,
          kind: 'range',
        });
      }
      if (Math.abs(offset.value) > error) {
        error = Math.abs(offset.value);
        at = i;
      }
      return { span, slope: 0 };
    }
    return { span, slope };
  };
  const made = keys.map((key, i): Key => {
    const old = known.get(key.time);
    const left = old && same(leftOf(old.in), key.in) ? old.in : tangent(key.in, -1, i, 'in');
    const right = old && same(rightOf(old.out), key.out) ? old.out : tangent(key.out, 1, i, 'out');
    return { ...key, in: left, out: right };
  });
  return { keys: made, error, at };
}
