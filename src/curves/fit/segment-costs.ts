/** The cost of every segment between two places that a search asks for, solved once and kept. */
import type { Grid } from './grid.js';
import type { Places } from './places.js';
import { SegmentSolver } from './segment-solver.js';

export class SegmentCosts {
  /** Solved spans as fractions of the segment; valid after `cost` was asked for. */
  readonly out: Float64Array;
  readonly in: Float64Array;
  /** Largest error in value at the points looked at. */
  readonly worst: Float64Array;
  private readonly known: Float64Array;
  private readonly width: number;
  private readonly solver: SegmentSolver;

  constructor(
    private readonly places: Places,
    grid: Grid,
    private readonly period: number,
    private readonly gain: number,
    loadWeight: number,
    everyPoint = false,
  ) {
    const n = places.count;
    this.width = n + 1;
    this.known = new Float64Array(n * this.width).fill(-1);
    this.out = new Float64Array(n * this.width);
    this.in = new Float64Array(n * this.width);
    this.worst = new Float64Array(n * this.width);
    this.solver = everyPoint
      ? new SegmentSolver(grid, period, gain, loadWeight, grid.count)
      : new SegmentSolver(grid, period, gain, loadWeight);
  }

  /** Where the answer for the segment from place `i` over `length` places is kept. */
  at(i: number, length: number): number {
    return i * this.width + length;
  }

  /** Sum of weighted squared residuals of the segment from place `i` over `length` places. */
  cost(i: number, length: number): number {
    const at = i * this.width + length;
    if (this.known[at] >= 0) return this.known[at];
    const { places, solver } = this;
    const n = places.count;
    const j = (i + length) % n;
    const lap = i + length >= n ? 1 : 0;
    this.known[at] = solver.solve({
      start: places.time[i],
      length: places.time[j] + lap * this.period - places.time[i],
      value0: places.value[i],
      value1: places.value[j] + lap * this.gain,
      slope0: places.slope[i],
      slope1: places.slopeBefore[j],
    });
    this.out[at] = solver.out;
    this.in[at] = solver.in;
    this.worst[at] = solver.worst;
    return this.known[at];
  }
}
