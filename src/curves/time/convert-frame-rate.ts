import { requireChoice, requireRecord } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve } from '../curve.js';
import { type ErrorMeasure, measureFit } from '../fit/measure.js';
import { sourceOf } from '../fit/source.js';
import { Track } from '../track.js';
import { exactFrameRate, type FrameRate, frameAtTime, timeOfFrame } from './frame-rate.js';
import { retimeCurve } from './move.js';

/** How keys that fall between the frames of the new rate are treated. */
export interface FrameRateOptions {
  /** Rate of the result. */
  readonly to: FrameRate | number;
  /** `exact` (the default) keeps them between frames; `snapped` moves them to the nearest one. */
  readonly keys?: 'exact' | 'snapped';
}

/** A curve on another frame rate. */
export interface FrameRateResult {
  readonly curve: Curve;
  /** Frame number of each key at the new rate; fractions under the `exact` policy. */
  readonly frames: readonly number[];
  /** Change in value, measured at 200 points a second or more; 0 under the `exact` policy. */
  readonly error: ErrorMeasure;
  /** How many keys had to give way because another one had the frame already. */
  readonly dropped: number;
}

/** Points per second and per frame at which the change is measured. */
const PER_SECOND = 200;
const PER_FRAME = 10;

/**
 * The curve for a host at another frame rate: same motion in seconds, keys numbered in the new frames.
 *
 * Under the `exact` policy nothing moves, and keys may fall between frames. Under `snapped` each key goes to
 * the nearest frame and takes value and slope from the curve there; spans keep their share. A loop whose period is
 * not whole in the new rate keeps its period. The change is measured, not estimated.
 *
 * @returns curve, frame numbers, measured change in value
 * @throws RangeError or TypeError where curve or rate are not usable
 * @example
 * import { convertFrameRate } from 'underfoot/curves';
 * const flat = { span: 0.01, slope: 0 };
 * const keys = [0, 3].map((frame) => ({ time: frame / 24, value: frame, in: flat, out: flat }));
 * const { frames } = convertFrameRate({ keys, start: 0, before: 'holds', after: 'holds' }, { to: 30 });
 * console.log(frames); // → [ 0, 3.75 ]
 */
export function convertFrameRate(curve: Curve, options: FrameRateOptions): FrameRateResult {
  requireCurve('convertFrameRate', curve);
  requireRecord('convertFrameRate', 'options', options, ['to', 'keys']);
  const policy = requireChoice('convertFrameRate', 'keys', options.keys ?? 'exact', ['exact', 'snapped']);
  const rate = typeof options.to === 'number' ? exactFrameRate(options.to) : options.to;
  const framesOf = (c: Curve): number[] => c.keys.map((key) => frameAtTime(key.time, rate));
  if (policy === 'exact') {
    return { curve, frames: framesOf(curve), error: { max: 0, at: curve.start, rms: 0 }, dropped: 0 };
  }
  const track = new Track(curve);
  const { period, start } = curve;
  const jet = new Float64Array(3);
  const kept: Curve['keys'][number][] = [];
  const times: number[] = [];
  for (const key of curve.keys) {
    let t = timeOfFrame(Math.round(frameAtTime(key.time, rate)), rate);
    if (key.locked) t = key.time;
    if (period !== undefined && t >= start + period)
      t = timeOfFrame(Math.floor(frameAtTime(start + period, rate) - 1e-9), rate);
    if (period !== undefined && t < start) t = timeOfFrame(Math.ceil(frameAtTime(start, rate)), rate);
    if (times.length > 0 && t <= times[times.length - 1]) continue;
    times.push(t);
    kept.push(key);
  }
  const begin = period === undefined ? Math.min(start, times[0]) : start;
  const fewer = clampTo({ ...curve, keys: kept, start: Math.min(start, kept[0].time) });
  const retimed = retimeCurve(fewer, times);
  const keys = retimed.keys.map((key, i) => {
    if (kept[i].locked || key.time === kept[i].time || key.arrives !== undefined) return key;
    if (key.time < track.first || key.time > track.last) return key;
    track.writeJet(key.time, jet, 0);
    const smooth = kept[i].in.slope === kept[i].out.slope;
    const value = jet[0];
    return smooth
      ? { ...key, value, in: { ...key.in, slope: jet[1] }, out: { ...key.out, slope: jet[1] } }
      : { ...key, value };
  });
  const snapped = { ...retimed, keys, start: begin };
  const end = period === undefined ? Math.max(track.last, times[times.length - 1]) : start + period;
  const density = Math.max(PER_SECOND, (PER_FRAME * rate.frames) / rate.seconds);
  const source = sourceOf(curve);
  const from = period === undefined ? Math.min(track.first, times[0]) : start;
  const { value } = measureFit(snapped, source, from, end > from ? end : from + 1 / density, density);
  return {
    curve: snapped,
    frames: framesOf(snapped),
    error: value,
    dropped: curve.keys.length - kept.length,
  };
}

/** Spans cut to the segments that are left when keys go. */
function clampTo(curve: Curve): Curve {
  const { keys, period } = curve;
  const n = keys.length;
  const after = (i: number): number => {
    if (i + 1 < n) return keys[i + 1].time - keys[i].time;
    return period === undefined ? keys[i].out.span : keys[0].time + period - keys[i].time;
  };
  return {
    ...curve,
    keys: keys.map((key, i) => {
      const before = i > 0 ? after(i - 1) : period === undefined ? key.in.span : after(n - 1);
      return {
        ...key,
        in: { ...key.in, span: Math.min(key.in.span, before) },
        out: { ...key.out, span: Math.min(key.out.span, after(i)) },
      };
    }),
  };
}
