/** The error a curve really has, on a grid much finer than the one that fitted it. */
import type { Curve } from '../curve.js';
import { Track } from '../track.js';
import { lowerBound } from './grid.js';
import type { FitSource } from './source.js';

/** Error over a range: largest size, where, and root mean square. */
export interface ErrorMeasure {
  /** Largest absolute error. */
  readonly max: number;
  /** Time in s at which it stands. */
  readonly at: number;
  /** Root mean square error. */
  readonly rms: number;
}

/** What a fit achieved. */
export interface FitError {
  /** Error in value, in the value's unit. */
  readonly value: ErrorMeasure;
  /** Error of the second derivative, in value units per s², where the source has one. */
  readonly load?: ErrorMeasure;
  /** Largest jump of the second derivative at a key, in value units per s², where the source has one. */
  readonly jump?: { readonly max: number; readonly at: number };
}

/** Relative distance from a key at which its two sides are looked at. */
const BESIDE = 1e-7;

/** The times to look at, an even grid inside each segment, its ends included; and the length that each stands for. */
function timesOf(
  track: Track,
  from: number,
  to: number,
  perSecond: number,
  knots: readonly number[],
): { times: Float64Array; lengths: Float64Array } {
  const ends = Float64Array.from(
    new Set([from, ...track.bounds, ...knots, to].filter((t) => t >= from && t <= to)),
  ).sort();
  const steps = (k: number): number => Math.max(4, Math.ceil((ends[k + 1] - ends[k]) * perSecond));
  let count = 0;
  for (let k = 0; k + 1 < ends.length; k++) count += steps(k) + 1;
  const times = new Float64Array(count);
  const lengths = new Float64Array(count);
  let j = 0;
  for (let k = 0; k + 1 < ends.length; k++) {
    const length = ends[k + 1] - ends[k];
    const last = steps(k);
    for (let i = 0; i <= last; i++) {
      lengths[j] = (i === 0 || i === last ? 0.5 : 1) * (length / last);
      times[j++] = ends[k] + Math.min(1 - BESIDE, Math.max(BESIDE, i / last)) * length;
    }
  }
  return { times, lengths };
}

/** Largest size, where, and root mean square of what two lists differ by. */
class Tally {
  max = 0;
  private sum = 0;
  private length = 0;

  constructor(public at: number) {}

  /** Takes in an error that stands for a length of time. */
  add(miss: number, t: number, length: number): void {
    this.sum += length * miss * miss;
    this.length += length;
    this.raise(miss, t);
  }

  /** Takes an error into the largest, not into the mean. */
  raise(miss: number, t: number): void {
    const size = Math.abs(miss);
    if (size > this.max) {
      this.max = size;
      this.at = t;
    }
  }

  get measure(): ErrorMeasure {
    return { max: this.max, at: this.at, rms: Math.sqrt(this.sum / this.length) };
  }
}

/** Measures on an even grid inside each segment, its ends included, and at samples; `perSecond` points per second. */
export function measureFit(
  curve: Curve,
  source: FitSource,
  from: number,
  to: number,
  perSecond: number,
): FitError {
  const track = new Track(curve);
  const { times, lengths } = timesOf(track, from, to, perSecond, source.knots ?? []);
  const theirs = new Float64Array(3);
  const value = new Tally(from);
  const missAt = (t: number): number => {
    const own = new Float64Array(1);
    track.writeValue(t, own, 0);
    source.jet(t, theirs);
    return own[0] - theirs[0];
  };
  if (!source.hasSecond) {
    const mine = new Float64Array(times.length);
    track.writeValues(times, mine, 0, 1);
    for (let i = 0; i < times.length; i++) {
      source.jet(times[i], theirs);
      value.add(mine[i] - theirs[0], times[i], lengths[i]);
    }
    measureSamples(track, source, from, to, value);
    return { value: value.measure };
  }
  const mine = new Float64Array(3);
  const load = new Tally(from);
  for (let i = 0; i < times.length; i++) {
    track.writeJet(times[i], mine, 0);
    source.jet(times[i], theirs);
    value.add(mine[0] - theirs[0], times[i], lengths[i]);
    load.add(mine[2] - theirs[2], times[i], lengths[i]);
  }
  climb(value, missAt, times);
  return { value: value.measure, load: load.measure, jump: jumpOf(curve, track) };
}

/** Steps with which the largest error is looked for between the points, each half as long as the last. */
const CLIMBS = 6;

/**
 * Moves a tally's largest error from its point of the grid to where it really stands, nearer than the next points. Not
 * for samples: they were all looked at, and what lies between them is our own path.
 */
function climb(tally: Tally, missAt: (t: number) => number, times: Float64Array): void {
  const i = lowerBound(times, tally.at);
  const low = times[Math.max(0, i - 1)];
  const high = times[Math.min(times.length - 1, i + 1)];
  let step = Math.max(high - tally.at, tally.at - low) / 2;
  for (let round = 0; round < CLIMBS; round++, step /= 2) {
    const middle = tally.at;
    for (const t of [middle - step, middle + step]) {
      if (t > low && t < high) tally.raise(missAt(t), t);
    }
  }
}

function measureSamples(
  track: Track,
  { samples, sampled }: FitSource,
  from: number,
  to: number,
  tally: Tally,
): void {
  if (!samples || !sampled) return;
  const mine = new Float64Array(samples.length);
  track.writeValues(samples, mine, 0, 1);
  for (let i = 0; i < samples.length; i++) {
    if (samples[i] >= from && samples[i] <= to) tally.raise(mine[i] - sampled[i], samples[i]);
  }
}

function jumpOf(curve: Curve, track: Track): { max: number; at: number } {
  const jet = new Float64Array(3);
  const { keys, period } = curve;
  let max = 0;
  let at = keys[0].time;
  keys.forEach((key, i) => {
    if (period === undefined && (i === 0 || i === keys.length - 1)) return;
    const previous = i > 0 ? keys[i - 1].time : keys[keys.length - 1].time - (period ?? 0);
    track.writeJet(key.time, jet, 0);
    const right = jet[2];
    let beside = key.time - BESIDE * (key.time - previous);
    if (beside < track.first) beside += period ?? 0;
    track.writeJet(beside, jet, 0);
    if (Math.abs(right - jet[2]) > max) {
      max = Math.abs(right - jet[2]);
      at = key.time;
    }
  });
  return { max, at };
}
