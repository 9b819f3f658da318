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

/** Measures on an even grid inside each segment, its ends included; `perSecond` points per second. */
export function measureFit(
  curve: Curve,
  source: FitSource,
  from: number,
  to: number,
  perSecond: number,
): FitError {
  const track = new Track(curve);
  const mine = new Float64Array(3);
  const theirs = new Float64Array(3);
  let max = 0;
  let at = from;
  let sum = 0;
  let count = 0;
  let loadMax = 0;
  let loadAt = from;
  let loadSum = 0;
  const look = (t: number): void => {
    if (source.hasSecond) track.writeJet(t, mine, 0);
    else track.writeValue(t, mine, 0);
    source.jet(t, theirs);
    const miss = Math.abs(mine[0] - theirs[0]);
    sum += miss * miss;
    count++;
    if (miss > max) {
      max = miss;
      at = t;
    }
    if (!source.hasSecond) return;
    const off = Math.abs(mine[2] - theirs[2]);
    loadSum += off * off;
    if (off > loadMax) {
      loadMax = off;
      loadAt = t;
    }
  };
  const bounds = [...track.bounds].filter((t) => t > from && t < to);
  const ends = [from, ...bounds, to];
  for (let k = 0; k + 1 < ends.length; k++) {
    const length = ends[k + 1] - ends[k];
    const steps = Math.max(4, Math.ceil(length * perSecond));
    for (let i = 0; i <= steps; i++) {
      const x = Math.min(1 - BESIDE, Math.max(BESIDE, i / steps));
      look(ends[k] + x * length);
    }
  }
  if (source.samples) for (const t of source.samples) if (t >= from && t <= to) look(t);
  if (count === 0) look(from);
  const value = { max, at, rms: Math.sqrt(sum / count) };
  if (!source.hasSecond) return { value };
  return {
    value,
    load: { max: loadMax, at: loadAt, rms: Math.sqrt(loadSum / count) },
    jump: jumpOf(curve, track),
  };
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
