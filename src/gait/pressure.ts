/**
 * How far the centre of pressure has travelled along the foot, as a fraction of its whole travel, at a
 * fraction `u` in [0, 1] of stance: it starts under the heel, dwells under the arch and ends at the toes.
 */
export function pressureProgress(u: number): number {
  return u;
}
