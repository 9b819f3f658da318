import type { Axis } from './bounce-part.js';
import { createSpringStep, Spring } from './spring.js';

/** Displacement and speed of one axis, and which stop it is pressed on: −1, 0 or 1. */
export interface AxisState {
  z: number;
  v: number;
  held: number;
}

/** Most strikes within one step; what is left of it after them is spent on the stop. */
const STRIKES = 64;
/** Halvings that locate a strike: to the last bits of the step. */
const HALVINGS = 52;
/** A rebound slower than this part of a swing to the stop ends on it. */
const SLOW = 1e-7;

const partial = createSpringStep();
/** The axis last flown, prepared. */
let flown: Spring | undefined;
let flownAxis: Axis | undefined;
const probe = { z: 0, v: 0 };

/** Flies the first `s` of the rest of a step, its drive running straight from `from` with slope `slope`. */
function fly(axis: Axis, state: AxisState, from: number, slope: number, s: number): void {
  if (s <= 0) {
    probe.z = state.z;
    probe.v = state.v;
    return;
  }
  if (!flown || flownAxis !== axis) {
    flown = new Spring(axis.omega, axis.zeta);
    flownAxis = axis;
  }
  flown.setStep(partial, 0, s);
  const to = from + slope * s;
  probe.z = partial[0] * state.z + partial[1] * state.v + partial[4] * from + partial[5] * to;
  probe.v = partial[2] * state.z + partial[3] * state.v + partial[6] * from + partial[7] * to;
}

/** The last moment of [0, end] at which `sign` times the chosen number is still ≤ `limit`. */
function lastBefore(
  axis: Axis,
  state: AxisState,
  from: number,
  slope: number,
  end: number,
  holds: () => boolean,
): number {
  let low = 0;
  let high = end;
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    fly(axis, state, from, slope, middle);
    if (holds()) low = middle;
    else high = middle;
  }
  fly(axis, state, from, slope, low);
  return low;
}

/** When a flight first leaves [low, high], or `rest` where it does not. Leaves the state there in `probe`. */
function firstStrike(axis: Axis, state: AxisState, from: number, slope: number, rest: number): number {
  fly(axis, state, from, slope, rest);
  const { low, high } = axis;
  const inside = () => probe.z >= low && probe.z <= high;
  if (!inside()) return lastBefore(axis, state, from, slope, rest, inside);
  if (state.v * probe.v < 0) {
    // It turns within the step, and may have been out at the turn.
    const outward = state.v;
    const turn = lastBefore(axis, state, from, slope, rest, () => probe.v * outward > 0);
    if (!inside()) return lastBefore(axis, state, from, slope, turn, inside);
    fly(axis, state, from, slope, rest);
  }
  return rest;
}

/**
 * Steps one axis through `h` seconds against its hard stops. The drive runs straight from `b0` to `b1`;
 * flights between strikes are exact, strikes are located by halving, and while the push is outward the
 * part rests on the stop. At most 64 strikes a step; steps should be short against the swing.
 */
export function stepAgainstStops(
  axis: Axis,
  rebound: number,
  state: AxisState,
  b0: number,
  b1: number,
  h: number,
): void {
  const slope = (b1 - b0) / h;
  const { omega, low, high } = axis;
  let t = 0;
  for (let strikes = 0; t < h; strikes++) {
    const from = b0 + slope * t;
    if (state.held !== 0) {
      const limit = state.held > 0 ? high : low;
      const pushNow = (-omega * omega * limit - from) * state.held;
      const pushThen = (-omega * omega * limit - b1) * state.held;
      state.z = limit;
      state.v = 0;
      if ((pushNow >= 0 && pushThen >= 0) || strikes >= STRIKES) return;
      if (pushNow > 0) t += ((h - t) * pushNow) / (pushNow - pushThen);
      state.held = 0;
      continue;
    }
    const flown = firstStrike(axis, state, from, slope, h - t);
    state.z = probe.z;
    state.v = probe.v;
    if (flown >= h - t) return;
    t += flown;
    const side = state.v > 0 || (state.v === 0 && state.z > 0) ? 1 : -1;
    state.z = side > 0 ? high : low;
    const back = -rebound * state.v;
    const slow =
      Math.abs(back) <= SLOW * omega * (Number.isFinite(high - low) ? high - low : Math.abs(state.z));
    if (slow || strikes >= STRIKES) {
      state.held = side;
      state.v = 0;
    } else {
      state.v = back;
    }
  }
}
