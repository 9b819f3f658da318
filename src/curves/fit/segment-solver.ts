/**
 * What one segment would cost: values and slopes at its ends given, both spans solved by a few
 * Gauss–Newton steps on a few points of the grid.
 */
import { solveWork, WORK_A, WORK_B, WORK_C, WORK_S, WORK_SIZE, WORK_X } from '../solve-time.js';
import { type Grid, lowerBound } from './grid.js';
import { SETTLED } from './segment-equations.js';

/** Most points of the grid that one segment looks at. */
const MOST_POINTS = 14;

const STEPS = 4;

const LEAST = 0.05;

/** Share of the cost that another step has to promise. */
const WORTH = 0.02;

/** How far above the goal levelling is worth trying, and how often. */
const NEAR = 1.6;
const LEVEL_ROUNDS = 5;

/** The ends of a segment: time, length, both values and slopes. */
export interface SegmentEnds {
  readonly start: number;
  readonly length: number;
  readonly value0: number;
  readonly value1: number;
  readonly slope0: number;
  readonly slope1: number;
}

/** Solves single segments; the answer stands in its fields until the next call. */
export class SegmentSolver {
  /** Spans as fractions of the segment. */
  out = 1 / 3;
  in = 1 / 3;
  /** Largest error in value at the points looked at. */
  worst = 0;
  private cost = 0;
  private largest = 0;
  private readonly work = new Float64Array(WORK_SIZE);
  private readonly normal = new Float64Array(5);
  /** At each point the error, how the spans change it, and the weight that levelling gives it. */
  private readonly misses: Float64Array;
  private readonly moveOut: Float64Array;
  private readonly moveIn: Float64Array;
  private readonly tilt: Float64Array;

  constructor(
    private readonly grid: Grid,
    private readonly period: number,
    private readonly gain: number,
    private readonly loadWeight: number,
    private readonly mostPoints = MOST_POINTS,
  ) {
    this.misses = new Float64Array(mostPoints + 1);
    this.moveOut = new Float64Array(mostPoints + 1);
    this.moveIn = new Float64Array(mostPoints + 1);
    this.tilt = new Float64Array(mostPoints + 1);
  }

  /**
   * Solves the spans and returns the sum of weighted squared residuals. Where the largest error comes
   * out a little above `goal`, a few reweighted steps try to bring it under.
   */
  solve(ends: SegmentEnds, goal = 0): number {
    const { grid, period, normal } = this;
    const t0 = ends.start;
    const end = t0 + ends.length;
    const from = lowerBound(grid.time, t0);
    const laps = period > 0 && end > grid.time[grid.count - 1] && end - period > grid.time[0];
    const to = laps ? grid.count + lowerBound(grid.time, end - period) : lowerBound(grid.time, end);
    const points = to - from;
    this.out = 1 / 3;
    this.in = 1 / 3;
    this.worst = 0;
    if (points <= 0) return 0;
    const stride = Math.max(1, Math.ceil(points / this.mostPoints));
    let a = 1 / 3;
    let c = 1 / 3;
    let best = Number.POSITIVE_INFINITY;
    let ha = 0;
    let hc = 0;
    let shrink = 1;
    for (let step = 0; step <= STEPS; step++) {
      this.assemble(ends, a, c, from, to, stride);
      if (this.cost < best) {
        const settled = this.cost > 0.98 * best;
        best = this.cost;
        this.worst = this.largest;
        this.out = a;
        this.in = c;
        if (settled || best <= grid.floor) break;
        const damp = 1 + 1e-6;
        const det = normal[0] * normal[2] * damp * damp - normal[1] * normal[1];
        if (!(det > 0)) break;
        ha = (normal[2] * damp * normal[3] - normal[1] * normal[4]) / det;
        hc = (normal[0] * damp * normal[4] - normal[1] * normal[3]) / det;
        shrink = 1;
        // What the step promises to gain.
        if (ha * normal[3] + hc * normal[4] < WORTH * best) break;
      } else shrink *= 0.3;
      const na = Math.min(0.9, Math.max(LEAST, this.out - ha * shrink));
      const nc = Math.min(0.9, Math.max(LEAST, this.in - hc * shrink));
      if (Math.abs(na - a) + Math.abs(nc - c) < 1e-3) break;
      a = na;
      c = nc;
    }
    if (this.worst > goal && this.worst < NEAR * goal) {
      this.tilt.fill(1);
      this.level(ends, goal, from, to, stride);
    }
    return best * stride;
  }

  /** Reweighted steps; a change of weights alone needs nothing evaluated again. */
  private level(ends: SegmentEnds, goal: number, from: number, to: number, stride: number): void {
    const { misses, tilt, moveOut, moveIn, grid } = this;
    let a = this.out;
    let c = this.in;
    if (this.largest !== this.worst) this.assemble(ends, a, c, from, to, stride);
    for (let round = 1; round <= LEVEL_ROUNDS && this.worst > goal; round++) {
      let aa = 0;
      let ac = 0;
      let cc = 0;
      let ga = 0;
      let gc = 0;
      let point = 0;
      for (let q = from + (stride >> 1); q < to; q += stride) {
        tilt[point] *= Math.abs(misses[point]) / this.largest + 0.05;
        const w = grid.weight[q >= grid.count ? q - grid.count : q] * tilt[point];
        const ja = moveOut[point];
        const jc = moveIn[point];
        aa += w * ja * ja;
        ac += w * ja * jc;
        cc += w * jc * jc;
        ga += w * ja * misses[point];
        gc += w * jc * misses[point];
        point++;
      }
      const det = aa * cc - ac * ac;
      if (!(det > 0)) return;
      a = Math.min(0.9, Math.max(LEAST, a - (cc * ga - ac * gc) / det));
      c = Math.min(0.9, Math.max(LEAST, c - (aa * gc - ac * ga) / det));
      this.assemble(ends, a, c, from, to, stride);
      if (this.largest < this.worst) {
        this.worst = this.largest;
        this.out = a;
        this.in = c;
      }
    }
  }

  private assemble(ends: SegmentEnds, a: number, c: number, from: number, to: number, stride: number): void {
    const { grid, period, gain, loadWeight, normal, work, misses, moveOut, moveIn } = this;
    const { time, value, weight, second } = grid;
    const t0 = ends.start;
    const h = ends.length;
    const v0 = ends.value0;
    const rise = ends.value1 - v0;
    const mh0 = ends.slope0 * h;
    const mh1 = ends.slope1 * h;
    const o = mh0 * a;
    const e = rise - mh1 * c;
    const y1 = 3 * o;
    const y2 = 3 * (e - 2 * o);
    const y3 = rise + 3 * (o - e);
    const t1 = 3 * a;
    const t2 = 3 * (1 - c - 2 * a);
    const t3 = 3 * (a + c) - 2;
    const rate = 1 / h;
    const bent = loadWeight * rate * rate;
    let cost = 0;
    let worst = 0;
    let aa = 0;
    let ac = 0;
    let cc = 0;
    let ga = 0;
    let gc = 0;
    work[WORK_A] = t3;
    work[WORK_B] = t2;
    work[WORK_C] = t1;
    let lastX = 0;
    let s = 0;
    let dx = t1;
    let ddx = 2 * t2;
    let inv = 1 / Math.max(dx, 1e-6);
    let point = 0;
    for (let q = from + (stride >> 1); q < to; q += stride) {
      const wraps = q >= grid.count;
      const g = wraps ? q - grid.count : q;
      const x = (time[g] + (wraps ? period : 0) - t0) * rate;
      // The points come in order: guessed from the derivatives at the last one, then Chebyshev's steps.
      const ahead = (x - lastX) * inv;
      s += ahead * (1 - 0.5 * ddx * inv * ahead);
      let left = 1;
      for (let round = 0; round < 3; round++) {
        const f = ((t3 * s + t2) * s + t1) * s - x;
        const half = 3 * t3 * s + t2;
        dx = (3 * t3 * s + 2 * t2) * s + t1;
        inv = 1 / dx;
        const newton = -f * inv;
        const move = newton - half * inv * newton * newton;
        left = f + move * (dx + move * (half + move * t3));
        s += move;
        if (left < SETTLED && left > -SETTLED) break;
      }
      if (!(left < SETTLED && left > -SETTLED && s >= 0 && s <= 1)) {
        work[WORK_S] = x;
        work[WORK_X] = x;
        solveWork(work);
        s = work[WORK_S];
      }
      lastX = x;
      dx = Math.max((3 * t3 * s + 2 * t2) * s + t1, 1e-6);
      ddx = 6 * t3 * s + 2 * t2;
      inv = 1 / dx;
      const r = 1 - s;
      const slope = ((3 * y3 * s + 2 * y2) * s + y1) * inv;
      const b1 = 3 * r * r * s;
      const b2 = 3 * r * s * s;
      const miss = ((y3 * s + y2) * s + y1) * s + v0 - value[g] - (wraps ? gain : 0);
      const ja = b1 * (mh0 - slope);
      const jc = b2 * (slope - mh1);
      const w = weight[g];
      misses[point] = miss;
      moveOut[point] = ja;
      moveIn[point++] = jc;
      cost += w * miss * miss;
      worst = Math.max(worst, Math.abs(miss));
      aa += w * ja * ja;
      ac += w * ja * jc;
      cc += w * jc * jc;
      ga += w * ja * miss;
      gc += w * jc * miss;
      if (loadWeight === 0) continue;
      const bend = (6 * y3 * s + 2 * y2 - slope * ddx) * inv * inv;
      const third = ((6 * y3 - bend * dx * ddx - slope * 6 * t3) * inv * inv - 2 * bend * ddx * inv) * inv;
      const d1 = 3 * r * (1 - 3 * s) * inv;
      const d2 = 3 * s * (2 - 3 * s) * inv;
      const dd1 = (18 * s - 12 - d1 * ddx) * inv * inv;
      const dd2 = (6 - 18 * s - d2 * ddx) * inv * inv;
      const la = bent * (dd1 * (mh0 - slope) - 2 * d1 * bend - b1 * third);
      const lc = bent * (dd2 * (slope - mh1) + 2 * d2 * bend + b2 * third);
      const off = bent * bend - loadWeight * second[g];
      cost += w * off * off;
      aa += w * la * la;
      ac += w * la * lc;
      cc += w * lc * lc;
      ga += w * la * off;
      gc += w * lc * off;
    }
    this.cost = cost;
    this.largest = worst;
    normal[0] = aa;
    normal[1] = ac;
    normal[2] = cc;
    normal[3] = ga;
    normal[4] = gc;
  }
}
