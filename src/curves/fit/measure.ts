/** The error a curve really has, on a grid much finer than the one that fitted it. */
import type { Curve } from '../curve.js';
import { Track } from '../track.js';
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

/** The times to look at: an even grid inside each segment, its ends included. */
function timesOf(track: Track, from: number, to: number, perSecond: number): Float64Array {
  const ends = [from];
  for (const t of track.bounds) if (t > from && t < to) ends.push(t);
  ends.push(to);
  const steps = (k: number): number => Math.max(4, Math.ceil((ends[k + 1] - ends[k]) * perSecond));
  let count = 0;
  for (let k = 0; k + 1 < ends.length; k++) count += steps(k) + 1;
  const times = new Float64Array(count);
  let j = 0;
  for (let k = 0; k + 1 < ends.length; k++) {
    const length = ends[k + 1] - ends[k];
    const last = steps(k);
    for (let i = 0; i <= last; i++) {
      times[j++] = ends[k] + Math.min(1 - BESIDE, Math.max(BESIDE, i / last)) * length;
    }
  }
  return times;
}

/** Largest size, where, and root mean square of what two lists differ by. */
class Tally {
  max = 0;
  sum = 0;
  count = 0;

  constructor(public at: number) {}

  add(miss: number, t: number): void {
    const size = Math.abs(miss);
    this.sum += miss * miss;
    this.count++;
    if (size > this.max) {
      this.max = size;
      this.at = t;
    }
  }

  get measure(): ErrorMeasure {
    return { max: this.max, at: this.at, rms: Math.sqrt(this.sum / Math.max(1, this.count)) };
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
  const times = timesOf(track, from, to, perSecond);
  const theirs = new Float64Array(3);
  const value = new Tally(from);
  if (!source.hasSecond) {
    const mine = new Float64Array(times.length);
    track.writeValues(times, mine, 0, 1);
    for (let i = 0; i < times.length; i++) {
      source.jet(times[i], theirs);
      value.add(mine[i] - theirs[0], times[i]);
    }
    measureSamples(track, source, from, to, value);
    return { value: value.measure };
  }
  const mine = new Float64Array(3);
  const load = new Tally(from);
  for (let i = 0; i < times.length; i++) {
    track.writeJet(times[i], mine, 0);
    source.jet(times[i], theirs);
    value.add(mine[0] - theirs[0], times[i]);
    load.add(mine[2] - theirs[2], times[i]);
  }
  return { value: value.measure, load: load.measure, jump: jumpOf(curve, track) };
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
    if (samples[i] >= from && samples[i] <= to) tally.add(mine[i] - sampled[i], samples[i]);
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
