import { type Series, sampleSeries } from '../curves/series.js';

/** Evaluations per harmonic that the search starts from; enough to bracket every dip of a short series. */
const SAMPLES_PER_HARMONIC = 16;

/** Most Newton steps from a bracketed dip. */
const NEWTON_STEPS = 20;

/**
 * How far a load series dips below its mean at its lowest point, in BW, rounded up so that scaling the
 * swing by its reciprocal leaves nothing below 0. Takes at most 16 samples a harmonic and 20 Newton steps.
 */
export function deepestDip(load: Series): number {
  const reach = load.cos.reduce((sum, a, i) => sum + Math.hypot(a, load.sin[i]), 0);
  // No phase can add up to more than the sum of the sizes: nothing to search for.
  if (reach <= 1) return reach;
  const jet = new Float64Array(3);
  const count = SAMPLES_PER_HARMONIC * load.cos.length;
  let lowest = Number.POSITIVE_INFINITY;
  let at = 0;
  for (let i = 0; i < count; i++) {
    const t = (i / count) * load.period;
    sampleSeries(load, t, jet);
    if (jet[0] < lowest) [lowest, at] = [jet[0], t];
  }
  const step = load.period / count;
  for (let i = 0; i < NEWTON_STEPS; i++) {
    sampleSeries(load, at, jet);
    lowest = Math.min(lowest, jet[0]);
    if (!(jet[2] > 0)) break;
    const move = Math.max(-step, Math.min(step, -jet[1] / jet[2]));
    at += move;
    if (Math.abs(move) <= 1e-12 * load.period) break;
  }
  return (load.mean - lowest) * (1 + 1e-13);
}
