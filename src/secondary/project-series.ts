import { type Series, sampleSeries } from '../curves/series.js';

/** Samples per period that a path is projected from. */
const SAMPLES = 1024;
/** Most harmonics that a projection keeps. */
const HARMONICS = 160;
/** Terms below this part of the largest one are rounding, and left out at the end of the list. */
const NEGLIGIBLE = 1e-14;

/** A path as a series, and how far the series lies off it. */
export interface Projection {
  readonly series: Series;
  /** Largest distance on a grid between the samples, in the path's unit. */
  readonly error: number;
}

/**
 * The series of a path that repeats but for a drift, by the discrete Fourier sum over even samples from
 * `start`; its time is the path's own. The error is measured half-way between the samples.
 */
export function projectPath(
  valueAt: (t: number) => number,
  start: number,
  period: number,
  drift: number,
): Projection {
  const values = Float64Array.from(
    { length: SAMPLES },
    (_, i) => valueAt(start + (i * period) / SAMPLES) - (drift * i) / SAMPLES,
  );
  const series = fromSamples(values, start, period, drift, HARMONICS);
  const jet = new Float64Array(3);
  let error = 0;
  for (let i = 0; i < SAMPLES; i++) {
    const t = start + ((i + 0.5) * period) / SAMPLES;
    sampleSeries(series, t, jet);
    error = Math.max(error, Math.abs(jet[0] - valueAt(t)));
  }
  return { series, error };
}

/** The trigonometric series through even samples of one period, `most` harmonics at most. */
export function fromSamples(
  values: ArrayLike<number>,
  start: number,
  period: number,
  drift: number,
  most: number,
): Series {
  const n = values.length;
  const table = Float64Array.from({ length: n }, (_, i) => Math.cos((2 * Math.PI * i) / n));
  const sine = Float64Array.from({ length: n }, (_, i) => Math.sin((2 * Math.PI * i) / n));
  const count = Math.min(most, Math.floor((n - 1) / 2));
  const cos: number[] = [];
  const sin: number[] = [];
  let mean = 0;
  for (let i = 0; i < n; i++) mean += values[i] / n;
  for (let k = 1; k <= count; k++) {
    let a = 0;
    let b = 0;
    for (let i = 0, at = 0; i < n; i++, at = (at + k) % n) {
      a += (values[i] - mean) * table[at];
      b += (values[i] - mean) * sine[at];
    }
    // Turned from the samples' start to time 0.
    const angle = (2 * Math.PI * k * start) / period;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    cos.push(((a * c - b * s) * 2) / n);
    sin.push(((a * s + b * c) * 2) / n);
  }
  const most1 = cos.reduce((top, a, i) => Math.max(top, Math.hypot(a, sin[i])), 0);
  let keep = count;
  while (keep > 0 && Math.hypot(cos[keep - 1], sin[keep - 1]) <= NEGLIGIBLE * most1) keep--;
  return {
    period,
    mean: mean - (drift * start) / period,
    drift,
    cos: cos.slice(0, keep),
    sin: sin.slice(0, keep),
  };
}
