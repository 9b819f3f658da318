import { type Axis, type BouncePart, readBouncePart } from './bounce-part.js';
import { CHANNELS } from './driver.js';
import type { LiveFollower } from './live.js';
import { CARRIER_STATE, checkStep, LARGEST, learnMove, readDriven } from './live-carrier.js';
import { setSpringStep } from './spring.js';

/** A stopped swing below this, in m and m/s, is set to 0 before it reaches numbers that are slow to handle. */
const GONE = 1e-150;

/** Numbers of state per axis: displacement, speed, last drive. */
const EACH = 3;

const row = new Float64Array(8);

/**
 * One axis, in fields of its own: arrays would be checked at every look. Begun with fractions, so that the
 * engine keeps them as doubles from the start.
 */
class LiveAxis {
  z = 0.5;
  v = 0.5;
  drive = 0.5;
  readonly at: number;
  readonly drag: number;
  private readonly omega: number;
  private readonly zeta: number;
  private readonly low: number;
  private readonly high: number;
  private readonly rebound: number;
  private zz = 0.5;
  private zv = 0.5;
  private vz = 0.5;
  private vv = 0.5;
  private za = 0.5;
  private zb = 0.5;
  private va = 0.5;
  private vb = 0.5;

  constructor({ channel, omega, zeta, low, high }: Axis, air: boolean, rebound: number) {
    this.at = CHANNELS.indexOf(channel);
    this.drag = air ? 2 * zeta * omega : 0;
    this.omega = omega;
    this.zeta = zeta;
    this.low = low;
    this.high = high;
    this.rebound = rebound;
    this.rest();
  }

  rest(): void {
    this.z = 0;
    this.v = 0;
    this.drive = 0;
  }

  prepare(dt: number): void {
    setSpringStep(row, 0, this.omega, this.zeta, dt);
    this.zz = row[0];
    this.zv = row[1];
    this.vz = row[2];
    this.vv = row[3];
    this.za = row[4];
    this.zb = row[5];
    this.va = row[6];
    this.vb = row[7];
  }

  advance(b1: number): void {
    const { z, v, drive } = this;
    const z1 = this.zz * z + this.zv * v + (this.za * drive + this.zb * b1);
    const v1 = this.vz * z + this.vv * v + (this.va * drive + this.vb * b1);
    this.z = z1;
    this.v = v1;
    this.drive = b1;
    if (z1 > this.high || z1 < this.low) {
      this.strike();
    } else if (z1 < GONE && z1 > -GONE && v1 < GONE && v1 > -GONE) {
      this.z = 0;
      this.v = 0;
    }
  }

  /** Live, a strike is taken at the end of its step. */
  private strike(): void {
    const above = this.z > this.high;
    this.z = above ? this.high : this.low;
    if (above === this.v > 0) this.v *= -this.rebound;
  }
}

/** A live bouncing part. Its state: displacement, speed and last drive of each axis, then the carrier. */
class LiveBounce implements LiveFollower {
  readonly size: number;
  readonly stateSize: number;
  private readonly axes: readonly LiveAxis[];
  private readonly carrier = new Float64Array(CARRIER_STATE);
  private readonly change = new Float64Array(3);
  private prepared = -0.5;

  constructor(where: string, part: BouncePart) {
    const { axes, air, rebound } = readBouncePart(where, part);
    this.axes = axes.map((axis) => new LiveAxis(axis, air, rebound));
    this.size = axes.length;
    this.stateSize = EACH * axes.length + CARRIER_STATE;
  }

  private prepare(dt: number): void {
    checkStep(dt);
    if (dt === 0) return;
    for (let i = 0; i < this.size; i++) this.axes[i].prepare(dt);
    this.prepared = dt;
  }

  step(dt: number, driver: ArrayLike<number>, out: Float64Array): void {
    if (dt !== this.prepared) this.prepare(dt);
    const { axes, size } = this;
    for (let i = 0; i < size; i++) {
      const axis = axes[i];
      if (dt > 0) {
        const a = driver[axis.at];
        // Written so that what is not a number is refused too.
        if (!(a >= -LARGEST && a <= LARGEST)) readDriven(driver, axis.at);
        axis.advance(axis.drag === 0 ? a : a + axis.drag * readDriven(driver, axis.at + 3));
      }
      out[i] = axis.z;
    }
  }

  move(dt: number, position: ArrayLike<number>, out: Float64Array): void {
    if (dt !== this.prepared) this.prepare(dt);
    const { axes, carrier, change, size } = this;
    learnMove(carrier, 0, dt, position, change);
    for (let i = 0; i < size; i++) {
      const axis = axes[i];
      if (dt > 0) {
        const push = axis.drag * carrier[4 + axis.at];
        axis.v -= change[axis.at];
        axis.drive = push;
        axis.advance(push);
      }
      out[i] = axis.z;
    }
  }

  teleport(): void {
    this.carrier.fill(0);
  }

  reset(): void {
    for (const axis of this.axes) axis.rest();
    this.carrier.fill(0);
  }

  save(into: Float64Array): void {
    this.axes.forEach(({ z, v, drive }, i) => {
      into[EACH * i] = z;
      into[EACH * i + 1] = v;
      into[EACH * i + 2] = drive;
    });
    into.set(this.carrier, EACH * this.size);
  }

  load(from: ArrayLike<number>): void {
    this.axes.forEach((axis, i) => {
      axis.z = from[EACH * i];
      axis.v = from[EACH * i + 1];
      axis.drive = from[EACH * i + 2];
    });
    for (let k = 0; k < CARRIER_STATE; k++) this.carrier[k] = from[EACH * this.size + k];
  }
}

/** A live follower of a bouncing part. */
export function createBounceFollower(where: string, part: BouncePart): LiveFollower {
  return new LiveBounce(where, part);
}
