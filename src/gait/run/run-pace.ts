/**
 * Measured laws of running against dimensionless speed v* = speed / √(gravity × leg length), at a leg of 0.90 m.
 *
 * Source: Munro, Miller & Fuglevand 1987 (J Biomech 20:147, 20 men, 3.0 to 5.0 m/s): mean vertical force of the
 * contact 1.40 to 1.70 BW, contact 0.270 to 0.199 s. From memory of their table.
 */

/** Step length over leg length at v* = 1, and its exponent: what Munro's contacts and mean forces make of the step. */
export const RUN_STEP_FACTOR = 1.252;
export const RUN_STEP_EXPONENT = 0.783;

/** Mean load of the contact in BW at no speed and per dimensionless speed: the line through Munro's two ends. */
const MEAN_LOAD = { base: 0.95, growth: 0.446 } as const;

/** Longest and shortest contacts, as fractions of the stride, that the law gives; an author may ask for [0.1, 0.49]. */
const DUTY = { min: 0.12, max: 0.475 } as const;

/** Duty factors that may be asked for: at one half there is no flight left. */
export const DUTY_LIMITS = { min: 0.1, max: 0.49 } as const;

/**
 * Peak over mean load of the contact: falling with speed. Empirical, chosen by hand between three sources that
 * differ: thrust maxima of 2.5 to 2.8 BW at 3 to 5 m/s (Munro et al. 1987, memory), 2.9 at 6 (Nilsson &
 * Thorstensson 1989, memory), about 2.5 at 6 (Keller et al. 1996, abstract).
 */
const PEAK_OVER_MEAN = { at: 1.65, speed: 1.01, growth: -0.198, min: 1.42, max: 1.72 } as const;

/**
 * Fraction of the stride that a running foot is on the ground, from the dimensionless speed.
 *
 * @param dimensionlessSpeed - speed over √(gravity × leg length), ≥ 0
 *
 * @example
 * ```ts
 * import { dutyFactorFor } from 'underfoot';
 *
 * console.log(dutyFactorFor(1).toFixed(3)); // → 0.358
 * ```
 */
export function dutyFactorFor(dimensionlessSpeed: number): number {
  const mean = MEAN_LOAD.base + MEAN_LOAD.growth * dimensionlessSpeed;
  return Math.min(DUTY.max, Math.max(DUTY.min, 1 / (2 * mean)));
}

/** Peak over mean load of a contact, from the dimensionless speed. */
export function peakOverMeanFor(dimensionlessSpeed: number): number {
  const { at, speed, growth, min, max } = PEAK_OVER_MEAN;
  return Math.min(max, Math.max(min, at + growth * (dimensionlessSpeed - speed)));
}
