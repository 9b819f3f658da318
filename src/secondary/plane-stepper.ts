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

/** What `PlaneTables.work` holds: the part of a step, push at its beginning and its end, and what a kick is taken over. */
const PART_LENGTH = 0;
const DOWN_0 = 1;
const ALONG_0 = 2;
const DOWN_1 = 3;
const ALONG_1 = 4;
const KICK = 5;

/**
 * Steps a chain's small swings about its rest in one plane. Modes are stepped exactly for a push that runs
 * straight within the step; the change of stiffness with the felt weight is taken as kicks at both ends of
 * each part of it, of second order.
 *
 * Nothing is allocated once made. Numbers are put down in arrays rather than passed on, since engines make an
 * object of every number that a call takes or returns.
 */
export class PlaneStepper {
  /** Displacement of each mode, speed of each mode, then the push last felt, down and along. */
  readonly state: Float64Array;
  /** Angles away from the mean in rad, link by link, as of the last step. */
  readonly bends: Float64Array;
  /**
   * Length of the next step in s, > 0, and the push at its end, down and along, in m/s². All steppers with
   * the same tables share it, so that it has to be put down right before.
   */
  readonly next: Float64Array;
  private readonly tables: PlaneTables;
  private readonly limit: number;

  constructor(tables: PlaneTables, limit = Math.PI) {
    this.tables = tables;
    this.next = tables.next;
    this.limit = limit;
    this.state = new Float64Array(2 * tables.links + 2);
    this.bends = new Float64Array(tables.links);
  }

  /** Sets the push at the present moment without stepping. */
  feel(down: number, along: number): void {
    const n = this.tables.links;
    this.state[2 * n] = down;
    this.state[2 * n + 1] = along;
  }

  /** Takes the push at the end of the next step for that at the present moment. */
  feelNext(): void {
    const n = this.tables.links;
    this.state[2 * n] = this.next[1];
    this.state[2 * n + 1] = this.next[2];
  }

  /** Takes a sudden change of the carrier's speed in m/s, put down where `next` has the push. */
  knock(): void {
    const { state, next } = this;
    const { work } = this.tables;
    const down = next[1];
    const along = next[2];
    const { links: n, pushDown, pushAlong } = this.tables;
    work[DOWN_0] = down;
    work[ALONG_0] = along;
    work[KICK] = 1;
    this.kick(DOWN_0);
    for (let m = 0; m < n; m++) state[n + m] -= pushDown[m] * down + pushAlong[m] * along;
  }

  /** Steps as `next` says, the push running straight from the last one. */
  step(): void {
    const { state, next } = this;
    const { links: n, tilted, quickest, gravity, work } = this.tables;
    const h = next[0];
    const down = next[1];
    const along = next[2];
    const d0 = state[2 * n];
    const a0 = state[2 * n + 1];
    let change = Math.max(Math.abs(d0), Math.abs(down));
    if (tilted) change += Math.max(Math.abs(a0), Math.abs(along));
    let parts = Math.ceil((h * quickest * Math.sqrt(change / gravity)) / PART);
    if (!(parts >= 1)) parts = 1;
    if (parts > MOST_PARTS) parts = MOST_PARTS;
    const dd = (down - d0) / parts;
    const da = (along - a0) / parts;
    work[PART_LENGTH] = h / parts;
    work[KICK] = (0.5 * h) / parts;
    work[DOWN_0] = d0;
    work[ALONG_0] = a0;
    for (let p = 1; p <= parts; p++) {
      work[DOWN_1] = p === parts ? down : work[DOWN_0] + dd;
      work[ALONG_1] = p === parts ? along : work[ALONG_0] + da;
      this.kick(DOWN_0);
      this.flow();
      this.kick(DOWN_1);
      work[DOWN_0] = work[DOWN_1];
      work[ALONG_0] = work[ALONG_1];
    }
    state[2 * n] = down;
    state[2 * n + 1] = along;
  }

  /** Takes the change of stiffness under the push that `work` holds from `at` on. */
  private kick(at: number): void {
    const { state } = this;
    const { links: n, tilted, byDown, byAlong, work } = this.tables;
    const down = work[KICK] * work[at];
    if (down !== 0) {
      for (let m = 0, row = 0; m < n; m++, row += n) {
        let sum = 0;
        for (let k = 0; k < n; k++) sum += byDown[row + k] * state[k];
        state[n + m] -= down * sum;
      }
    }
    const along = work[KICK] * work[at + 1];
    if (!tilted || along === 0) return;
    for (let m = 0, row = 0; m < n; m++, row += n) {
      let sum = 0;
      for (let k = 0; k < n; k++) sum += byAlong[row + k] * state[k];
      state[n + m] -= along * sum;
    }
  }

  private flow(): void {
    const { state } = this;
    const { links: n, pushDown, pushAlong, work } = this.tables;
    const f = this.tables.stepOf(work);
    const d0 = work[DOWN_0];
    const a0 = work[ALONG_0];
    const d1 = work[DOWN_1];
    const a1 = work[ALONG_1];
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
    const { links: n, inverse, mean } = this.tables;
    for (let m = 0; m < n; m++) {
      let q = 0;
      let v = 0;
      for (let i = 0; i < n; i++) {
        q += inverse[m * n + i] * (angles[i] - mean[i]);
        v += inverse[m * n + i] * speeds[i];
      }
      this.state[m] = q;
      this.state[n + m] = v;
    }
  }

  /** Writes angles from plumb in rad and their speeds. */
  readAngles(angles: Float64Array, speeds: Float64Array): void {
    const { links: n, shapes, mean } = this.tables;
    for (let i = 0; i < n; i++) {
      let x = mean[i];
      let v = 0;
      for (let m = 0; m < n; m++) {
        x += shapes[i * n + m] * this.state[m];
        v += shapes[i * n + m] * this.state[n + m];
      }
      angles[i] = x;
      speeds[i] = v;
    }
  }

  /** Brings `bends` up to date, every joint's bend held within the limit. */
  settleBends(): void {
    const { state, bends, limit } = this;
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
