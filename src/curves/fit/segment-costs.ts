/** The cost of every segment between two places that a search asks for, solved once and kept. */
import type { Grid } from './grid.js';
import { CRAMPED, type Places } from './places.js';
import { SegmentSolver } from './segment-solver.js';

/** Whether every place has another half a period later. */
function halves({ count, time }: Places, period: number): boolean {
  const half = count / 2;
  if (!Number.isInteger(half)) return false;
  for (let i = 0; i < half; i++) {
    if (Math.abs(time[i + half] - time[i] - period / 2) > 1e-9 * period) return false;
  }
  return true;
}

export class SegmentCosts {
  /** Solved spans as fractions of the segment; valid after `cost` was asked for. */
  readonly out: Float64Array;
  readonly in: Float64Array;
  /** Largest error in value at the points looked at. */
  readonly worst: Float64Array;
  private readonly known: Float64Array;
  private readonly width: number;
  /** Places after which costs repeat. */
  private readonly lap: number;
  private readonly solver: SegmentSolver;

  constructor(
    private readonly places: Places,
    grid: Grid,
    private readonly period: number,
    private readonly gain: number,
    loadWeight: number,
    { everyPoint = false, mirrored = false } = {},
  ) {
    const n = places.count;
    this.width = n + 1;
    this.lap = mirrored && halves(places, period) ? n / 2 : n;
    this.known = new Float64Array(this.lap * this.width).fill(-1);
    this.out = new Float64Array(this.lap * this.width);
    this.in = new Float64Array(this.lap * this.width);
    this.worst = new Float64Array(this.lap * this.width);
    this.solver = everyPoint
      ? new SegmentSolver(grid, period, gain, loadWeight, grid.count)
      : new SegmentSolver(grid, period, gain, loadWeight);
  }

  /** Where the answer for the segment from place `i` over `length` places is kept. */
  at(i: number, length: number): number {
    return (i % this.lap) * this.width + length;
  }

  /** Whether a segment of length `h` is too short for the handle of a locked key at one end. */
  private cramped(i: number, j: number, h: number): boolean {
    const { locked } = this.places;
    const left = locked[i];
    const right = locked[j];
    if ((left?.next ?? 'curve') !== 'curve') return false;
    // Neighbouring locked keys were checked against each other when they were read.
    if (left && right && j > i) return false;
    const room = h * (1 + CRAMPED);
    return (left?.out.span ?? 0) > room || (right?.in.span ?? 0) > room;
  }

  /** Sum of weighted squared residuals of the segment from a place over `length` places; infinite without room. */
  cost(place: number, length: number): number {
    const i = place % this.lap;
    const at = i * this.width + length;
    if (this.known[at] >= 0) return this.known[at];
    const { places, solver } = this;
    const n = places.count;
    const j = (i + length) % n;
    const lap = i + length >= n ? 1 : 0;
    if (this.cramped(i, j, places.time[j] + lap * this.period - places.time[i])) {
      this.known[at] = Number.POSITIVE_INFINITY;
      return this.known[at];
    }
    const left = places.locked[i];
    const right = places.locked[j];
    this.known[at] = solver.solve({
      start: places.time[i],
      length: places.time[j] + lap * this.period - places.time[i],
      value0: left?.value ?? places.value[i],
      value1: (right?.arrives ?? right?.value ?? places.value[j]) + lap * this.gain,
      slope0: left?.out.slope ?? places.slope[i],
      slope1: right?.in.slope ?? places.slopeBefore[j],
    });
    this.out[at] = solver.out;
    this.in[at] = solver.in;
    this.worst[at] = solver.worst;
    return this.known[at];
  }
}
