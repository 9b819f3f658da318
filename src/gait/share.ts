import { bernstein } from './bernstein.js';
import { COEFFICIENTS } from './coefficients.js';
import type { Side, Sides, Stance } from './walk.js';

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
export function sampleShares(stance: Sides<Stance>, phase: number, out: Float64Array): void {
  const left = wrapPhase(phase - stance.left.contact);
  const right = wrapPhase(phase - stance.right.contact);
  // The foot that landed last has taken over the more of it the longer it has stood.
  const landed: Side = left < right ? 'left' : 'right';
  const since = Math.min(left, right);
  const [own, other] = landed === 'left' ? [stance.left, stance.right] : [stance.right, stance.left];
  const support = other.fraction - wrapPhase(own.contact - other.contact);
  const share = since >= support ? 1 : bernstein(COEFFICIENTS.handOver, since / support);
  out[0] = landed === 'left' ? share : 1 - share;
  out[1] = landed === 'left' ? 1 - share : share;
}
