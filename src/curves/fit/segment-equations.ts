/**
 * One segment's part of the normal equations: for every point of the grid that it covers, a row for the value
 * and, where asked, one for the second derivative.
 *
 * The points come in order, so each one's parameter is guessed from the last one's derivatives, and one or two
 * steps of Chebyshev's end it.
 */
import { solveWork, WORK_A, WORK_B, WORK_C, WORK_S, WORK_SIZE, WORK_X } from '../solve-time.js';
import type { Grid } from './grid.js';
import type { Layout } from './layout.js';
import { addRows, addTimeRows, LOCAL, ROW } from './normal-sums.js';

/** Residual in normalised time that is small enough for a fit. */
export const SETTLED = 1e-12;

/** The ends of the segment in hand. */
const BEGIN = 0;
const LENGTH = 1;
const VALUE = 2;
const RISE = 3;
const SLOPE_OUT = 4;
const SLOPE_IN = 5;
const OUT = 6;
const IN = 7;
const ENDS = 8;

export class SegmentEquations {
  /** Lower half of the segment's matrix, row by row of `LOCAL`, and its right-hand side. */
  readonly local = new Float64Array(LOCAL * LOCAL);
  readonly side = new Float64Array(LOCAL);
  /** Weighted squared residuals of all points since it was last set to 0, and the load's part of it. */
  readonly cost = new Float64Array(2);
  private readonly ends = new Float64Array(ENDS);
  private readonly work = new Float64Array(WORK_SIZE);
  private readonly rows: Float64Array;
  private readonly loaded: boolean;
  private readonly loadWeight: Float64Array;

  /** `loadWeight`: value units per unit of second derivative; 0 leaves the load out. */
  constructor(
    private readonly grid: Grid,
    loadWeight: number,
    private readonly misses: Float64Array,
  ) {
    this.loaded = loadWeight !== 0;
    this.loadWeight = Float64Array.of(loadWeight);
    this.rows = new Float64Array((this.loaded ? 2 : 1) * ROW * grid.count);
  }

  /** Begins with segment `k`. */
  begin(layout: Layout, k: number): void {
    const { ends } = this;
    const right = k + 1 < layout.count ? k + 1 : 0;
    const laps = right > k ? 0 : 1;
    ends[BEGIN] = layout.time[k];
    ends[LENGTH] = layout.time[right] + laps * layout.period - layout.time[k];
    ends[VALUE] = layout.value[k];
    ends[RISE] = layout.arrives[right] + laps * layout.gain - layout.value[k];
    ends[SLOPE_OUT] = layout.slopeOut[k];
    ends[SLOPE_IN] = layout.slopeIn[right];
    ends[OUT] = layout.out[k];
    ends[IN] = layout.in[k];
    this.local.fill(0);
    this.side.fill(0);
  }

  /** Adds points `from…to − 1` of the grid, and the derivatives with respect to the keys' times where they move. */
  add(from: number, to: number, moves: boolean): void {
    const end = this.write(from, to, moves);
    addRows(this.rows, end, this.local, this.side);
    if (moves) addTimeRows(this.rows, end, this.local, this.side);
  }

  /** Moves the segment a period back, to see it from the points at the beginning of the cycle. */
  lap(layout: Layout): void {
    this.ends[BEGIN] -= layout.period;
    this.ends[VALUE] -= layout.gain;
  }

  private write(from: number, to: number, moves: boolean): number {
    const { work, misses, ends, rows, loaded, cost } = this;
    const { time, value, second, weight, share } = this.grid;
    const loadWeight = this.loadWeight[0];
    const begin = ends[BEGIN];
    const h = ends[LENGTH];
    const base = ends[VALUE];
    const rise = ends[RISE];
    const m0 = ends[SLOPE_OUT];
    const m1 = ends[SLOPE_IN];
    const a = ends[OUT];
    const c = ends[IN];
    const x1 = 3 * a;
    const x2 = 3 * (1 - c - 2 * a);
    const x3 = 3 * (a + c) - 2;
    const mh0 = m0 * h;
    const mh1 = m1 * h;
    const o = mh0 * a;
    const e = rise - mh1 * c;
    const y1 = 3 * o;
    const y2 = 3 * (e - 2 * o);
    const y3 = rise + 3 * (o - e);
    const rate = 1 / h;
    const bent = loadWeight * rate * rate;
    let lastX = 0;
    let s = 0;
    let dx = x1;
    let ddx = 2 * x2;
    let inv = 1 / Math.max(dx, 1e-6);
    let sum = 0;
    let load = 0;
    let at = 0;
    for (let j = from; j < to; j++) {
      const x = (time[j] - begin) * rate;
      const ahead = (x - lastX) * inv;
      s += ahead * (1 - 0.5 * ddx * inv * ahead);
      let left = 1;
      for (let step = 0; step < 3; step++) {
        const f = ((x3 * s + x2) * s + x1) * s - x;
        const half = 3 * x3 * s + x2;
        dx = (3 * x3 * s + 2 * x2) * s + x1;
        inv = 1 / dx;
        const newton = -f * inv;
        const move = newton - half * inv * newton * newton;
        left = f + move * (dx + move * (half + move * x3));
        s += move;
        if (left < SETTLED && left > -SETTLED) break;
      }
      if (!(left < SETTLED && left > -SETTLED && s >= 0 && s <= 1)) {
        work[WORK_A] = x3;
        work[WORK_B] = x2;
        work[WORK_C] = x1;
        work[WORK_S] = x;
        work[WORK_X] = x;
        solveWork(work);
        s = work[WORK_S];
      }
      lastX = x;
      dx = Math.max((3 * x3 * s + 2 * x2) * s + x1, 1e-6);
      ddx = 6 * x3 * s + 2 * x2;
      inv = 1 / dx;
      const r = 1 - s;
      const slope = ((3 * y3 * s + 2 * y2) * s + y1) * inv;
      const b1 = 3 * r * r * s;
      const b2 = 3 * r * s * s;
      const miss = ((y3 * s + y2) * s + y1) * s + base - value[j];
      const w = weight[j];
      const b01 = r * r * r + b1;
      misses[j] = miss;
      sum += w * miss * miss;
      rows[at] = w;
      rows[at + 1] = miss;
      rows[at + 2] = b01;
      rows[at + 3] = a * h * b1;
      rows[at + 4] = b1 * (mh0 - slope);
      rows[at + 5] = b2 * (slope - mh1);
      rows[at + 6] = 1 - b01;
      rows[at + 7] = -c * h * b2;
      if (moves) {
        const held = m0 * a * b1 - m1 * c * b2;
        rows[at + 8] = slope * (x - 1) * rate - held;
        rows[at + 9] = held - slope * x * rate;
      }
      at += ROW;
      if (!loaded) continue;
      const inv2 = inv * inv;
      const bend = (6 * y3 * s + 2 * y2 - slope * ddx) * inv2;
      const third = ((6 * y3 - bend * dx * ddx - slope * 6 * x3) * inv2 - 2 * bend * ddx * inv) * inv;
      const d1 = 3 * r * (1 - 3 * s) * inv;
      const d2 = 3 * s * (2 - 3 * s) * inv;
      const dd1 = (18 * s - 12 - d1 * ddx) * inv2;
      const dd2 = (6 - 18 * s - d2 * ddx) * inv2;
      const dd01 = (6 * r + 3 * r * r * inv * ddx) * inv2 + dd1;
      const off = bent * bend - loadWeight * second[j];
      load += off * off;
      rows[at] = share;
      rows[at + 1] = off;
      rows[at + 2] = bent * dd01;
      rows[at + 3] = bent * a * h * dd1;
      rows[at + 4] = bent * (dd1 * (mh0 - slope) - 2 * d1 * bend - b1 * third);
      rows[at + 5] = bent * (dd2 * (slope - mh1) + 2 * d2 * bend + b2 * third);
      rows[at + 6] = -bent * dd01;
      rows[at + 7] = -bent * c * h * dd2;
      if (moves) {
        const held = m0 * a * dd1 - m1 * c * dd2;
        rows[at + 8] = bent * ((third * (x - 1) + 2 * bend) * rate - held);
        rows[at + 9] = bent * (held - (third * x + 2 * bend) * rate);
      }
      at += ROW;
    }
    cost[0] += sum + share * load;
    cost[1] += share * load;
    return at;
  }
}
