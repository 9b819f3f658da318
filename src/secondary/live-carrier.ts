import { errorOf, show } from '../internal/check.js';

/** Longest live step in s. */
export const LONGEST = 60;
/** Largest size of anything a driver may hold, in its own unit. */
export const LARGEST = 1e9;

/** Refuses a step that is not one; allocates only where it throws. */
export function checkStep(dt: number): void {
  if (dt >= 0 && dt <= LONGEST) return;
  throw errorOf('step', { field: 'dt', rule: `must be in [0, ${LONGEST}] s`, got: show(dt), kind: 'range' });
}

/** The number at `i`, which has to be finite; 0 past the end. */
export function readDriven(driver: ArrayLike<number>, i: number): number {
  const x = i < driver.length ? driver[i] : 0;
  if (x >= -LARGEST && x <= LARGEST) return x;
  throw errorOf('step', {
    field: `driver[${i}]`,
    rule: `must be a number within ±${LARGEST}`,
    got: show(x),
    kind: 'range',
  });
}

/** State kept of a carrier that is given by its positions: how much is known, position, velocity. */
export const CARRIER_STATE = 7;

/**
 * Learns a carrier's new position and writes the change of its speed at the beginning of the step into
 * `change[0..2]`, m/s. `state` holds from `at` on: what is known (0 nothing, 1 position, 2 velocity too),
 * position, velocity.
 */
export function learnMove(
  state: Float64Array,
  at: number,
  dt: number,
  position: ArrayLike<number>,
  change: Float64Array,
): void {
  const known = state[at];
  for (let i = 0; i < 3; i++) {
    const x = readDriven(position, i);
    change[i] = 0;
    if (known >= 1 && dt > 0) {
      const v = (x - state[at + 1 + i]) / dt;
      if (known >= 2) change[i] = v - state[at + 4 + i];
      state[at + 4 + i] = v;
    }
    if (known < 1 || dt > 0) state[at + 1 + i] = x;
  }
  if (known < 1) state[at] = 1;
  else if (known < 2 && dt > 0) state[at] = 2;
}
