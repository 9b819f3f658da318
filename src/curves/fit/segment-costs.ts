/**
 * What one segment between two places would cost: values and slopes taken from the source, both spans
 * solved by a few Gauss–Newton steps. Each answer is kept, so that a search may ask often.
 */
import { solveTime } from '../solve-time';
import { type Grid, lowerBound } from './grid';
import type { Places } from './places';

/** Most points of the grid that one segment looks at. */
const MOST_POINTS = 14;

const STEPS = 4;

const LEAST = 0.05;

export class SegmentCosts {
  /** Solved spans as fractions of the segment; valid after `cost` was asked for. */
  readonly out: Float64Array;
  readonly in: Float64Array;
  /** Largest error in value at the points looked at. */
  readonly worst: Float64Array;
  private readonly known: Float64Array;
  private readonly width: number;
  private cost0 = 0;
  private worst0 = 0;

  constructor(
    private readonly places: Places,
    private readonly grid: Grid,
    private readonly period: number,
    private readonly gain: number,
    private readonly loadWeight: number,
  ) {
    const n = places.count;
    this.width = n + 1;
    this.known = new Float64Array(n * this.width).fill(-1);
    this.out = new Float64Array(n * this.width);
    this.in = new Float64Array(n * this.width);
    this.worst = new Float64Array(n * this.width);
  }

  /** Where the answer for the segment from place `i` over `length` places is kept. */
  at(i: number, length: number): number {
    return i * this.width + length;
  }

  /** Sum of weighted squared residuals of the segment from place `i` over `length` places. */
  cost(i: number, length: number): number {
    const at = i * this.width + length;
    if (this.known[at] < 0) this.known[at] = this.solve(i, length, at);
    return this.known[at];
  }

  private solve(i: number, length: number, at: number): number {
    const { places, grid, period, gain } = this;
    const n = places.count;
    const j = (i + length) % n;
    const lap = i + length >= n ? 1 : 0;
    const t0 = places.time[i];
    const h = places.time[j] + lap * period - t0;
    const end = t0 + h;
    const from = lowerBound(grid.time, t0);
    const seam = grid.count;
    const to = lap ? seam + lowerBound(grid.time, end - period) : lowerBound(grid.time, end);
    const points = to - from;
    this.out[at] = 1 / 3;
    this.in[at] = 1 / 3;
    if (points <= 0) return 0;
    const stride = Math.max(1, Math.ceil(points / MOST_POINTS));
    let a = 1 / 3;
    let c = 1 / 3;
    let best = Number.POSITIVE_INFINITY;
    let ha = 0;
    let hc = 0;
    let shrink = 1;
    const normal = new Float64Array(5);
    for (let step = 0; step <= STEPS; step++) {
      this.assemble(i, j, lap * gain, t0, h, a, c, from, to, stride, normal);
      if (this.cost0 < best) {
        best = this.cost0;
        this.worst[at] = this.worst0;
        this.out[at] = a;
        this.in[at] = c;
        if (best <= grid.floor) break;
        const [aa, ac, cc, ga, gc] = normal;
        const damp = 1 + 1e-6;
        const det = aa * cc * damp * damp - ac * ac;
        if (!(det > 0)) break;
        ha = (cc * damp * ga - ac * gc) / det;
        hc = (aa * damp * gc - ac * ga) / det;
        shrink = 1;
      } else shrink *= 0.3;
      const na = Math.min(0.9, Math.max(LEAST, this.out[at] - ha * shrink));
      const nc = Math.min(0.9, Math.max(LEAST, this.in[at] - hc * shrink));
      if (Math.abs(na - a) + Math.abs(nc - c) < 1e-3) break;
      a = na;
      c = nc;
    }
    return best * stride;
  }

  private assemble(
    i: number,
    j: number,
    lift: number,
    t0: number,
    h: number,
    a: number,
    c: number,
    from: number,
    to: number,
    stride: number,
    normal: Float64Array,
  ): void {
    const { places, grid, period, gain, loadWeight } = this;
    const v0 = places.value[i];
    const rise = places.value[j] + lift - v0;
    const mh0 = places.slope[i] * h;
    const mh1 = places.slopeBefore[j] * h;
    const o = mh0 * a;
    const e = rise - mh1 * c;
    const y1 = 3 * o;
    const y2 = 3 * (e - 2 * o);
    const y3 = rise + 3 * (o - e);
    const t1 = 3 * a;
    const t2 = 3 * (1 - c - 2 * a);
    const t3 = 3 * (a + c) - 2;
    const rate = 1 / h;
    const second = loadWeight * rate * rate;
    let cost = 0;
    let worst = 0;
    let aa = 0;
    let ac = 0;
    let cc = 0;
    let ga = 0;
    let gc = 0;
    for (let q = from + (stride >> 1); q < to; q += stride) {
      const wraps = q >= grid.count;
      const g = wraps ? q - grid.count : q;
      const x = (grid.time[g] + (wraps ? period : 0) - t0) * rate;
      const s = solveTime(t3, t2, t1, x, x);
      const r = 1 - s;
      const inv = 1 / Math.max((3 * t3 * s + 2 * t2) * s + t1, 1e-6);
      const slope = ((3 * y3 * s + 2 * y2) * s + y1) * inv;
      const b1 = 3 * r * r * s;
      const b2 = 3 * r * s * s;
      const miss = ((y3 * s + y2) * s + y1) * s + v0 - grid.value[g] - (wraps ? gain : 0);
      const ja = b1 * (mh0 - slope);
      const jc = b2 * (slope - mh1);
      const w = grid.weight[g];
      cost += w * miss * miss;
      worst = Math.max(worst, Math.abs(miss));
      aa += w * ja * ja;
      ac += w * ja * jc;
      cc += w * jc * jc;
      ga += w * ja * miss;
      gc += w * jc * miss;
      if (loadWeight === 0) continue;
      const ddx = 6 * t3 * s + 2 * t2;
      const bend = (6 * y3 * s + 2 * y2 - slope * ddx) * inv * inv;
      const third = ((6 * y3 - (bend * ddx) / inv - slope * 6 * t3) * inv * inv - 2 * bend * ddx * inv) * inv;
      const d1 = 3 * r * (1 - 3 * s) * inv;
      const d2 = 3 * s * (2 - 3 * s) * inv;
      const dd1 = ((18 * s - 12) * inv - d1 * ddx * inv) * inv;
      const dd2 = ((6 - 18 * s) * inv - d2 * ddx * inv) * inv;
      const la = second * (dd1 * (mh0 - slope) - 2 * d1 * bend - b1 * third);
      const lc = second * (dd2 * (slope - mh1) + 2 * d2 * bend + b2 * third);
      const off = second * bend - loadWeight * grid.second[g];
      cost += w * off * off;
      aa += w * la * la;
      ac += w * la * lc;
      cc += w * lc * lc;
      ga += w * la * off;
      gc += w * lc * off;
    }
    this.cost0 = cost;
    this.worst0 = worst;
    normal[0] = aa;
    normal[1] = ac;
    normal[2] = cc;
    normal[3] = ga;
    normal[4] = gc;
  }
}
