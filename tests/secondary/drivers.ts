import type { Series } from '../../src/curves/series.js';

/** A path with no symmetry, so that nothing cancels by luck: m over 1.1 s. */
export const CROOKED: Series = {
  period: 1.1,
  mean: 0.9,
  drift: 0,
  cos: [0.004, -0.012, 0.0006, 0.0008],
  sin: [-0.003, -0.009, 0.0004, 0.001],
};

/** One cosine of amplitude 1 cm at `hz`. */
export const bob = (hz: number, amplitude = 0.01): Series => ({
  period: 1 / hz,
  mean: 0,
  drift: 0,
  cos: [amplitude],
  sin: [0],
});

/** Second derivative of a series, summed term by term. */
export function accelerationOf(series: Series, t: number): number {
  let sum = 0;
  for (let k = 1; k <= series.cos.length; k++) {
    const w = (2 * Math.PI * k) / series.period;
    sum -= w * w * (series.cos[k - 1] * Math.cos(w * t) + series.sin[k - 1] * Math.sin(w * t));
  }
  return sum;
}

/** First derivative of a series, summed term by term. */
export function velocityOf(series: Series, t: number): number {
  let sum = series.drift / series.period;
  for (let k = 1; k <= series.cos.length; k++) {
    const w = (2 * Math.PI * k) / series.period;
    sum += w * (series.sin[k - 1] * Math.cos(w * t) - series.cos[k - 1] * Math.sin(w * t));
  }
  return sum;
}

/** Largest term-by-term size of a series, a scale for its errors. */
export const sizeOf = ({ cos, sin }: Series): number =>
  cos.reduce((sum, a, k) => sum + Math.hypot(a, sin[k]), 0);
