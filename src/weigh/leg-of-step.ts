import { STEP_EXPONENT, STEP_FACTOR } from '../gait/pace.js';

/** Leg lengths in m that a recording of people or characters may suggest. */
const LEGS = { min: 0.1, max: 10 } as const;

/**
 * Leg length in m of somebody who takes steps of a length (m) at a speed (m/s) by the default law of step
 * length, s/L = 1.12 (v/√(gL))^0.43, solved for L; held within 0.1 and 10 m.
 *
 * Forces do not tell it: a longer leg with a livelier swing loads the floor alike, and a fit of both runs
 * away to legs that nobody has. The law's own spread among people is about 7 %, which makes 9 % of a leg.
 */
export function legOfStep(speed: number, stepLength: number, gravity: number): number {
  const leg =
    (stepLength / STEP_FACTOR) ** (2 / (2 - STEP_EXPONENT)) *
    (gravity / speed ** 2) ** (STEP_EXPONENT / (2 - STEP_EXPONENT));
  return Math.min(LEGS.max, Math.max(LEGS.min, leg));
}
