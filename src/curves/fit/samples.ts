/** Samples as a source: a smooth path through them, without overshoot. */
import { errorOf, numberProblem, recordProblem, refuseAny, show } from '../../internal/check.js';
import { REACH } from '../check-curve.js';
import type { FitSource } from './source.js';

/** Values at rising times, evenly spaced or not. Before the first and after the last one the value stays. */
export interface Samples {
  /** Times in s, strictly rising. */
  readonly times: ArrayLike<number>;
  /** One value per time. */
  readonly values: ArrayLike<number>;
  /** Whether the last sample is the first one again, as baked samples say; a cycle closes by its period either way. */
  readonly lastRepeatsFirst?: boolean;
}

const isList = (x: unknown): x is ArrayLike<number> => Array.isArray(x) || ArrayBuffer.isView(x);

function readList(list: unknown, field: string, where: string): Float64Array {
  if (!isList(list)) {
    throw errorOf(where, { field, rule: 'must be an array of numbers', got: show(list), kind: 'type' });
  }
  const copy = new Float64Array(list.length);
  for (let i = 0; i < list.length; i++) {
    if (!(Math.abs(list[i]) <= REACH)) {
      const name = `${field}[${i}]`;
      refuseAny(where, [
        numberProblem(name, list[i]),
        numberProblem(name, list[i], { min: -REACH, max: REACH }),
      ]);
    }
    copy[i] = list[i];
  }
  return copy;
}

/** Divided differences of the next order: `over` intervals apart, and without the last `over` entries. */
function divided(times: Float64Array, list: Float64Array, over: number): Float64Array {
  const result = new Float64Array(Math.max(0, list.length - 1));
  for (let i = 0; i < result.length; i++) result[i] = (list[i + 1] - list[i]) / (times[i + over] - times[i]);
  return result;
}

/**
 * Slopes of a path through samples. Where the data are smooth — second differences of one sign that change
 * by less than a factor of four — those of the quartic through five samples; elsewhere the path rises and
 * falls only where the samples do.
 * Steffen 1990, Astron. Astrophys. 239:443, equation 11, with the parabola's slope at the ends. The quartic
 * in Newton's form, every divided difference worked out once.
 */
export function pathSlopes(times: Float64Array, values: Float64Array): Float64Array {
  const n = times.length;
  const slopes = new Float64Array(n);
  if (n < 2) return slopes;
  const chord = divided(times, values, 1);
  if (n === 2) return slopes.fill(chord[0]);
  const bend = divided(times, chord, 2);
  const third = divided(times, bend, 3);
  const fourth = divided(times, third, 4);
  for (let i = 1; i + 1 < n; i++) {
    const s0 = chord[i - 1];
    const s1 = chord[i];
    const h0 = times[i] - times[i - 1];
    const h1 = times[i + 1] - times[i];
    if (i > 1 && i + 2 < n && smooth(bend[i - 2], bend[i - 1], bend[i])) {
      // Newton's form through the samples i, i + 1, i − 1, i + 2, i − 2.
      const h2 = times[i + 2] - times[i];
      slopes[i] = s1 - h1 * (bend[i - 1] + h0 * (third[i - 1] - h2 * fourth[i - 2]));
    } else if (s0 * s1 > 0) {
      const parabola = (s0 * h1 + s1 * h0) / (h0 + h1);
      const limit = 2 * Math.min(Math.abs(s0), Math.abs(s1));
      slopes[i] = Math.sign(s0) * Math.min(limit, Math.abs(parabola));
    }
  }
  slopes[0] = endSlope(chord[0], chord[1], times[1] - times[0], times[2] - times[1]);
  slopes[n - 1] = endSlope(
    chord[n - 2],
    chord[n - 3],
    times[n - 1] - times[n - 2],
    times[n - 2] - times[n - 3],
  );
  return slopes;
}

function endSlope(s0: number, s1: number, h0: number, h1: number): number {
  const ratio = h0 / (h0 + h1);
  const p = s0 * (1 + ratio) - s1 * ratio;
  return p * s0 <= 0 ? 0 : Math.sign(s0) * Math.min(Math.abs(p), 2 * Math.abs(s0));
}

function smooth(a: number, b: number, c: number): boolean {
  if (!(a * b > 0 && b * c > 0)) return false;
  const [x, y, z] = [Math.abs(a), Math.abs(b), Math.abs(c)];
  return Math.max(x, y, z) <= 4 * Math.min(x, y, z);
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

/** Distance between the least and the greatest of some values. */
export function rangeOf(values: Float64Array): number {
  let low = values[0];
  let high = values[0];
  for (let i = 1; i < values.length; i++) {
    if (values[i] < low) low = values[i];
    else if (values[i] > high) high = values[i];
  }
  return high - low;
}

/** Noise above this share of the range makes exact slopes useless. */
const NOISY = 1e-5;

/** Reads samples, or refuses them by index. */
export function readSamples(samples: Samples, where: string): FitSource {
  refuseAny(where, [recordProblem('source', samples, ['times', 'values', 'lastRepeatsFirst'])]);
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
  return sourceOfPath(times, values, pathSlopes(times, values));
}

/** Lists one after the other; however long, nothing is passed as arguments. */
export function joined(...lists: readonly ArrayLike<number>[]): Float64Array {
  const all = new Float64Array(lists.reduce((sum, list) => sum + list.length, 0));
  let at = 0;
  for (const list of lists) {
    all.set(list, at);
    at += list.length;
  }
  return all;
}

/** Share of the range by which samples may end early or late and still fill it, or close their cycle. */
const CLOSES = 1e-9;

/** Samples on either side of a seam that slopes are taken from. */
const OVER_SEAM = 3;

/**
 * A cycle of samples as one: the seam gets the slope that the samples on both sides of it give, and where the last
 * sample stands before the end, the first one follows it a period later. Anything but whole cycles stays as it is.
 */
export function closeCycle(source: FitSource, start: number, period: number, gain: number): FitSource {
  const { samples, sampled } = source;
  if (!samples || !sampled || samples.length < 2 || samples[0] !== start) return source;
  const left = (start + period - samples[samples.length - 1]) / period;
  if (left < -CLOSES) return source;
  const ends = left <= CLOSES;
  if (ends && samples.length < 3) return source;
  const last = samples.length - 1;
  // A cycle that does not close has a step at its seam, and no slope there.
  if (ends && Math.abs(sampled[last] - sampled[0] - gain) > NOISY * rangeOf(sampled)) return source;
  const times = ends ? samples : joined(samples, [start + period]);
  const values = ends ? sampled : joined(sampled, [sampled[0] + gain]);
  const turn = times.length - 1;
  const over = Math.min(OVER_SEAM, turn - 1);
  const around = (list: Float64Array, by: number): Float64Array =>
    joined(
      list.subarray(turn - over, turn).map((x) => x - by),
      list,
      list.subarray(1, over + 1).map((x) => x + by),
    );
  const slopes = pathSlopes(around(times, period), around(values, gain)).slice(over, over + turn + 1);
  slopes[turn] = slopes[0];
  return sourceOfPath(times, values, slopes);
}

/** Samples of a range that goes on past them: the value stays, as if it had been sampled there. */
export function holdEnds(source: FitSource, start: number, end: number): FitSource {
  const { samples, sampled, noisy } = source;
  if (!samples || !sampled) return source;
  const last = samples.length - 1;
  const least = CLOSES * (end - start);
  const early = samples[0] - start > least;
  const late = end - samples[last] > least;
  if (!early && !late) return source;
  const around = (before: number, list: Float64Array, after: number): Float64Array =>
    joined(early ? [before] : [], list, late ? [after] : []);
  const times = around(start, samples, end);
  const values = around(sampled[0], sampled, sampled[last]);
  return { ...sourceOfPath(times, values, pathSlopes(times, values)), noisy };
}

function sourceOfPath(times: Float64Array, values: Float64Array, slopes: Float64Array): FitSource {
  const n = times.length;
  const noisy = noiseOf(values) > NOISY * rangeOf(values);
  const path = new SamplePath(times, values, slopes);
  return {
    jet: (t, out) => path.jet(t, out),
    hasSecond: false,
    noisy,
    start: times[0],
    end: times[n - 1],
    parts: 1,
    corners: [],
    samples: times,
    sampled: values,
  };
}

/** Cubics between the samples, with a memory of where it was asked last. */
class SamplePath {
  private near = 0;

  constructor(
    private readonly times: Float64Array,
    private readonly values: Float64Array,
    private readonly slopes: Float64Array,
  ) {}

  jet(t: number, out: Float64Array): void {
    const { times, values, slopes } = this;
    const last = times.length - 1;
    if (last === 0 || t <= times[0] || t >= times[last]) {
      const i = t <= times[0] ? 0 : last;
      out[0] = values[i];
      out[1] = slopes[i];
      out[2] = 0;
      return;
    }
    this.find(t);
    const { near } = this;
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
  }

  private find(t: number): void {
    const { times } = this;
    let i = this.near;
    if (t >= times[i]) {
      // Most questions come in order, and near to the one before.
      for (let ahead = 0; ahead < 8 && i + 2 < times.length && t >= times[i + 1]; ahead++) i++;
      if (t < times[i + 1]) {
        this.near = i;
        return;
      }
    }
    let low = 0;
    let high = times.length - 2;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (times[middle] <= t) low = middle;
      else high = middle - 1;
    }
    this.near = low;
  }
}
