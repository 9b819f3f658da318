import { type Axis, type BouncePart, readBouncePart } from './bounce-part.js';
import { CHANNELS } from './driver.js';
import type { LiveFollower } from './live.js';
import {
  CARRIER_SIZE,
  CARRIER_STATE,
  CHANGE,
  checkOut,
  checkStep,
  LARGEST,
  LONGEST,
  learnMove,
  MOVE_LENGTH,
  readDriven,
} from './live-carrier.js';
import { LENGTH, SPRING_SIZE, Spring, setNumbers } from './spring.js';

/** A stopped swing whose square is below this is set to 0 before it reaches numbers that are slow to handle. */
const GONE = 1e-300;

/** Numbers of state per axis: displacement, speed, last drive. */
const EACH = 3;

/** Where an axis keeps its state and its stops, behind its spring's numbers. */
const Z = SPRING_SIZE;
const V = SPRING_SIZE + 1;
const DRIVE = SPRING_SIZE + 2;
const LOW = SPRING_SIZE + 3;
const HIGH = SPRING_SIZE + 4;
const REBOUND = SPRING_SIZE + 5;
/** The drive at the end of the next step, put down rather than passed on: that would cost an object. */
const NEXT = SPRING_SIZE + 6;

/** A driver's numbers, read and checked. */
const given = new Float64Array(6);

/** All numbers of one axis in one array. */
function layAxis({ omega, zeta, low, high }: Axis, rebound: number): Float64Array {
  const { numbers } = new Spring(omega, zeta, 7);
  numbers[REBOUND] = rebound;
  numbers[LOW] = low;
  numbers[HIGH] = high;
  return numbers;
}

/** Steps an axis by the length that it holds, its drive running straight to the next one. */
function advance(axis: Float64Array): void {
  const z = axis[Z];
  const v = axis[V];
  const b0 = axis[DRIVE];
  const b1 = axis[NEXT];
  const z1 = axis[0] * z + axis[1] * v + (axis[4] * b0 + axis[5] * b1);
  const v1 = axis[2] * z + axis[3] * v + (axis[6] * b0 + axis[7] * b1);
  axis[DRIVE] = b1;
  axis[Z] = z1;
  axis[V] = v1;
  if (z1 > axis[HIGH] || z1 < axis[LOW]) {
    strike(axis);
  } else if (z1 * z1 + v1 * v1 < GONE) {
    // One comparison, which nearly always comes out the same way.
    axis[Z] = 0;
    axis[V] = 0;
  }
}

/** Live, a strike is taken at the end of its step. */
function strike(axis: Float64Array): void {
  const above = axis[Z] > axis[HIGH];
  axis[Z] = above ? axis[HIGH] : axis[LOW];
  if (above === axis[V] > 0) axis[V] *= -axis[REBOUND];
}

/** Prepares the other axes for steps of the length that the first one holds. */
function prepareOthers(axes: readonly Float64Array[]): void {
  for (let i = 1; i < axes.length; i++) {
    axes[i][LENGTH] = axes[0][LENGTH];
    setNumbers(axes[i]);
  }
}

/** Whether axes can be stepped by the length that the first one holds; if not it is a pause, or refused. */
function isStep(axis: Float64Array): boolean {
  const length = axis[LENGTH];
  if (length > 0 && length <= LONGEST) return true;
  axis[LENGTH] = Number.NaN;
  checkStep(length);
  return false;
}

/** A live bouncing part. Its state: displacement, speed and last drive of each axis, then the carrier. */
class LiveBounce implements LiveFollower {
  readonly size: number;
  readonly stateSize: number;
  private readonly axes: readonly Float64Array[];
  private readonly first: Float64Array;
  /** Where a driver holds each axis's channel. */
  private readonly places: readonly number[];
  private readonly place: number;
  /** Rate of the air's drag on each axis in 1/s. */
  private readonly drags: Float64Array;
  private readonly air: boolean;
  private readonly carrier = new Float64Array(CARRIER_SIZE);

  constructor(where: string, part: BouncePart) {
    const { axes, air, rebound } = readBouncePart(where, part);
    this.axes = axes.map((axis) => layAxis(axis, rebound));
    this.first = this.axes[0];
    this.places = axes.map(({ channel }) => CHANNELS.indexOf(channel));
    this.place = this.places[0];
    this.drags = Float64Array.from(axes, ({ omega, zeta }) => (air ? 2 * zeta * omega : 0));
    this.air = air;
    this.size = axes.length;
    this.stateSize = EACH * axes.length + CARRIER_STATE;
  }

  step(dt: number, driver: ArrayLike<number>, out: Float64Array): void {
    const { first, place } = this;
    checkOut(out, this.size);
    if (dt !== first[LENGTH]) {
      if (typeof dt !== 'number') checkStep(dt);
      first[LENGTH] = dt;
      if (!isStep(first)) {
        for (let i = 0; i < this.size; i++) out[i] = this.axes[i][Z];
        return;
      }
      setNumbers(first);
      if (this.size > 1) prepareOthers(this.axes);
    }
    const a = driver[place];
    if (this.air || !(a >= -LARGEST && a <= LARGEST)) {
      this.follow(0, driver, out);
    } else {
      first[NEXT] = a;
      advance(first);
      out[0] = first[Z];
    }
    if (this.size > 1) for (let i = 1; i < this.size; i++) this.follow(i, driver, out);
  }

  private follow(i: number, driver: ArrayLike<number>, out: Float64Array): void {
    const place = this.places[i];
    const axis = this.axes[i];
    readDriven(driver, this.air ? 6 : 3, given);
    axis[NEXT] = this.air ? given[place] + this.drags[i] * given[place + 3] : given[place];
    advance(axis);
    out[i] = axis[Z];
  }

  move(dt: number, position: ArrayLike<number>, out: Float64Array): void {
    const { first, axes, carrier, size, places, drags } = this;
    checkOut(out, size);
    if (dt !== first[LENGTH]) {
      if (typeof dt !== 'number') checkStep(dt);
      first[LENGTH] = dt;
      if (isStep(first)) {
        setNumbers(first);
        prepareOthers(axes);
      }
    }
    carrier[MOVE_LENGTH] = dt;
    learnMove(carrier, position);
    for (let i = 0; i < size; i++) {
      const axis = axes[i];
      if (dt > 0) {
        const push = drags[i] * carrier[4 + places[i]];
        axis[V] -= carrier[CHANGE + places[i]];
        axis[DRIVE] = push;
        axis[NEXT] = push;
        advance(axis);
      }
      out[i] = axis[Z];
    }
  }

  teleport(): void {
    this.carrier.fill(0);
  }

  reset(): void {
    for (const axis of this.axes) axis.fill(0, Z, DRIVE + 1);
    this.carrier.fill(0);
  }

  save(into: Float64Array): void {
    this.axes.forEach((axis, i) => {
      for (let k = 0; k < EACH; k++) into[EACH * i + k] = axis[Z + k];
    });
    for (let k = 0; k < CARRIER_STATE; k++) into[EACH * this.size + k] = this.carrier[k];
  }

  load(from: ArrayLike<number>): void {
    this.axes.forEach((axis, i) => {
      for (let k = 0; k < EACH; k++) axis[Z + k] = from[EACH * i + k];
    });
    for (let k = 0; k < CARRIER_STATE; k++) this.carrier[k] = from[EACH * this.size + k];
  }
}

/** A live follower of a bouncing part. */
export function createBounceFollower(where: string, part: BouncePart): LiveFollower {
  return new LiveBounce(where, part);
}
