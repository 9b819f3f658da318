import { requireArray } from '../internal/check.js';
import { requireCurve } from './check-curve.js';
import type { Curve } from './curve.js';
import { type NumberSink, Track } from './track.js';

/** Curves prepared for a hot loop. Its methods check only that the time is a number up to 1e60, and allocate nothing of their own. */
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

// One curve has a class of its own, and of two kinds: each `sample` holds the few steps that nearly every call needs and
// nothing else, so that engines put it into the caller's loop, and learn nothing there from curves of the other kind.

abstract class CurveSampler implements Sampler {
  readonly count = 1;
  protected readonly track: Track;

  constructor(track: Track) {
    this.track = track;
  }

  abstract sample(t: number, out: NumberSink, to?: number): void;

  abstract sampleMany(times: ArrayLike<number>, out: NumberSink): void;

  sampleJets(t: number, out: NumberSink, to = 0): void {
    this.track.time = t;
    this.track.writeJetAt(out, to);
  }
}

/** One curve of which no segment needs solving. */
class EvenSampler extends CurveSampler {
  sample(t: number, out: NumberSink, to = 0): void {
    const { track } = this;
    const { now } = track;
    const u = t - now.origin;
    if (u >= 0 && u < now.evenEnd) {
      out[to] = now.v0 + now.v1 * u + u * u * (now.v2 + now.v3 * u);
      return;
    }
    track.time = t;
    track.writeAt(out, to);
  }

  sampleMany(times: ArrayLike<number>, out: NumberSink): void {
    const { track } = this;
    let j = 0;
    while (j < times.length) {
      // One segment's numbers at a time.
      const { origin, evenEnd, v0, v1, v2, v3 } = track.now;
      for (; j < times.length; j++) {
        const u = times[j] - origin;
        if (!(u >= 0 && u < evenEnd)) break;
        out[j] = v0 + v1 * u + u * u * (v2 + v3 * u);
      }
      if (j < times.length) this.sample(times[j], out, j++);
    }
  }
}

/** One curve with segments that need solving, and perhaps others. */
class CurvedSampler extends CurveSampler {
  sample(t: number, out: NumberSink, to = 0): void {
    const { track } = this;
    const { now } = track;
    const u = t - now.origin;
    if (u > now.low && u < now.curvedEnd) {
      // `lookUp`, step by step, for a part that is filled and settles it.
      const { table } = track;
      const x = u * now.rate;
      const part = x | 0;
      const w = x - part;
      const k = now.base + 6 * part;
      const c1 = table[k + 1];
      const c2 = table[k + 2];
      const c3 = table[k + 3];
      const c5 = table[k + 5];
      const d = table[k + 4] + c5 * w;
      const guess = table[k] + c1 * w + w * w * (c2 + c3 * w + w * w * d);
      const gain = c1 + w * (2 * c2 + w * (3 * c3 + w * (4 * d + c5 * w)));
      const s = guess - (now.t1 * guess - x + guess * guess * (now.t2 + now.t3 * guess)) * gain;
      if (s > 0 && s < 1) {
        out[to] = now.v0 + now.v1 * s + s * s * (now.v2 + now.v3 * s);
        return;
      }
    }
    track.time = t;
    track.writeAt(out, to);
  }

  sampleMany(times: ArrayLike<number>, out: NumberSink): void {
    for (let j = 0; j < times.length; j++) this.sample(times[j], out, j);
  }
}

function samplerOf(track: Track): Sampler {
  return track.table.length === 0 ? new EvenSampler(track) : new CurvedSampler(track);
}

class CurvesSampler implements Sampler {
  readonly count: number;
  private readonly tracks: readonly Track[];

  constructor(tracks: readonly Track[]) {
    this.tracks = tracks;
    this.count = tracks.length;
  }

  sample(t: number, out: NumberSink, to = 0): void {
    const { tracks, count } = this;
    for (let i = 0; i < count; i++) {
      const track = tracks[i];
      track.time = t;
      track.writeAt(out, to + i);
    }
  }

  sampleJets(t: number, out: NumberSink, to = 0): void {
    const { tracks, count } = this;
    for (let i = 0; i < count; i++) {
      const track = tracks[i];
      track.time = t;
      track.writeJetAt(out, to + 3 * i);
    }
  }

  sampleMany(times: ArrayLike<number>, out: NumberSink): void {
    const { tracks, count } = this;
    for (let i = 0; i < count; i++) {
      const track = tracks[i];
      for (let j = 0; j < times.length; j++) {
        track.time = times[j];
        track.writeAt(out, i + j * count);
      }
    }
  }
}

/**
 * A prepared sampler of one curve or many, for hot loops: values in the curves' own units.
 *
 * Each curve is checked and prepared once; the segment asked for last is remembered,
 * so that playing in order needs no search. Same numbers as `evaluate`, whatever the order of the calls.
 *
 * @param curves - one curve, or an array of at least one
 * @returns a sampler that writes into the caller's arrays
 * @throws RangeError or TypeError where a curve is not one; the sampler throws a RangeError where a time
 * is not a number up to 1e60 either way
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
  if (!Array.isArray(curves)) return samplerOf(new Track(requireCurve('createSampler', curves)));
  const list = requireArray('createSampler', 'curves', curves, 1);
  const tracks = list.map((curve, i) => new Track(requireCurve('createSampler', curve, `curves[${i}]`)));
  return tracks.length === 1 ? samplerOf(tracks[0]) : new CurvesSampler(tracks);
}
