/** The points at which a fit is judged while it is being made. */
import type { FitSource } from './source.js';

export interface Grid {
  readonly count: number;
  readonly time: Float64Array;
  readonly value: Float64Array;
  readonly slope: Float64Array;
  readonly second: Float64Array;
  /** Weight of each point's squared error in value in the sum; 1 / count to begin with. */
  readonly weight: Float64Array;
  /** Weight of each point's squared error in load, which no reweighting changes. */
  readonly share: number;
  /** Cost that rounding alone explains: there is nothing to gain below it. */
  readonly floor: number;
}

/** Evaluates a source at given times. */
export function makeGrid(source: FitSource, time: Float64Array): Grid {
  const count = time.length;
  const grid = {
    count,
    time,
    value: new Float64Array(count),
    slope: new Float64Array(count),
    second: new Float64Array(count),
    weight: new Float64Array(count).fill(1 / Math.max(1, count)),
    share: 1 / Math.max(1, count),
    floor: 0,
  };
  const jet = new Float64Array(3);
  for (let j = 0; j < count; j++) {
    source.jet(time[j], jet);
    grid.value[j] = jet[0];
    grid.slope[j] = jet[1];
    grid.second[j] = jet[2];
  }
  let size = 0;
  for (let j = 0; j < count; j++) size = Math.max(size, Math.abs(grid.value[j]));
  grid.floor = (4 * Number.EPSILON * size) ** 2;
  return grid;
}

/** The same points with weights of their own, to be changed freely. */
export function reweighted(grid: Grid): Grid {
  const { count, time, value, slope, second, weight, share, floor } = grid;
  return { count, time, value, slope, second, weight: weight.slice(), share, floor };
}

/** First index whose time is ≥ `t`. */
export function lowerBound(time: Float64Array, t: number): number {
  let low = 0;
  let high = time.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time[middle] < t) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** First index whose time is > `t`. */
export function upperBound(time: Float64Array, t: number): number {
  const i = lowerBound(time, t);
  return i < time.length && time[i] === t ? i + 1 : i;
}
