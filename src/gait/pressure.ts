/**
 * How far the centre of pressure has travelled along the foot, as a fraction of its whole travel, at a
 * fraction `u` of stance, held within [0, 1]: slowly off the heel, on to the forefoot, and there it dwells.
 */
export function pressureProgress(u: number): number {
  const v = Math.min(1, Math.max(0, u));
  return v * v * (3 - 2 * v);
}
