/**
 * Fractions of the pace at the first contacts after standing and at the last before it. People come to their
 * pace in about three steps and stand after about two (Jian, Winter, Ishac & Gilchrist 1993; Miller &
 * Verstraete 1996); the single values are from memory of their curves. Slow walks need fewer, quick ones
 * more to stop.
 */
const START = [[1], [0.8, 1], [0.66, 0.93, 1]] as const;
const STOP = [[0.7], [0.6, 0.85], [0.55, 0.75, 0.9]] as const;

/** Dimensionless speeds up to which one, and up to which two steps are enough. */
const START_LIMITS = [0.12, 0.28] as const;
const STOP_LIMITS = [0.5, 0.7] as const;

function stepsFor(dimensionlessSpeed: number, limits: readonly [number, number]): number {
  return dimensionlessSpeed <= limits[0] ? 0 : dimensionlessSpeed <= limits[1] ? 1 : 2;
}

/** Fraction of its pace at the n-th contact after standing, n ≥ 1. */
export function startFraction(dimensionlessSpeed: number, n: number): number {
  return START[stepsFor(dimensionlessSpeed, START_LIMITS)][n - 1] ?? 1;
}

/** Fraction of its pace at the n-th contact before the closing one, n ≥ 1. */
export function stopFraction(dimensionlessSpeed: number, n: number): number {
  return STOP[stepsFor(dimensionlessSpeed, STOP_LIMITS)][n - 1] ?? 1;
}

/** How many steps a change of pace takes: one for each 0.1 of dimensionless speed, up to four. By eye. */
export function changeSteps(from: number, to: number): number {
  return Math.min(4, Math.max(1, Math.ceil(Math.abs(to - from) / 0.1 - 1e-9)));
}
