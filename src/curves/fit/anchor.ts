/**
 * Where a cycle begins for the fitting: at its greatest value, so that what comes out moves with the source.
 */
import type { Curve } from '../curve.js';
import { wrapKeys } from './layout.js';
import type { FitPlan } from './options.js';
import { findExtremes } from './places.js';
import type { FitSource } from './source.js';

/** Points between which extremes are looked for. */
const POINTS = 64;

function greatestAt(source: FitSource, plan: FitPlan): number {
  const out = new Float64Array(3);
  let best = plan.start;
  let most = Number.NEGATIVE_INFINITY;
  for (const t of findExtremes(source, plan.start, plan.end, POINTS)) {
    source.jet(t, out);
    const level = out[0] - (plan.gain * (t - plan.start)) / plan.period;
    if (level > most) {
      most = level;
      best = t;
    }
  }
  return best < plan.end ? best : plan.start;
}

/** A plan and its source, and the way back from the fitted curve. */
export interface Anchored {
  readonly plan: FitPlan;
  readonly source: FitSource;
  readonly back: (curve: Curve) => Curve;
  /** A time of the anchored cycle as one of the cycle that was asked for. */
  readonly timeBack: (t: number) => number;
}

/**
 * The same request with its cycle cut at the greatest value. Only where nothing else says where keys go: no
 * frames, no forced or locked keys, no samples, no corners.
 */
export function anchorPlan(plan: FitPlan, source: FitSource): Anchored {
  const { start, end, period, gain } = plan;
  const told = plan.frames || plan.keysAt.length > 0 || plan.locked.length > 0;
  if (!plan.cyclic || told || source.samples || source.corners.length > 0) {
    return { plan, source, back: (curve) => curve, timeBack: (t) => t };
  }
  const anchor = greatestAt(source, plan);
  // Functions are only asked for times inside the cycle they were given for.
  const jet = (t: number, out: Float64Array): void => {
    if (t < end) {
      source.jet(t, out);
      return;
    }
    source.jet(t - period, out);
    out[0] += gain;
  };
  return {
    plan: { ...plan, start: anchor, end: anchor + period },
    source: { ...source, jet },
    timeBack: (t) => (t < end ? t : t - period),
    back: (curve) => ({ ...curve, start, keys: wrapKeys([...curve.keys], start, period, gain) }),
  };
}
