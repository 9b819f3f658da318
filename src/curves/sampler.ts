import { requireArray } from '../internal/check.js';
import { requireCurve } from './check-curve.js';
import type { Curve } from './curve.js';
import { type NumberSink, Track } from './track.js';

/** Curves prepared for a hot loop. Its methods check only that the time is finite, and allocate nothing. */
export interface Sampler {
  /** Number of curves. */
  readonly count: number;
  /** Writes each curve's value at time `t` (s) into `out[to…]`, one number per curve. */
  sample(t: number, out: NumberSink, to?: number): void;
  /** Writes value, first and second derivative at time `t` (s) into `out[to…]`, three numbers per curve. */
  sampleJets(t: number, out: NumberSink, to?: number): void;
  /**
   * Writes the values at times `times[0…]` (s) into `out`, all curves of the first time, then the next; the
   * fastest way to play many frames in order.
   */
  sampleMany(times: ArrayLike<number>, out: NumberSink): void;
}

class PreparedSampler implements Sampler {
  readonly count: number;
  private readonly tracks: Track[];
  private readonly only: Track;

  constructor(tracks: Track[]) {
    this.tracks = tracks;
    this.count = tracks.length;
    this.only = tracks[0];
  }

  sample(t: number, out: NumberSink, to = 0): void {
    this.only.writeValue(t, out, to);
    if (this.count === 1) return;
    for (let i = 1; i < this.count; i++) this.tracks[i].writeValue(t, out, to + i);
  }

  sampleJets(t: number, out: NumberSink, to = 0): void {
    for (let i = 0; i < this.count; i++) this.tracks[i].writeJet(t, out, to + 3 * i);
  }

  sampleMany(times: ArrayLike<number>, out: NumberSink): void {
    for (let i = 0; i < this.count; i++) this.tracks[i].writeValues(times, out, i, this.count);
  }
}

/**
 * A prepared sampler of one curve or many, for hot loops: values in the curves' own units.
 *
 * Each curve is checked and turned into a row of numbers once; the segment asked for last is remembered,
 * so that playing in order needs no search. Same numbers as `evaluate`, whatever the order of the calls.
 *
 * @param curves - one curve, or an array of at least one
 * @returns a sampler that writes into the caller's arrays
 * @throws RangeError or TypeError where a curve is not one; the sampler throws a RangeError where a time
 * is not finite
 * @example
 * import { createSampler } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 0.5, value: 0.04, in: flat, out: flat },
 * ];
 * const sampler = createSampler({ keys, start: 0, before: 'holds', after: 'holds' });
 * const out = new Float64Array(1);
 * sampler.sample(0.25, out);
 * console.log(out[0].toFixed(3)); // → 0.020
 */
export function createSampler(curves: Curve | readonly Curve[]): Sampler {
  if (!Array.isArray(curves)) return new PreparedSampler([new Track(requireCurve('createSampler', curves))]);
  const list = requireArray('createSampler', 'curves', curves, 1);
  return new PreparedSampler(
    list.map((curve, i) => new Track(requireCurve('createSampler', curve, `curves[${i}]`))),
  );
}
