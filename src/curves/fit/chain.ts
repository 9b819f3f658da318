/**
 * The normal equations of a fit: residuals of value and, where asked, of the second derivative at every
 * point of the grid, and their exact derivatives with respect to every unknown of the layout.
 *
 * With time fixed, a change of any unknown p moves the value by φ_p(x), and moves the second derivative by
 * φ_p''(x): one rule gives both rows of the Jacobian.
 */
import { type Grid, lowerBound } from './grid.js';
import { kindAfter, type Layout } from './layout.js';
import {
  LEFT_SLOPE,
  LEFT_TIME,
  LEFT_VALUE,
  LOCAL,
  RIGHT_SLOPE,
  RIGHT_TIME,
  RIGHT_VALUE,
  SPAN_IN,
  SPAN_OUT,
} from './normal-sums.js';
import { SegmentEquations } from './segment-equations.js';
import { Skyline } from './skyline.js';

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
  private readonly equations: SegmentEquations;
  private readonly keptEntries: Float64Array;
  private readonly keptGradient: Float64Array;
  private readonly keptMisses: Float64Array;
  private keptCost = 0;
  private keptLoad = 0;

  constructor(
    layout: Layout,
    private readonly grid: Grid,
    /** Value units per unit of second derivative; 0 leaves the load out. */
    loadWeight: number,
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
        index[left * LOCAL + RIGHT_VALUE] = value;
        index[left * LOCAL + RIGHT_SLOPE] = slope;
        index[left * LOCAL + RIGHT_TIME] = time;
      }
      if (right >= 0) {
        index[right * LOCAL + LEFT_VALUE] = value;
        index[right * LOCAL + LEFT_SLOPE] = slopeOut;
        index[right * LOCAL + LEFT_TIME] = time;
      }
    };
    const spansOf = (k: number): void => {
      if (kindAfter(layout, k) !== 'curve') return;
      if (!layout.locked[k]) index[k * LOCAL + SPAN_OUT] = next++;
      if (!layout.locked[(k + 1) % count]) index[k * LOCAL + SPAN_IN] = next++;
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
    this.equations = new SegmentEquations(grid, loadWeight, this.misses);
    this.keptEntries = new Float64Array(this.matrix.entries.length);
    this.keptGradient = new Float64Array(next);
    this.keptMisses = new Float64Array(grid.count);
  }

  /** Keeps everything as it is, for `restore`. */
  keep(): void {
    this.keptEntries.set(this.matrix.entries);
    this.keptGradient.set(this.gradient);
    this.keptMisses.set(this.misses);
    this.keptCost = this.cost;
    this.keptLoad = this.load;
  }

  /** Brings back what was kept: cheaper than building it again. */
  restore(): void {
    this.matrix.entries.set(this.keptEntries);
    this.gradient.set(this.keptGradient);
    this.misses.set(this.keptMisses);
    this.cost = this.keptCost;
    this.load = this.keptLoad;
  }

  /** Builds the equations at a layout and returns the cost. */
  assemble(layout: Layout): number {
    const { matrix, gradient, grid, equations, index } = this;
    matrix.clear();
    gradient.fill(0);
    equations.cost.fill(0);
    this.cost = 0;
    this.load = 0;
    const { count, segments, cyclic, time } = layout;
    if (grid.count === 0) return 0;
    const { time: at } = grid;
    const wraps = cyclic ? lowerBound(at, time[0]) : 0;
    let j = wraps;
    for (let k = 0; k < segments; k++) {
      const right = (k + 1) % count;
      const crosses = k + 1 === count;
      const end = crosses || k === segments - 1 ? grid.count : lowerBound(at, time[right]);
      const kind = kindAfter(layout, k);
      if (kind !== 'curve') {
        j = end;
        continue;
      }
      const moves = index[k * LOCAL + LEFT_TIME] >= 0 || index[k * LOCAL + RIGHT_TIME] >= 0;
      equations.begin(layout, k);
      equations.add(j, end, moves);
      if (crosses && wraps > 0) {
        equations.lap(layout);
        equations.add(0, wraps, moves);
      }
      j = end;
      this.scatter(k);
    }
    this.cost = equations.cost[0];
    this.load = equations.cost[1];
    return this.cost;
  }

  private scatter(k: number): void {
    const { index, matrix, gradient } = this;
    const { local, side } = this.equations;
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
