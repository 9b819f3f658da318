import { type BouncePart, readBouncePart } from './bounce-part.js';
import { CHANNELS } from './driver.js';
import type { LiveFollower } from './live.js';
import { CARRIER_STATE, checkStep, learnMove, readDriven } from './live-carrier.js';
import { STEP_SIZE, setSpringStep } from './spring.js';

/** A stopped swing below this, in m and m/s, is set to 0 before it reaches numbers that are slow to handle. */
const GONE = 1e-150;

/** Numbers of state per axis: displacement, speed, last drive. */
const EACH = 3;
/** Numbers that stay the same per axis: frequency, damping, drag, stops, rebound, place in the driver. */
const OMEGA = 0;
const ZETA = 1;
const DRAG = 2;
const LOW = 3;
const HIGH = 4;
const REBOUND = 5;
const PLACE = 6;
const TRAITS = 7;

/** A live bouncing part. Its state: displacement, speed and last drive of each axis, then the carrier. */
class LiveBounce implements LiveFollower {
  readonly size: number;
  readonly stateSize: number;
  private readonly state: Float64Array;
  private readonly traits: Float64Array;
  private readonly steps: Float64Array;
  private readonly change = new Float64Array(3);
  private prepared = -0.5;

  constructor(where: string, part: BouncePart) {
    const { axes, air, rebound } = readBouncePart(where, part);
    this.size = axes.length;
    this.stateSize = EACH * axes.length + CARRIER_STATE;
    this.state = new Float64Array(this.stateSize);
    this.steps = new Float64Array(STEP_SIZE * axes.length);
    this.traits = new Float64Array(TRAITS * axes.length);
    axes.forEach(({ channel, omega, zeta, low, high }, i) => {
      const drag = air ? 2 * zeta * omega : 0;
      this.traits.set([omega, zeta, drag, low, high, rebound, CHANNELS.indexOf(channel)], TRAITS * i);
    });
  }

  private prepare(dt: number): void {
    const { traits, steps } = this;
    for (let i = 0; i < this.size; i++) {
      setSpringStep(steps, STEP_SIZE * i, traits[TRAITS * i + OMEGA], traits[TRAITS * i + ZETA], dt);
    }
    this.prepared = dt;
  }

  step(dt: number, driver: ArrayLike<number>, out: Float64Array): void {
    const { state, traits, size } = this;
    if (dt !== this.prepared) {
      checkStep(dt);
      if (dt > 0) this.prepare(dt);
    }
    if (dt > 0) {
      for (let i = 0; i < size; i++) {
        const place = traits[TRAITS * i + PLACE];
        const drag = traits[TRAITS * i + DRAG];
        let b = readDriven(driver, place);
        if (drag !== 0) b += drag * readDriven(driver, place + 3);
        this.advance(i, b);
      }
    }
    for (let i = 0; i < size; i++) out[i] = state[EACH * i];
  }

  private advance(i: number, b1: number): void {
    const { state, steps, traits } = this;
    const k = EACH * i;
    const s = STEP_SIZE * i;
    const z = state[k];
    const v = state[k + 1];
    const b0 = state[k + 2];
    let z1 = steps[s] * z + steps[s + 1] * v + steps[s + 4] * b0 + steps[s + 5] * b1;
    let v1 = steps[s + 2] * z + steps[s + 3] * v + steps[s + 6] * b0 + steps[s + 7] * b1;
    const high = traits[TRAITS * i + HIGH];
    const low = traits[TRAITS * i + LOW];
    // Live, a strike is taken at the end of its step.
    if (z1 > high) {
      z1 = high;
      if (v1 > 0) v1 *= -traits[TRAITS * i + REBOUND];
    } else if (z1 < low) {
      z1 = low;
      if (v1 < 0) v1 *= -traits[TRAITS * i + REBOUND];
    } else if (z1 < GONE && z1 > -GONE && v1 < GONE && v1 > -GONE) {
      z1 = 0;
      v1 = 0;
    }
    state[k] = z1;
    state[k + 1] = v1;
    state[k + 2] = b1;
  }

  move(dt: number, position: ArrayLike<number>, out: Float64Array): void {
    checkStep(dt);
    const { state, traits, change, size } = this;
    const carrier = EACH * size;
    learnMove(state, carrier, dt, position, change);
    if (dt > 0) {
      if (dt !== this.prepared) this.prepare(dt);
      for (let i = 0; i < size; i++) {
        const place = traits[TRAITS * i + PLACE];
        const push = traits[TRAITS * i + DRAG] * state[carrier + 4 + place];
        state[EACH * i + 1] -= change[place];
        state[EACH * i + 2] = push;
        this.advance(i, push);
      }
    }
    for (let i = 0; i < size; i++) out[i] = state[EACH * i];
  }

  teleport(): void {
    this.state.fill(0, EACH * this.size);
  }

  reset(): void {
    this.state.fill(0);
  }

  save(into: Float64Array): void {
    into.set(this.state);
  }

  load(from: ArrayLike<number>): void {
    for (let i = 0; i < this.stateSize; i++) this.state[i] = from[i];
  }
}

/** A live follower of a bouncing part. */
export function createBounceFollower(where: string, part: BouncePart): LiveFollower {
  return new LiveBounce(where, part);
}
