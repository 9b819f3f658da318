/** How many keys a fit cannot do without, whatever their places: counted before anything is searched. */
import type { FitPlan } from './options.js';
import type { FitSource } from './source.js';

/** A locked key may turn the curve itself, and begin a hold or a jump. */
const TURNS_PER_LOCKED = 3;

/**
 * Fewest keys with which samples can be followed within `tolerance`. Between two samples that differ by more than
 * twice the tolerance the curve rises or falls as they do; each change of direction needs an extreme, of which a
 * cubic segment has at most two.
 */
export function fewestKeys(plan: FitPlan, source: FitSource, tolerance: number): number {
  const { samples, sampled } = source;
  if (!samples || !sampled) return 1;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let direction = 0;
  let turns = 0;
  for (let i = 0; i < samples.length; i++) {
    if (samples[i] < plan.start || samples[i] > plan.end || (plan.cyclic && samples[i] === plan.end))
      continue;
    const v = sampled[i];
    low = Math.min(low, v);
    high = Math.max(high, v);
    if (direction !== 1 && v - low > 2 * tolerance) {
      if (direction === -1) turns++;
      direction = 1;
      high = v;
    } else if (direction !== -1 && high - v > 2 * tolerance) {
      if (direction === 1) turns++;
      direction = -1;
      low = v;
    }
  }
  const own = Math.max(0, turns - TURNS_PER_LOCKED * plan.locked.length);
  return Math.ceil(own / 2) + (plan.cyclic ? 0 : 1);
}

/**
 * Error that no number of keys can bring down: how far from the source a locked key stands, and half the step by
 * which a cycle of samples does not close.
 */
export function unavoidableError(plan: FitPlan, source: FitSource): number {
  const jet = new Float64Array(3);
  let most = 0;
  for (const key of plan.locked) {
    source.jet(key.time, jet);
    most = Math.max(most, Math.abs(key.value - jet[0]));
  }
  if (!plan.cyclic || !source.samples) return most;
  source.jet(plan.start, jet);
  const first = jet[0] + plan.gain;
  source.jet(plan.end, jet);
  return Math.max(most, 0.5 * Math.abs(jet[0] - first));
}
