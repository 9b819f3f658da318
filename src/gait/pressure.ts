import { bernstein } from './bernstein.js';
import { COEFFICIENTS } from './coefficients.js';

/**
 * How far the centre of pressure has travelled along the foot, as a fraction of its whole travel, at a
 * fraction `u` in [0, 1] of stance: it starts under the heel, moves on to the forefoot and dwells there.
 */
export function pressureProgress(u: number): number {
  return bernstein(COEFFICIENTS.pressure, Math.min(1, u));
}
