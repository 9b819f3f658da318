/**
 * Stance fractions are within (0.5, 0.85]: at 0.5 there is no double support left, and beyond 0.85 the
 * swing is too short to be a step.
 */
export const STANCE_LIMITS = { above: 0.5, max: 0.85 } as const;

/**
 * Fraction of the stride that a foot is on the ground, from the dimensionless speed.
 *
 * Straight line 0.642 − 0.104 v* from 0.29 up (Kirtley, Whittle & Jefferson 1985: 64.2 − 3.5 v, made
 * dimensionless with a leg of 0.90 m), 0.68 at 0.17 and below (Schwartz et al. 2008, very slow walk), and
 * between them the cubic that meets both in value and slope. Never below 0.52, so that a walk stays one.
 *
 * @param dimensionlessSpeed - speed over √(gravity × leg length), ≥ 0
 *
 * @example
 * ```ts
 * import { stanceFractionFor } from 'underfoot';
 *
 * console.log(stanceFractionFor(0.43).toFixed(3)); // → 0.597
 * ```
 */
export function stanceFractionFor(dimensionlessSpeed: number): number {
  const v = dimensionlessSpeed;
  const [v0, b0] = [0.17, 0.68];
  const [v1, slope] = [0.29, -0.104];
  const line = (x: number): number => 0.642 + slope * x;
  if (v <= v0) return b0;
  if (v >= v1) return Math.max(line(v), 0.52);
  const span = v1 - v0;
  const u = (v - v0) / span;
  const b1 = line(v1);
  // Cubic Hermite, flat at v0 and on the line's slope at v1.
  return b0 + (b1 - b0) * u * u * (3 - 2 * u) + slope * span * u * u * (u - 1);
}
