/** The longest segments from sample to sample, for sources in which single samples stand out: steps, spikes, corners. */
import { makeGrid } from './grid.js';
import { type Layout, makeLayout } from './layout.js';
import type { FitPlan } from './options.js';
import { SegmentSolver } from './segment-solver.js';
import type { FitSource } from './source.js';

/** Share of the tolerance that the points looked at may use: the error between them is a little larger. */
const MARGIN = 0.9;

/**
 * From each sample the longest segment within the tolerance, with the source's own values and slopes: lengths doubled
 * while they fit, then halved between what fits and what does not. Nothing where not even neighbours fit, or where
 * more than `maxKeys` keys would be needed.
 */
export function followSamples(
  source: FitSource,
  times: Float64Array,
  { cyclic, period, gain, maxKeys }: FitPlan,
  tolerance: number,
): Layout | undefined {
  const last = times.length - 1;
  const between = new Float64Array(2 * last + 1);
  for (let i = 0; i <= last; i++) between[2 * i] = times[i];
  for (let i = 0; i < last; i++) between[2 * i + 1] = 0.5 * (times[i] + times[i + 1]);
  const grid = makeGrid(source, between);
  if (cyclic) {
    // The seam is one key.
    grid.value[2 * last] = grid.value[0] + gain;
    grid.slope[2 * last] = grid.slope[0];
  }
  const solver = new SegmentSolver(grid, 0, 0, 0, grid.count);
  const keys = [0];
  const spans: [number, number][] = [];
  for (let i = 0; i < last; ) {
    let found: [number, number] | undefined;
    const fits = (length: number): boolean => {
      const j = i + length;
      const ends = {
        start: times[i],
        length: times[j] - times[i],
        value0: grid.value[2 * i],
        value1: grid.value[2 * j],
        slope0: grid.slope[2 * i],
        slope1: grid.slope[2 * j],
      };
      solver.solve(ends, MARGIN * tolerance);
      if (solver.worst > MARGIN * tolerance) return false;
      found = [solver.out, solver.in];
      return true;
    };
    let low = 0;
    let high = last - i + 1;
    if (fits(last - i)) low = last - i;
    else high = last - i;
    for (let next = 1, grows = true; low < last - i && high - low > 1; ) {
      if (fits(next)) low = next;
      else {
        high = next;
        grows = false;
      }
      next = grows ? Math.min(2 * low, high - 1) : (low + high) >> 1;
    }
    if (!found || low === 0 || spans.length === maxKeys) return undefined;
    i += low;
    keys.push(i);
    spans.push(found);
  }
  if (cyclic) keys.pop();
  if (keys.length > maxKeys) return undefined;
  const layout = makeLayout(keys.length, cyclic, period, gain);
  keys.forEach((at, k) => {
    layout.time[k] = times[at];
    layout.value[k] = grid.value[2 * at];
    layout.arrives[k] = grid.value[2 * at];
    layout.slopeIn[k] = grid.slope[2 * at];
    layout.slopeOut[k] = grid.slope[2 * at];
    layout.out[k] = spans[k]?.[0] ?? 1 / 3;
    layout.in[k] = spans[k]?.[1] ?? 1 / 3;
  });
  return layout;
}
