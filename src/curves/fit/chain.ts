/**
 * The normal equations of a fit: residuals of value and, where asked, of the second derivative at every
 * point of the grid, and their exact derivatives with respect to every unknown of the layout.
 *
 * With time fixed, a change of any unknown p moves the value by φ_p(x), and moves the second derivative by
 * φ_p''(x): one rule gives both rows of the Jacobian.
 */
import { solveWork, WORK_A, WORK_B, WORK_C, WORK_S, WORK_SIZE, WORK_X } from '../solve-time.js';
import { type Grid, lowerBound } from './grid.js';
import { kindAfter, type Layout, segmentLength } from './layout.js';
import { Skyline } from './skyline.js';

/** Local unknowns of a segment: left value, slope, time; both spans; right value, slope, time. */
const LOCAL = 8;

const UPPER = LOCAL * LOCAL;

/** Adds one weighted row to the local normal equations; written out, since it is most of a fit's time. */
function accumulate(
  local: Float64Array,
  side: Float64Array,
  row: Float64Array,
  w: number,
  miss: number,
): void {
  const r0 = row[0];
  const r1 = row[1];
  const r2 = row[2];
  const r3 = row[3];
  const r4 = row[4];
  const r5 = row[5];
  const r6 = row[6];
  const r7 = row[7];
  const g0 = w * r0;
  const g1 = w * r1;
  const g2 = w * r2;
  const g3 = w * r3;
  const g4 = w * r4;
  const g5 = w * r5;
  const g6 = w * r6;
  const g7 = w * r7;
  side[0] += g0 * miss;
  side[1] += g1 * miss;
  side[2] += g2 * miss;
  side[3] += g3 * miss;
  side[4] += g4 * miss;
  side[5] += g5 * miss;
  side[6] += g6 * miss;
  side[7] += g7 * miss;
  local[0] += g0 * r0;
  local[8] += g1 * r0;
  local[9] += g1 * r1;
  local[16] += g2 * r0;
  local[17] += g2 * r1;
  local[18] += g2 * r2;
  local[24] += g3 * r0;
  local[25] += g3 * r1;
  local[26] += g3 * r2;
  local[27] += g3 * r3;
  local[32] += g4 * r0;
  local[33] += g4 * r1;
  local[34] += g4 * r2;
  local[35] += g4 * r3;
  local[36] += g4 * r4;
  local[40] += g5 * r0;
  local[41] += g5 * r1;
  local[42] += g5 * r2;
  local[43] += g5 * r3;
  local[44] += g5 * r4;
  local[45] += g5 * r5;
  local[48] += g6 * r0;
  local[49] += g6 * r1;
  local[50] += g6 * r2;
  local[51] += g6 * r3;
  local[52] += g6 * r4;
  local[53] += g6 * r5;
  local[54] += g6 * r6;
  local[56] += g7 * r0;
  local[57] += g7 * r1;
  local[58] += g7 * r2;
  local[59] += g7 * r3;
  local[60] += g7 * r4;
  local[61] += g7 * r5;
  local[62] += g7 * r6;
  local[63] += g7 * r7;
}

export class Chain {
  readonly size: number;
  readonly matrix: Skyline;
  readonly gradient: Float64Array;
  /** Global index of each local unknown, −1 where it is fixed; `LOCAL` per segment. */
  readonly index: Int32Array;
  /** Error in value at each point of the grid, at the last `assemble`. */
  readonly misses: Float64Array;
  /** Sum of weighted squared residuals at the last `assemble`. */
  cost = 0;
  /** The load's part of it. */
  load = 0;
  private readonly local = new Float64Array(UPPER);
  private readonly work = new Float64Array(WORK_SIZE);
  private readonly side = new Float64Array(LOCAL);
  private readonly rowValue = new Float64Array(LOCAL);
  private readonly rowSecond = new Float64Array(LOCAL);

  constructor(
    layout: Layout,
    private readonly grid: Grid,
    /** Value units per unit of second derivative; 0 leaves the load out. */
    private readonly loadWeight: number,
  ) {
    const { count, segments, cyclic } = layout;
    const index = new Int32Array(segments * LOCAL).fill(-1);
    let next = 0;
    const nodeAt = (i: number): void => {
      if (layout.locked[i]) return;
      const left = i > 0 ? i - 1 : cyclic ? count - 1 : -1;
      const right = i < segments ? i : -1;
      const value = next++;
      const slope = next++;
      const slopeOut = layout.corner[i] ? next++ : slope;
      const time = layout.moves[i] ? next++ : -1;
      if (left >= 0) {
        index[left * LOCAL + 5] = value;
        index[left * LOCAL + 6] = slope;
        index[left * LOCAL + 7] = time;
      }
      if (right >= 0) {
        index[right * LOCAL] = value;
        index[right * LOCAL + 1] = slopeOut;
        index[right * LOCAL + 2] = time;
      }
    };
    const spansOf = (k: number): void => {
      if (kindAfter(layout, k) !== 'curve') return;
      if (!layout.locked[k]) index[k * LOCAL + 3] = next++;
      if (!layout.locked[(k + 1) % count]) index[k * LOCAL + 4] = next++;
    };
    if (!cyclic) nodeAt(0);
    for (let k = 0; k < segments; k++) {
      spansOf(k);
      if (k + 1 < count) nodeAt(k + 1);
    }
    if (cyclic) nodeAt(0);
    this.index = index;
    this.size = next;
    const first = new Int32Array(next).map((_, r) => r);
    for (let k = 0; k < segments; k++) {
      let least = next;
      for (let p = 0; p < LOCAL; p++) {
        const g = index[k * LOCAL + p];
        if (g >= 0 && g < least) least = g;
      }
      for (let p = 0; p < LOCAL; p++) {
        const g = index[k * LOCAL + p];
        if (g >= 0 && least < first[g]) first[g] = least;
      }
    }
    this.matrix = new Skyline(first);
    this.gradient = new Float64Array(next);
    this.misses = new Float64Array(grid.count);
  }

  /** Builds the equations at a layout and returns the cost. */
  assemble(layout: Layout): number {
    const { matrix, gradient, grid } = this;
    matrix.clear();
    gradient.fill(0);
    this.cost = 0;
    this.load = 0;
    const { count, segments, period, gain, cyclic, time } = layout;
    if (grid.count === 0) return 0;
    const { time: at } = grid;
    const wraps = cyclic ? lowerBound(at, time[0]) : 0;
    let j = wraps;
    for (let k = 0; k < segments; k++) {
      const right = (k + 1) % count;
      const crosses = k + 1 === count;
      const t0 = time[k];
      const h = segmentLength(layout, k);
      const end = crosses || k === segments - 1 ? grid.count : lowerBound(at, time[right]);
      const kind = kindAfter(layout, k);
      if (kind !== 'curve') {
        j = end;
        continue;
      }
      this.local.fill(0);
      this.side.fill(0);
      const v0 = layout.value[k];
      const v1 = layout.arrives[right] + (crosses ? gain : 0);
      this.segment(layout, k, v0, v1, layout.slopeOut[k], layout.slopeIn[right], t0, h, j, end, 0, 0);
      if (crosses) {
        this.segment(
          layout,
          k,
          v0,
          v1,
          layout.slopeOut[k],
          layout.slopeIn[right],
          t0,
          h,
          0,
          wraps,
          period,
          gain,
        );
      }
      j = end;
      this.scatter(k);
    }
    return this.cost;
  }

  /** Adds points `from…to − 1` of the grid, seen `shift` later and `lift` higher, to the local block. */
  private segment(
    layout: Layout,
    k: number,
    v0: number,
    v1: number,
    m0: number,
    m1: number,
    t0: number,
    h: number,
    from: number,
    to: number,
    shift: number,
    lift: number,
  ): void {
    const { rowValue, rowSecond, local, side, work, grid, loadWeight } = this;
    const a = layout.out[k];
    const c = layout.in[k];
    const t1 = 3 * a;
    const t2 = 3 * (1 - c - 2 * a);
    const t3 = 3 * (a + c) - 2;
    const rise = v1 - v0;
    const o = m0 * h * a;
    const e = rise - m1 * h * c;
    const y1 = 3 * o;
    const y2 = 3 * (e - 2 * o);
    const y3 = rise + 3 * (o - e);
    const rate = 1 / h;
    const second = loadWeight * rate * rate;
    const mh0 = m0 * h;
    const mh1 = m1 * h;
    const base = k * LOCAL;
    const moves = this.index[base + 2] >= 0 || this.index[base + 7] >= 0;
    work[WORK_A] = t3;
    work[WORK_B] = t2;
    work[WORK_C] = t1;
    let lastS = 0;
    let lastX = 0;
    let lastRate = 1;
    let cost = 0;
    let load = 0;
    for (let j = from; j < to; j++) {
      const x = (grid.time[j] + shift - t0) * rate;
      // The points come in order: go on from the last one along the slope there.
      work[WORK_S] = lastS + (x - lastX) * lastRate;
      work[WORK_X] = x;
      solveWork(work);
      const s = work[WORK_S];
      const r = 1 - s;
      const dx = Math.max((3 * t3 * s + 2 * t2) * s + t1, 1e-6);
      lastS = s;
      lastX = x;
      lastRate = 1 / dx;
      const ddx = 6 * t3 * s + 2 * t2;
      const slope = ((3 * y3 * s + 2 * y2) * s + y1) / dx;
      const b0 = r * r * r;
      const b1 = 3 * r * r * s;
      const b2 = 3 * r * s * s;
      const b3 = s * s * s;
      const miss = ((y3 * s + y2) * s + y1) * s + v0 - grid.value[j] - lift;
      this.misses[j] = miss;
      const w = grid.weight[j];
      rowValue[0] = b0 + b1;
      rowValue[1] = a * h * b1;
      rowValue[3] = b1 * (mh0 - slope);
      rowValue[4] = b2 * (slope - mh1);
      rowValue[5] = b2 + b3;
      rowValue[6] = -c * h * b2;
      if (moves) {
        const held = m0 * a * b1 - m1 * c * b2;
        rowValue[2] = slope * (x - 1) * rate - held;
        rowValue[7] = held - slope * x * rate;
      }
      cost += w * miss * miss;
      accumulate(local, side, rowValue, w, miss);
      if (loadWeight === 0) continue;
      const inv = 1 / dx;
      const bend = (6 * y3 * s + 2 * y2 - slope * ddx) * inv * inv;
      const third = ((6 * y3 - bend * dx * ddx - slope * 6 * t3) * inv * inv - 2 * bend * ddx * inv) * inv;
      const d0 = -3 * r * r * inv;
      const d1 = 3 * r * (1 - 3 * s) * inv;
      const d2 = 3 * s * (2 - 3 * s) * inv;
      const dd0 = (6 * r * inv - d0 * ddx * inv) * inv;
      const dd1 = ((18 * s - 12) * inv - d1 * ddx * inv) * inv;
      const dd2 = ((6 - 18 * s) * inv - d2 * ddx * inv) * inv;
      rowSecond[0] = second * (dd0 + dd1);
      rowSecond[1] = second * a * h * dd1;
      rowSecond[3] = second * (dd1 * (mh0 - slope) - 2 * d1 * bend - b1 * third);
      rowSecond[4] = second * (dd2 * (slope - mh1) + 2 * d2 * bend + b2 * third);
      rowSecond[5] = -rowSecond[0];
      rowSecond[6] = -second * c * h * dd2;
      if (moves) {
        const held = m0 * a * dd1 - m1 * c * dd2;
        rowSecond[2] = second * ((third * (x - 1) + 2 * bend) * rate - held);
        rowSecond[7] = second * (held - (third * x + 2 * bend) * rate);
      }
      const off = second * bend - loadWeight * grid.second[j];
      cost += grid.share * off * off;
      load += off * off;
      accumulate(local, side, rowSecond, grid.share, off);
    }
    this.cost += cost;
    this.load += grid.share * load;
  }

  private scatter(k: number): void {
    const { index, matrix, gradient, local, side } = this;
    for (let p = 0; p < LOCAL; p++) {
      const gp = index[k * LOCAL + p];
      if (gp < 0) continue;
      gradient[gp] += side[p];
      for (let q = 0; q <= p; q++) {
        const gq = index[k * LOCAL + q];
        if (gq < 0) continue;
        const entry = local[p * LOCAL + q];
        if (gp >= gq) matrix.entries[matrix.base[gp] + gq] += entry;
        else matrix.entries[matrix.base[gq] + gp] += entry;
        if (gp === gq && p !== q) matrix.entries[matrix.base[gp] + gp] += entry;
      }
    }
  }
}
