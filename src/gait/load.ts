import type { Series } from '../curves/series.js';

/**
 * Fraction of a stiff-legged walk's bob that a real walk keeps; sets the first harmonic of the load as
 * κ (π²/4) Fr.
 */
export const BOB_KEPT = 0.45;

/** Cosine and sine terms of the total load's step harmonics about the middle of double support. */
export interface LoadTerms {
  readonly cos: readonly number[];
  readonly sin: readonly number[];
}

/** Step harmonics of the total load, in BW, for a dimensionless speed. */
export function loadTermsFor(dimensionlessSpeed: number): LoadTerms {
  const fr = dimensionlessSpeed ** 2;
  const first = BOB_KEPT * (Math.PI ** 2 / 4) * fr;
  return { cos: [first, -0.35 * fr, 0.02 * fr], sin: [0.05 * fr, 0.1 * fr, 0.01 * fr] };
}

/**
 * The total load of both feet in BW as a series over the stride: mean exactly 1, step harmonics set about
 * `middle`, the phase of the middle of double support.
 */
export function loadSeries(terms: LoadTerms, middle: number, strideTime: number): Series {
  const harmonics = 2 * terms.cos.length;
  const cos = new Array<number>(harmonics).fill(0);
  const sin = new Array<number>(harmonics).fill(0);
  for (let k = 1; k <= terms.cos.length; k++) {
    const angle = 4 * Math.PI * k * middle;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const a = terms.cos[k - 1];
    const b = terms.sin[k - 1];
    cos[2 * k - 1] = a * c - b * s;
    sin[2 * k - 1] = a * s + b * c;
  }
  return { period: strideTime, mean: 1, drift: 0, cos, sin };
}
