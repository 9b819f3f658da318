import type { Series } from '../curves/series.js';
import { seriesExtremes } from '../curves/series-extremes.js';

/** Rounding up by some units in the last place, so that a swing scaled to the limit never passes it. */
const MARGIN = 1 + 1e-13;

/**
 * How far a load series dips below its mean, in BW, or a larger number that is still no more than 1 where
 * the sum of its terms' sizes already shows that the load stays positive.
 */
export function deepestDip(load: Series): number {
  const reach = load.cos.reduce((sum, a, i) => sum + Math.hypot(a, load.sin[i]), 0);
  if (reach <= 1) return reach;
  const lowest = seriesExtremes(load).reduce((low, { value }) => Math.min(low, value), load.mean);
  return (load.mean - lowest) * MARGIN;
}
