import type { Side, Sides, Stance } from './walk.js';

/**
 * Share of the load that the landing foot carries, at a fraction `u` in [0, 1] of the double support.
 * Monotone from 0 to 1 with flat ends in slope and curvature; the leaving foot carries the rest.
 */
export function handOver(u: number): number {
  if (u <= 0) return 0;
  if (u >= 1) return 1;
  return u * u * u * (10 + u * (6 * u - 15));
}

/** Phase brought into [0, 1). */
export function wrapPhase(phase: number): number {
  const wrapped = phase - Math.floor(phase);
  return wrapped < 1 ? wrapped : 0;
}

/**
 * The shares of the two feet at a phase; they add to 1, and a foot off the ground carries 0.
 *
 * @param out - receives the left share in `out[0]`, the right one in `out[1]`
 */
export function sampleShares(stance: Sides<Stance>, phase: number, out: Float64Array): void {
  const left = shareOf(stance, 'left', phase);
  out[0] = left;
  out[1] = 1 - left;
}

function shareOf(stance: Sides<Stance>, side: Side, phase: number): number {
  const own = stance[side];
  const other = stance[side === 'left' ? 'right' : 'left'];
  const since = wrapPhase(phase - own.contact);
  const sinceOther = wrapPhase(phase - other.contact);
  if (since >= own.fraction) return 0;
  if (since <= sinceOther) {
    // This foot landed last: it takes over until the other one lifts.
    const support = other.fraction - wrapPhase(own.contact - other.contact);
    return handOver(since / support);
  }
  const support = own.fraction - wrapPhase(other.contact - own.contact);
  return 1 - handOver(sinceOther / support);
}
