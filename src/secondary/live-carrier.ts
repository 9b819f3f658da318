import { errorOf, show } from '../internal/check.js';

/** Longest live step in s. */
export const LONGEST = 60;
/** Largest size of anything a driver may hold, in its own unit. */
export const LARGEST = 1e9;

/** Refuses a step that is not one; allocates only where it throws. */
export function checkStep(dt: number): void {
  if (typeof dt === 'number' && dt >= 0 && dt <= LONGEST) return;
  const kind = typeof dt === 'number' ? 'range' : 'type';
  const rule = `must be ${kind === 'type' ? 'a number ' : ''}in [0, ${LONGEST}] s`;
  throw errorOf('step', { field: 'dt', rule, got: show(dt), kind });
}

/** Refuses what a step cannot write `size` numbers into; allocates only where it throws. */
export function checkOut(out: Float64Array, size: number): void {
  if (ArrayBuffer.isView(out) && out.length >= size) return;
  const fits = ArrayBuffer.isView(out);
  throw errorOf('step', {
    field: 'out',
    rule: `must be a Float64Array of at least ${size}`,
    got: fits ? `one of ${show(out.length)}` : show(out),
    kind: fits ? 'range' : 'type',
  });
}

/** Refuses a number of a driver; allocates only where it throws. */
export function checkDriven(driver: ArrayLike<number>, i: number): void {
  const x = driver[i];
  if (x >= -LARGEST && x <= LARGEST) return;
  const rule = `must be a number within ±${LARGEST}`;
  throw errorOf('step', { field: `driver[${i}]`, rule, got: show(x), kind: 'range' });
}

/** Writes the first `count` numbers of a driver, which have to be finite, into `into`; 0 past the end. */
export function readDriven(driver: ArrayLike<number>, count: number, into: Float64Array): void {
  for (let i = 0; i < count; i++) {
    if (i >= driver.length) {
      into[i] = 0;
      continue;
    }
    const x = driver[i];
    if (!(x >= -LARGEST && x <= LARGEST)) checkDriven(driver, i);
    into[i] = x;
  }
}

/**
 * What a carrier that is given by its positions comes to, in this order: how much is known of it (0 nothing,
 * 1 position, 2 velocity too), position, velocity. These seven are state. Behind them the change of its speed
 * at the beginning of the step in m/s, and the length of the step in s, which is put down here.
 */
export const CARRIER_STATE = 7;
export const CHANGE = 7;
export const MOVE_LENGTH = 10;
export const CARRIER_SIZE = 11;

/** Learns a carrier's new position, height, forward, side in m, at the end of a step. */
export function learnMove(carrier: Float64Array, position: ArrayLike<number>): void {
  const known = carrier[0];
  const dt = carrier[MOVE_LENGTH];
  for (let i = 0; i < 3; i++) {
    let x = 0;
    if (i < position.length) {
      x = position[i];
      if (!(x >= -LARGEST && x <= LARGEST)) checkDriven(position, i);
    }
    carrier[CHANGE + i] = 0;
    if (known >= 1 && dt > 0) {
      const v = (x - carrier[1 + i]) / dt;
      if (known >= 2) carrier[CHANGE + i] = v - carrier[4 + i];
      carrier[4 + i] = v;
    }
    if (known < 1 || dt > 0) carrier[1 + i] = x;
  }
  if (known < 1) carrier[0] = 1;
  else if (known < 2 && dt > 0) carrier[0] = 2;
}
