import { type BouncePart, readBouncePart } from './bounce-part.js';
import { CHANNELS } from './driver.js';
import type { LiveFollower } from './live.js';
import { CARRIER_STATE, checkStep, learnMove, readDriven } from './live-carrier.js';
import { createSpringStep, setSpringStep } from './spring.js';

/** A stopped swing below this, in m and m/s, is set to 0 before it reaches numbers that are slow to handle. */
const GONE = 1e-150;

/** A live follower of a bouncing part. State: for each axis displacement, speed, last drive; then the carrier. */
export function createBounceFollower(where: string, part: BouncePart): LiveFollower {
  const { axes, air, rebound } = readBouncePart(where, part);
  const n = axes.length;
  const carrier = 3 * n;
  const state = new Float64Array(carrier + CARRIER_STATE);
  const change = new Float64Array(3);
  const at = axes.map(({ channel }) => CHANNELS.indexOf(channel));
  const drags = axes.map(({ omega, zeta }) => (air ? 2 * zeta * omega : 0));
  const steps = axes.map(createSpringStep);
  let prepared = -1;
  const prepare = (dt: number): void => {
    for (let i = 0; i < n; i++) setSpringStep(steps[i], axes[i].omega, axes[i].zeta, dt);
    prepared = dt;
  };
  const advance = (i: number, b1: number): void => {
    const k = 3 * i;
    const s = steps[i];
    const z = state[k];
    const v = state[k + 1];
    const b0 = state[k + 2];
    let z1 = s.zz * z + s.zv * v + s.za * b0 + s.zb * b1;
    let v1 = s.vz * z + s.vv * v + s.va * b0 + s.vb * b1;
    const { low, high } = axes[i];
    // Live, a strike is taken at the end of its step.
    if (z1 > high) {
      z1 = high;
      if (v1 > 0) v1 *= -rebound;
    } else if (z1 < low) {
      z1 = low;
      if (v1 < 0) v1 *= -rebound;
    }
    if (z1 < GONE && z1 > -GONE && v1 < GONE && v1 > -GONE) {
      z1 = 0;
      v1 = 0;
    }
    state[k] = z1;
    state[k + 1] = v1;
    state[k + 2] = b1;
  };
  const write = (out: Float64Array): void => {
    for (let i = 0; i < n; i++) out[i] = state[3 * i];
  };
  return {
    size: n,
    stateSize: state.length,
    step(dt, driver, out) {
      checkStep(dt);
      if (dt > 0) {
        if (dt !== prepared) prepare(dt);
        for (let i = 0; i < n; i++) {
          const a = readDriven(driver, at[i]);
          advance(i, air ? a + drags[i] * readDriven(driver, at[i] + 3) : a);
        }
      }
      write(out);
    },
    move(dt, position, out) {
      checkStep(dt);
      learnMove(state, carrier, dt, position, change);
      if (dt > 0) {
        if (dt !== prepared) prepare(dt);
        for (let i = 0; i < n; i++) {
          state[3 * i + 1] -= change[at[i]];
          const drag = drags[i] * state[carrier + 4 + at[i]];
          state[3 * i + 2] = drag;
          advance(i, drag);
        }
      }
      write(out);
    },
    teleport() {
      state.fill(0, carrier);
    },
    reset() {
      state.fill(0);
    },
    save(into) {
      into.set(state);
    },
    load(from) {
      for (let i = 0; i < state.length; i++) state[i] = from[i];
    },
  };
}
