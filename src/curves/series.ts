/**
 * A short Fourier series over one period, with a drift: the exact form of everything that repeats.
 *
 *     x(t) = mean + drift · t / period + Σ_k cos[k−1] · cos(2πk t / period) + sin[k−1] · sin(2πk t / period)
 *
 * Plain data that survives JSON. Units of `mean`, `drift`, `cos` and `sin` are the unit of the value.
 */
export interface Series {
  /** Length of one period, in s, > 0. */
  readonly period: number;
  /** Mean of the periodic part. */
  readonly mean: number;
  /** What the value gains over one period; 0 for a closed loop. */
  readonly drift: number;
  /** Cosine terms of harmonics 1, 2, … */
  readonly cos: readonly number[];
  /** Sine terms of harmonics 1, 2, …; as long as `cos`. */
  readonly sin: readonly number[];
}

/** Value and derivatives at one time. */
export interface Jet {
  /** Value. */
  readonly value: number;
  /** First derivative, per second. */
  readonly velocity: number;
  /** Second derivative, per second squared. */
  readonly acceleration: number;
}

/**
 * Writes value, first and second derivative at time `t` (s) into `out[0..2]`; allocates nothing.
 * Angles are advanced by the rotation recurrence, whose error grows with the harmonic's number only.
 *
 * @example
 * ```ts
 * import { sampleSeries } from 'underfoot/curves';
 *
 * const wave = { period: 2, mean: 1, drift: 0, cos: [0.5], sin: [0] };
 * const jet = new Float64Array(3);
 * sampleSeries(wave, 1, jet);
 * console.log(jet[0]); // → 0.5
 * ```
 */
export function sampleSeries(series: Series, t: number, out: Float64Array): void {
  const { period, cos, sin } = series;
  const turn = t / period;
  const theta = 2 * Math.PI * (turn - Math.floor(turn));
  const omega = (2 * Math.PI) / period;
  const c1 = Math.cos(theta);
  const s1 = Math.sin(theta);
  let c = 1;
  let s = 0;
  let value = series.mean + series.drift * turn;
  let velocity = series.drift / period;
  let acceleration = 0;
  for (let k = 0; k < cos.length; k++) {
    const next = c * c1 - s * s1;
    s = s * c1 + c * s1;
    c = next;
    const a = cos[k];
    const b = sin[k];
    const w = (k + 1) * omega;
    const inPhase = a * c + b * s;
    value += inPhase;
    velocity += w * (b * c - a * s);
    acceleration -= w * w * inPhase;
  }
  out[0] = value;
  out[1] = velocity;
  out[2] = acceleration;
}

const scratch = new Float64Array(3);

/**
 * Value, velocity and acceleration of a series at time `t` (s), as plain data.
 *
 * @example
 * ```ts
 * import { evaluateSeries } from 'underfoot/curves';
 *
 * const wave = { period: 2, mean: 1, drift: 0, cos: [0.5], sin: [0] };
 * console.log(evaluateSeries(wave, 1).value); // → 0.5
 * ```
 */
export function evaluateSeries(series: Series, t: number): Jet {
  sampleSeries(series, t, scratch);
  return { value: scratch[0], velocity: scratch[1], acceleration: scratch[2] };
}

/**
 * Value of a series at time `t` (s), the same to the bit as that of `sampleSeries`.
 *
 * @example
 * ```ts
 * import { seriesValue } from 'underfoot/curves';
 *
 * const wave = { period: 2, mean: 1, drift: 0, cos: [0.5], sin: [0] };
 * console.log(seriesValue(wave, 0)); // → 1.5
 * ```
 */
export function seriesValue(series: Series, t: number): number {
  const { period, cos, sin } = series;
  const turn = t / period;
  const theta = 2 * Math.PI * (turn - Math.floor(turn));
  const c1 = Math.cos(theta);
  const s1 = Math.sin(theta);
  let c = 1;
  let s = 0;
  let value = series.mean + series.drift * turn;
  for (let k = 0; k < cos.length; k++) {
    const next = c * c1 - s * s1;
    s = s * c1 + c * s1;
    c = next;
    value += cos[k] * c + sin[k] * s;
  }
  return value;
}

/**
 * The periodic motion whose second derivative is `scale` times the series' oscillation, term by term and
 * so exact; the series' own mean and drift have no periodic answer and are left out.
 *
 * @param mean - mean of the result
 * @param drift - what the result gains over one period
 *
 * @example
 * ```ts
 * import { evaluateSeries, integrateTwice } from 'underfoot/curves';
 *
 * const load = { period: 2, mean: 1, drift: 0, cos: [0.2], sin: [0] };
 * const height = integrateTwice(load, 9.80665, 0.9, 0);
 * console.log(evaluateSeries(height, 0).acceleration.toFixed(5)); // → 1.96133
 * ```
 */
export function integrateTwice(series: Series, scale: number, mean: number, drift: number): Series {
  const omega = (2 * Math.PI) / series.period;
  const divide = (x: number, k: number): number => (-scale * x) / ((k + 1) * omega) ** 2;
  return {
    period: series.period,
    mean,
    drift,
    cos: series.cos.map(divide),
    sin: series.sin.map(divide),
  };
}

/**
 * The series with mean and oscillation multiplied by `by`, its drift too.
 *
 * @example
 * ```ts
 * import { scaleSeries } from 'underfoot/curves';
 *
 * const wave = { period: 2, mean: 1, drift: 0, cos: [0.5], sin: [0] };
 * console.log(scaleSeries(wave, 2).cos); // → [ 1 ]
 * ```
 */
export function scaleSeries(series: Series, by: number): Series {
  return {
    period: series.period,
    mean: series.mean * by,
    drift: series.drift * by,
    cos: series.cos.map((x) => x * by),
    sin: series.sin.map((x) => x * by),
  };
}
