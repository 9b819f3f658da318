/** Samples as a source: a smooth path through them, without overshoot. */
import { errorOf, numberProblem, recordProblem, refuseAny, show } from '../../internal/check.js';
import type { FitSource } from './source.js';

/** Values at rising times, evenly spaced or not. */
export interface Samples {
  /** Times in s, strictly rising. */
  readonly times: ArrayLike<number>;
  /** One value per time. */
  readonly values: ArrayLike<number>;
}

const isList = (x: unknown): x is ArrayLike<number> => Array.isArray(x) || ArrayBuffer.isView(x);

function readList(list: unknown, field: string, where: string): Float64Array {
  if (!isList(list)) {
    throw errorOf(where, { field, rule: 'must be an array of numbers', got: show(list), kind: 'type' });
  }
  const copy = new Float64Array(list.length);
  for (let i = 0; i < list.length; i++) {
    if (!Number.isFinite(list[i])) refuseAny(where, [numberProblem(`${field}[${i}]`, list[i])]);
    copy[i] = list[i];
  }
  return copy;
}

/**
 * Slopes of a path through samples. Where the data are smooth — second differences of one sign that change
 * by less than a factor of four — those of the quartic through five samples; elsewhere the path rises and
 * falls only where the samples do.
 * Steffen 1990, Astron. Astrophys. 239:443, equation 11, with the parabola's slope at the ends.
 */
export function pathSlopes(times: Float64Array, values: Float64Array): Float64Array {
  const n = times.length;
  const slopes = new Float64Array(n);
  if (n < 2) return slopes;
  const chord = (i: number): number => (values[i + 1] - values[i]) / (times[i + 1] - times[i]);
  if (n === 2) return slopes.fill(chord(0));
  const bend = (i: number): number => (chord(i) - chord(i - 1)) / (times[i + 1] - times[i - 1]);
  for (let i = 1; i + 1 < n; i++) {
    const s0 = chord(i - 1);
    const s1 = chord(i);
    const h0 = times[i] - times[i - 1];
    const h1 = times[i + 1] - times[i];
    const parabola = (s0 * h1 + s1 * h0) / (h0 + h1);
    if (i > 1 && i + 2 < n && smooth(bend(i - 1), bend(i), bend(i + 1))) {
      slopes[i] = quarticSlope(times, values, i);
    } else if (s0 * s1 > 0) {
      const limit = 2 * Math.min(Math.abs(s0), Math.abs(s1));
      slopes[i] = Math.sign(s0) * Math.min(limit, Math.abs(parabola));
    }
  }
  const end = (s0: number, s1: number, ratio: number): number => {
    const p = s0 * (1 + ratio) - s1 * ratio;
    return p * s0 <= 0 ? 0 : Math.sign(s0) * Math.min(Math.abs(p), 2 * Math.abs(s0));
  };
  const h = (i: number): number => times[i + 1] - times[i];
  slopes[0] = end(chord(0), chord(1), h(0) / (h(0) + h(1)));
  slopes[n - 1] = end(chord(n - 2), chord(n - 3), h(n - 2) / (h(n - 2) + h(n - 3)));
  return slopes;
}

function smooth(a: number, b: number, c: number): boolean {
  const least = Math.min(Math.abs(a), Math.abs(b), Math.abs(c));
  const most = Math.max(Math.abs(a), Math.abs(b), Math.abs(c));
  return most <= 4 * least && a * b > 0 && b * c > 0;
}

/** Slope at sample `i` of the quartic through it and two neighbours on each side (Lagrange). */
function quarticSlope(times: Float64Array, values: Float64Array, i: number): number {
  let slope = 0;
  const t = times[i];
  for (let j = i - 2; j <= i + 2; j++) {
    if (j === i) continue;
    let weight = 1 / (times[j] - t);
    for (let k = i - 2; k <= i + 2; k++) {
      if (k !== j && k !== i) weight *= (t - times[k]) / (times[j] - times[k]);
    }
    slope += weight * (values[j] - values[i]);
  }
  return slope;
}

/** Standard deviation of the samples' noise as their third differences show it, for even spacing. */
function noiseOf(values: Float64Array): number {
  let sum = 0;
  const n = values.length - 3;
  for (let i = 0; i < n; i++) {
    const d = values[i + 3] - 3 * values[i + 2] + 3 * values[i + 1] - values[i];
    sum += d * d;
  }
  // Binomial weights 1, 3, 3, 1: the variance of a third difference is 20 times that of a sample.
  return n > 0 ? Math.sqrt(sum / n / 20) : 0;
}

/** Noise above this share of the range makes exact slopes useless. */
const NOISY = 1e-5;

/** Reads samples, or refuses them by index. */
export function readSamples(samples: Samples, where: string): FitSource {
  refuseAny(where, [recordProblem('source', samples, ['times', 'values'])]);
  const times = readList(samples.times, 'source.times', where);
  const values = readList(samples.values, 'source.values', where);
  const n = times.length;
  const refuse = (field: string, rule: string, got: number): never => {
    throw errorOf(where, { field, rule, got: String(got), kind: 'range' });
  };
  if (n === 0) refuse('source.times', 'must have at least 1 entry', 0);
  if (values.length !== n) refuse('source.values', `must have ${n} entries, as times has`, values.length);
  for (let i = 1; i < n; i++) {
    if (!(times[i] > times[i - 1])) {
      refuse(`source.times[${i}]`, `must be > ${times[i - 1]} s, the one before it`, times[i]);
    }
  }
  const slopes = pathSlopes(times, values);
  const range =
    values.reduce((a, v) => Math.max(a, v), values[0]) - values.reduce((a, v) => Math.min(a, v), values[0]);
  const noisy = noiseOf(values) > NOISY * range;
  let near = 0;
  const jet = (t: number, out: Float64Array): void => {
    if (n === 1 || t <= times[0] || t >= times[n - 1]) {
      const i = t <= times[0] ? 0 : n - 1;
      out[0] = values[i];
      out[1] = slopes[i];
      out[2] = 0;
      return;
    }
    if (!(t >= times[near] && t < times[near + 1])) near = segmentOf(times, t);
    const h = times[near + 1] - times[near];
    const s = (t - times[near]) / h;
    const v = values[near];
    const rise = values[near + 1] - v;
    const m0 = slopes[near] * h;
    const m1 = slopes[near + 1] * h;
    const a = m0 + m1 - 2 * rise;
    const b = 3 * rise - 2 * m0 - m1;
    out[0] = ((a * s + b) * s + m0) * s + v;
    out[1] = ((3 * a * s + 2 * b) * s + m0) / h;
    out[2] = (6 * a * s + 2 * b) / (h * h);
  };
  return {
    jet,
    hasSecond: false,
    noisy,
    start: times[0],
    end: times[n - 1],
    parts: 1,
    corners: [],
    samples: times,
  };
}

function segmentOf(times: Float64Array, t: number): number {
  let low = 0;
  let high = times.length - 2;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (times[middle] <= t) low = middle;
    else high = middle - 1;
  }
  return low;
}
