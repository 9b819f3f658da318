import fc from 'fast-check';
import type { Curve, Key, Outside, SegmentKind } from '../../curves/curve.js';
import { evenly } from './numbers.js';

/** Which curves to generate. */
export interface CurveChoice {
  /** Repeating, open, or either. Default either. */
  readonly repeats?: boolean;
  /** Segments to use. Default all three. */
  readonly kinds?: readonly SegmentKind[];
  /** What may happen before and after the keys; only what fits an open curve is used for one. Default all. */
  readonly outside?: readonly Outside[];
  /** Most keys, at least 2. Default 6. */
  readonly maxKeys?: number;
  /** Handles of any valid length, up to a vertical tangent, instead of those below 0.6 of their segment. */
  readonly steep?: boolean;
  /** Jumps now and then. Default false. */
  readonly jumps?: boolean;
  /** Whether every key and the period fall on whole numbers of s. Default false. */
  readonly wholeTimes?: boolean;
}

const TAME = [0, 1 / 3, 1 / 3, 0.5];
const STEEP = [0, 1e-12, 1e-6, 1 / 3, 1 / 3 + 1e-13, 0.5, 1 - 1e-12, 1];

interface Side {
  readonly share: number;
  readonly rise: number;
}

interface Draft {
  readonly gap: number;
  readonly value: number;
  readonly left: Side;
  readonly right: Side;
  readonly next: SegmentKind;
  readonly jump: number | null;
}

/**
 * Valid curves of 2 keys and more, aimed at the seams: handles of no length, of a third, and up to the
 * whole segment, corners, holds, cycles that begin before their first key.
 *
 * Values are whole thousandths in [−2, 2], times in s; segments last between 1 and 24 s.
 *
 * @param choice - which curves; all kinds by default
 *
 * @example
 * ```ts
 * import fc from 'fast-check';
 * import { evaluate } from 'underfoot/curves';
 * import { curves } from 'underfoot/testing';
 *
 * const met = fc.property(curves({ kinds: ['line'], repeats: false }), (curve) => {
 *   const [key] = curve.keys;
 *   return evaluate(curve, key.time) === key.value;
 * });
 * console.log(fc.check(met, { numRuns: 50 }).failed); // → false
 * ```
 */
export function curves(choice: CurveChoice = {}): fc.Arbitrary<Curve> {
  const { kinds = ['curve', 'curve', 'line', 'hold'], maxKeys = 6, steep = false, jumps = false } = choice;
  const { wholeTimes = false, repeats, outside = ['holds', 'straight', 'loops', 'travels'] } = choice;
  const side = fc.record({
    share: fc.oneof(fc.constantFrom(...(steep ? STEEP : TAME)), evenly(0, steep ? 1 : 0.6)),
    rise: fc.oneof(fc.constantFrom(0, 1), evenly(-4, 4)),
  });
  const value = fc.integer({ min: -2000, max: 2000 }).map((n) => n / 1000);
  const whole = fc.integer({ min: 1, max: 24 });
  const key = fc.record({
    gap: wholeTimes ? whole : fc.oneof(whole, evenly(1, 24)),
    value,
    left: side,
    right: side,
    next: fc.constantFrom(...kinds),
    jump: jumps ? fc.option(value, { freq: 8 }) : fc.constant(null),
  });
  const open = outside.filter((name) => name === 'holds' || name === 'straight');
  return fc
    .record({
      start: fc.integer({ min: 0, max: 12 }),
      lead: fc.constantFrom(0, 0, 1),
      keys: fc.array(key, { minLength: 2, maxLength: maxKeys }),
      cyclic: repeats === undefined ? fc.boolean() : fc.constant(repeats),
      gain: fc.constantFrom(0, 0.7, -1.5),
      ends: fc.tuple(fc.constantFrom(...outside), fc.constantFrom(...outside)),
      openEnds: fc.tuple(
        fc.constantFrom(...(open.length > 0 ? open : ['holds' as const])),
        fc.constantFrom(...(open.length > 0 ? open : ['holds' as const])),
      ),
    })
    .map(({ start, lead, keys, cyclic, gain, ends, openEnds }) =>
      cyclic ? loopOf(start, lead, keys, gain, ends) : openOf(start, keys, openEnds),
    );
}

function openOf(
  start: number,
  drafts: readonly Draft[],
  [before, after]: readonly [Outside, Outside],
): Curve {
  return { keys: keysOf(start, drafts, 0), start, before, after };
}

function loopOf(
  start: number,
  lead: number,
  drafts: readonly Draft[],
  gain: number,
  [before, after]: readonly [Outside, Outside],
): Curve {
  const period = lead + drafts.reduce((sum, { gap }) => sum + gap, 0);
  return { keys: keysOf(start + lead, drafts, lead), start, period, gain, before, after };
}

/** Keys one after the other; the last segment of a cycle is longer by what it begins before its first key. */
function keysOf(from: number, drafts: readonly Draft[], lead: number): Key[] {
  let time = from;
  const n = drafts.length;
  const lengths = drafts.map(({ gap }, i) => gap + (i === n - 1 ? lead : 0));
  return drafts.map(({ value, left, right, next, jump, gap }, i) => {
    const key: Key = {
      time,
      value,
      in: tangent(left, lengths[(i + n - 1) % n]),
      out: tangent(right, lengths[i]),
      next,
      ...(jump === null ? {} : { arrives: jump }),
    };
    time += gap;
    return key;
  });
}

const tangent = ({ share, rise }: Side, length: number) => ({ span: share * length, slope: rise / length });
