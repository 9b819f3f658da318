import { bernstein } from './bernstein.js';
import { COEFFICIENTS } from './coefficients.js';
import type { Sides, Stance } from './walk.js';

/** Phase brought into [0, 1). */
export function wrapPhase(phase: number): number {
  const wrapped = phase - Math.floor(phase);
  return wrapped < 1 ? wrapped : 0;
}

/**
 * The shares of the load that the two feet carry at a phase; they add to 1, and a foot off the ground
 * carries 0. Across a double support the landing foot takes over along a
 * polynomial whose control values rise from two zeros to two ones: monotone, with flat ends.
 *
 * @param out - receives the left share in `out[0]`, the right one in `out[1]`
 */
export function sampleShares({ left, right }: Sides<Stance>, phase: number, out: Float64Array): void {
  const sinceLeft = wrapPhase(phase - left.contact);
  const sinceRight = wrapPhase(phase - right.contact);
  // The foot that landed last has taken over the more of it the longer it has stood.
  const leftLast = sinceLeft < sinceRight;
  const since = leftLast ? sinceLeft : sinceRight;
  const own = leftLast ? left : right;
  const other = leftLast ? right : left;
  const support = other.fraction - wrapPhase(own.contact - other.contact);
  const share = since >= support ? 1 : bernstein(COEFFICIENTS.handOver, since / support);
  out[0] = leftLast ? share : 1 - share;
  out[1] = leftLast ? 1 - share : share;
}
