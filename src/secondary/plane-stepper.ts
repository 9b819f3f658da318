import type { PlaneTables } from './plane-tables.js';
import { STEP_SIZE } from './spring.js';

/** Most parts that a step is cut into where the felt weight changes the stiffness. */
const MOST_PARTS = 64;
/** Longest part, in radians of the quickest mode under the change of weight; kicks are stable below 2. */
const PART = 1.4;
/** A mode past this, in rad or rad/s, is scaled back: adverse pushes must not run out of numbers. */
const HUGE = 1e6;
/** A swing below this is set to 0 before it reaches numbers that are slow to handle. */
const GONE = 1e-150;

/**
 * Steps a chain's small swings about its rest in one plane; allocates nothing once made. Modes are stepped
 * exactly for a push that runs straight within the step; the change of stiffness with the felt weight is
 * taken as kicks at both ends of each part of it, of second order.
 */
export class PlaneStepper {
  /** Displacement of each mode, speed of each mode, then the push last felt, down and along. */
  readonly state: Float64Array;
  /** Angles away from rest in rad, link by link, as of the last step. */
  readonly bends: Float64Array;
  private readonly tables: PlaneTables;

  constructor(tables: PlaneTables) {
    this.tables = tables;
    this.state = new Float64Array(2 * tables.links + 2);
    this.bends = new Float64Array(tables.links);
  }

  /** Sets the push at the present moment without stepping. */
  feel(down: number, along: number): void {
    const n = this.tables.links;
    this.state[2 * n] = down;
    this.state[2 * n + 1] = along;
  }

  /** Takes a sudden change of the carrier's speed, in m/s. */
  knock(down: number, along: number): void {
    const { links: n, pushDown, pushAlong } = this.tables;
    this.kick(1, down, along);
    for (let m = 0; m < n; m++) this.state[n + m] -= pushDown[m] * down + pushAlong[m] * along;
  }

  /** Steps by `h` s > 0, the push running straight from the last one to this. */
  step(h: number, down: number, along: number): void {
    const { state } = this;
    const { links: n, tilted, quickest, gravity } = this.tables;
    let d0 = state[2 * n];
    let a0 = state[2 * n + 1];
    let change = Math.max(Math.abs(d0), Math.abs(down));
    if (tilted) change += Math.max(Math.abs(a0), Math.abs(along));
    let parts = Math.ceil((h * quickest * Math.sqrt(change / gravity)) / PART);
    if (!(parts >= 1)) parts = 1;
    if (parts > MOST_PARTS) parts = MOST_PARTS;
    const part = h / parts;
    const dd = (down - d0) / parts;
    const da = (along - a0) / parts;
    for (let p = 1; p <= parts; p++) {
      const d1 = p === parts ? down : d0 + dd;
      const a1 = p === parts ? along : a0 + da;
      this.kick(0.5 * part, d0, a0);
      this.flow(part, d0, a0, d1, a1);
      this.kick(0.5 * part, d1, a1);
      d0 = d1;
      a0 = a1;
    }
    state[2 * n] = down;
    state[2 * n + 1] = along;
  }

  private kick(h: number, down: number, along: number): void {
    const { state } = this;
    const { links: n, tilted, byDown, byAlong } = this.tables;
    if (down !== 0) {
      const by = h * down;
      for (let m = 0, row = 0; m < n; m++, row += n) {
        let sum = 0;
        for (let k = 0; k < n; k++) sum += byDown[row + k] * state[k];
        state[n + m] -= by * sum;
      }
    }
    if (!tilted || along === 0) return;
    const by = h * along;
    for (let m = 0, row = 0; m < n; m++, row += n) {
      let sum = 0;
      for (let k = 0; k < n; k++) sum += byAlong[row + k] * state[k];
      state[n + m] -= by * sum;
    }
  }

  private flow(h: number, d0: number, a0: number, d1: number, a1: number): void {
    const { state } = this;
    const { links: n, pushDown, pushAlong } = this.tables;
    const f = this.tables.stepOf(h);
    let most = 0;
    for (let m = 0, at = 0; m < n; m++, at += STEP_SIZE) {
      const z = state[m];
      const v = state[n + m];
      const b0 = pushDown[m] * d0 + pushAlong[m] * a0;
      const b1 = pushDown[m] * d1 + pushAlong[m] * a1;
      const z1 = f[at] * z + f[at + 1] * v + f[at + 4] * b0 + f[at + 5] * b1;
      const v1 = f[at + 2] * z + f[at + 3] * v + f[at + 6] * b0 + f[at + 7] * b1;
      state[m] = z1;
      state[n + m] = v1;
      most = Math.max(most, Math.abs(z1), Math.abs(v1));
    }
    if (most < GONE) for (let k = 0; k < 2 * n; k++) state[k] = 0;
    else if (most > HUGE) for (let k = 0; k < 2 * n; k++) state[k] *= HUGE / most;
  }

  /** Sets angles from plumb and their speeds. */
  setAngles(angles: ArrayLike<number>, speeds: ArrayLike<number>): void {
    const { links: n, inverse, chain } = this.tables;
    for (let m = 0; m < n; m++) {
      let q = 0;
      let v = 0;
      for (let i = 0; i < n; i++) {
        q += inverse[m * n + i] * (angles[i] - chain.rest[i]);
        v += inverse[m * n + i] * speeds[i];
      }
      this.state[m] = q;
      this.state[n + m] = v;
    }
  }

  /** Writes angles from plumb in rad and their speeds. */
  readAngles(angles: Float64Array, speeds: Float64Array): void {
    const { links: n, shapes, chain } = this.tables;
    for (let i = 0; i < n; i++) {
      let x = chain.rest[i];
      let v = 0;
      for (let m = 0; m < n; m++) {
        x += shapes[i * n + m] * this.state[m];
        v += shapes[i * n + m] * this.state[n + m];
      }
      angles[i] = x;
      speeds[i] = v;
    }
  }

  /** Brings `bends` up to date, every joint's bend held within `limit` rad. */
  settleBends(limit: number): void {
    const { state, bends } = this;
    const { links: n, shapes } = this.tables;
    let most = 0;
    let above = 0;
    for (let i = 0, row = 0; i < n; i++, row += n) {
      let x = 0;
      for (let m = 0; m < n; m++) x += shapes[row + m] * state[m];
      most = Math.max(most, Math.abs(x - above));
      bends[i] = x;
      above = x;
    }
    if (most <= limit) return;
    // Scaled as a whole, speeds more than that, so that no run of adverse drives can feed on it.
    const by = limit / most;
    for (let k = 0; k < n; k++) {
      bends[k] *= by;
      state[k] *= by;
      state[n + k] *= by * by;
    }
  }
}
