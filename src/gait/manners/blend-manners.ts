import { numberProblem, refuseAny } from '../../internal/check.js';
import {
  DIALS,
  type MannerName,
  mannerFrom,
  mannerProblems,
  NEUTRAL,
  type WalkManner,
} from './walk-manner.js';

/**
 * A manner between two others, dial by dial in a straight line.
 *
 * A dial that one of them leaves out counts as neutral there, so that blending with `{}` turns a manner down.
 * At 0 and 1 every dial is the one manner's or the other's to the bit; between, it never turns back as
 * `amount` rises.
 *
 * @param from - manner at 0: a name or numbers
 * @param to - manner at 1: a name or numbers
 * @param amount - in [0, 1]
 * @returns the manner, plain read-only data
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { blendManners } from 'underfoot';
 *
 * console.log(blendManners({ swing: 0.5, crouch: 0.5 }, { swing: 1.5 }, 0.5)); // → { swing: 1, crouch: 0.25 }
 * ```
 */
export function blendManners(
  from: MannerName | WalkManner,
  to: MannerName | WalkManner,
  amount: number,
): WalkManner {
  refuseAny('blendManners', [
    ...mannerProblems('from', from),
    ...mannerProblems('to', to),
    numberProblem('amount', amount, { min: 0, max: 1 }),
  ]);
  const [a, b] = [mannerFrom(from), mannerFrom(to)];
  const blend: Record<string, number> = {};
  for (const dial of DIALS) {
    if (a[dial] === undefined && b[dial] === undefined) continue;
    blend[dial] = between(a[dial] ?? NEUTRAL[dial], b[dial] ?? NEUTRAL[dial], amount);
  }
  return blend;
}

/**
 * Linear interpolation that is exact at both ends and never turns back (after the scheme that the C++ standard
 * committee's paper P0811 gives for `lerp`).
 */
function between(a: number, b: number, t: number): number {
  if (Math.sign(a) * Math.sign(b) <= 0) return t * b + (1 - t) * a;
  if (t === 1) return b;
  const x = a + t * (b - a);
  return b > a ? Math.min(b, x) : Math.max(b, x);
}
