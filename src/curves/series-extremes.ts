import { type Series, sampleSeries } from './series.js';

/** A local extreme of a series. */
export interface Extreme {
  /** Time in s, in [0, period). */
  readonly time: number;
  readonly value: number;
  readonly kind: 'high' | 'low';
}

/** Samples per harmonic that the search brackets extremes with. */
const SAMPLES_PER_HARMONIC = 16;

/** Most steps of the bracketed Newton search for one extreme. */
const REFINING_STEPS = 40;

/**
 * All local highs and lows of a series over one period, in order of time; none where it is constant or
 * drifts too fast to turn.
 *
 * Sign changes of the slope on a grid of 16 samples a harmonic, each refined by bracketed Newton to the
 * last bits; at most 40 steps each.
 */
export function seriesExtremes(series: Series): Extreme[] {
  const jet = new Float64Array(3);
  const count = SAMPLES_PER_HARMONIC * Math.max(1, series.cos.length);
  const at = (i: number): number => (i / count) * series.period;
  const slopeAt = (t: number): number => {
    sampleSeries(series, t, jet);
    return jet[1];
  };
  const found: Extreme[] = [];
  let before = slopeAt(0);
  for (let i = 0; i < count; i++) {
    const after = slopeAt(at(i + 1));
    if ((before > 0 && after <= 0) || (before < 0 && after >= 0)) {
      const time = refine(slopeAt, jet, at(i), at(i + 1), before);
      slopeAt(time);
      found.push({
        time: time >= series.period ? 0 : time,
        value: jet[0],
        kind: before > 0 ? 'high' : 'low',
      });
    }
    before = after;
  }
  return found.sort((a, b) => a.time - b.time);
}

function refine(
  slopeAt: (t: number) => number,
  jet: Float64Array,
  from: number,
  to: number,
  sign: number,
): number {
  let [low, high] = [from, to];
  let t = (low + high) / 2;
  for (let i = 0; i < REFINING_STEPS; i++) {
    const slope = slopeAt(t);
    if (slope === 0) return t;
    if (slope > 0 === sign > 0) low = t;
    else high = t;
    const newton = t - slope / jet[2];
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    if (Math.abs(next - t) <= Number.EPSILON * to) return next;
    t = next;
  }
  return t;
}
