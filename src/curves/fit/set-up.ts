/** What a fit works on: the places for keys, the grid that it is judged on, and what segments between places cost. */
import type { Bench } from './attempt.js';
import { detailTimes } from './detail.js';
import { lowerBound, makeGrid, upperBound } from './grid.js';
import type { FitPlan } from './options.js';
import { PlacementSearch } from './placement.js';
import { makePlaces } from './places.js';
import { SegmentCosts } from './segment-costs.js';
import type { FitSource } from './source.js';

/** Points of the fitting grid per frame, more where segments are short, and per division where keys may stand anywhere. */
export const PER_FRAME = 4;
const PER_CROWDED_FRAME = 12;
const PER_DIVISION = 6;

/** Divisions of a range in which keys may stand anywhere, to begin with and at most. */
export const DIVISION = 24;
const MOST_DIVISION = 1536;

/** Points added between neighbouring details, so that what they mark is seen. */
const PER_DETAIL = 3;

/** Points of the fitting grid: between the places for keys, and at the ends of an open range. */
function gridTimes(plan: FitPlan, source: FitSource, division: number): Float64Array {
  const length = plan.end - plan.start;
  const ends = plan.cyclic ? 0 : 1;
  const { samples } = source;
  const first = samples ? upperBound(samples, plan.start) : 0;
  const inside = samples ? lowerBound(samples, plan.end) - first : 0;
  let times: Float64Array;
  if (samples && !plan.frames && inside >= 2 * division) {
    const stride = Math.max(1, Math.floor(inside / (PER_DIVISION * division)));
    const points = Math.ceil((inside - (stride >> 1)) / stride);
    times = new Float64Array(points + 2 * ends);
    for (let j = 0; j < points; j++) times[j + ends] = samples[first + (stride >> 1) + j * stride];
  } else {
    const points = plan.frames
      ? Math.max(8, Math.round(length * plan.frames.fps * division))
      : PER_DIVISION * division;
    times = new Float64Array(points + 2 * ends);
    for (let j = 0; j < points; j++) times[j + ends] = plan.start + (length * (j + 0.5)) / points;
  }
  if (ends) {
    times[0] = plan.start;
    times[times.length - 1] = plan.end;
  }
  return times;
}

/** The grid with points beside every detail: as far as the places before and after it. */
function withDetail(times: Float64Array, places: Float64Array, detail: readonly number[]): Float64Array {
  if (detail.length === 0) return times;
  const all = new Set(times);
  for (const t of detail) {
    const i = lowerBound(places, t);
    for (const k of [i - 1, i]) {
      if (k < 0 || k + 1 >= places.length) continue;
      const step = (places[k + 1] - places[k]) / (PER_DETAIL + 1);
      for (let p = 0; p <= PER_DETAIL + 1; p++) all.add(places[k] + p * step);
    }
  }
  return Float64Array.from(all).sort();
}

/** Places, grid and costs of a request, for keys as close as the division allows. */
export function setUp(plan: FitPlan, source: FitSource, division: number): Bench {
  const detail = plan.frames ? [] : detailTimes(source, plan.start, plan.end, division);
  const places = makePlaces(source, plan, division, detail);
  const grid = makeGrid(source, withDetail(gridTimes(plan, source, division), places.time, detail));
  const costs = new SegmentCosts(places, grid, plan.period, plan.gain, plan.load?.weight ?? 0, {
    everyPoint: detail.length > 0,
    mirrored: source.mirrored && plan.period === source.period && plan.locked.length === 0,
  });
  const search = new PlacementSearch(costs, places, plan.cyclic);
  return { plan, places, grid, costs, search, detailed: detail.length > 0 };
}

/**
 * How finely a range is divided for so many keys, a function of their number alone; with whole frames, how
 * many points a frame gets.
 */
export function divisionFor(keys: number, plan: FitPlan): number {
  if (plan.frames) {
    const frames = (plan.end - plan.start) * plan.frames.fps;
    return 3 * keys > frames ? PER_CROWDED_FRAME : PER_FRAME;
  }
  let division = DIVISION;
  while (division < 3 * keys && division < MOST_DIVISION) division *= 2;
  return division;
}
