/**
 * Solves x(s) = x for a segment's parameter, where x(s) = ((A s + B) s + C) s rises from 0 to 1.
 *
 * Closed forms lose their digits where the leading coefficient is at or near zero, so the root is found by
 * Halley steps kept inside a bracket; a step that would leave it, and every step after the tenth, bisects.
 * The residual of a step follows exactly from the Taylor series of a cubic, which saves one evaluation.
 */

/** Steps after which the solver only bisects. */
const FREE_STEPS = 10;

/** Bound on the number of steps: ten free ones and as many halvings as a double has bits. */
export const MAX_STEPS = 64;

/** Residual in normalised time at which a root is accepted; a few units in the last place of 1. */
export const RESIDUAL = 5e-16;

/** Offsets in a solver's work array: the cubic's coefficients, the time asked for, guess and answer. */
export const WORK_A = 0;
export const WORK_B = 1;
export const WORK_C = 2;
export const WORK_X = 3;
export const WORK_S = 4;

/** Length of a solver's work array. */
export const WORK_SIZE = 5;

/**
 * Replaces the guess `work[WORK_S]` by the parameter in [0, 1] at which the segment reaches normalised time
 * `work[WORK_X]`. Numbers go in and out through the array, since an engine may put a number that is passed
 * to or returned from a function on the heap.
 */
export function solveWork(work: Float64Array): void {
  const a = work[WORK_A];
  const b = work[WORK_B];
  const c = work[WORK_C];
  const x = work[WORK_X];
  const guess = work[WORK_S];
  if (!(x > 0 && x < 1)) {
    work[WORK_S] = x > 0 ? 1 : 0;
    return;
  }
  let low = 0;
  let high = 1;
  let s = guess > 0 && guess < 1 ? guess : x;
  for (let step = 0; step < MAX_STEPS; step++) {
    const f = ((a * s + b) * s + c) * s - x;
    if (f > 0) high = s;
    else low = s;
    const d = (3 * a * s + 2 * b) * s + c;
    const e = 3 * a * s + b;
    let next = s - (f * d) / (d * d - f * e);
    if (!(next > low && next < high) || step > FREE_STEPS) next = 0.5 * (low + high);
    const move = next - s;
    const left = f + move * (d + move * (e + move * a));
    s = next;
    if (left < RESIDUAL && left > -RESIDUAL) break;
  }
  work[WORK_S] = s;
}

const scratch = new Float64Array(WORK_SIZE);

/**
 * Parameter s in [0, 1] at which a segment reaches normalised time `x` in [0, 1].
 *
 * @param guess - a first guess; any number, best near the answer
 */
export function solveTime(a: number, b: number, c: number, x: number, guess: number): number {
  scratch[WORK_A] = a;
  scratch[WORK_B] = b;
  scratch[WORK_C] = c;
  scratch[WORK_X] = x;
  scratch[WORK_S] = guess;
  solveWork(scratch);
  return scratch[WORK_S];
}
