import { requireChoice, requireRecord } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve } from '../curve.js';
import { measureChange } from '../edit/measure-change.js';
import type { ErrorMeasure } from '../fit/measure.js';
import { type FrameRate, frameOf, requireFrameRate } from './frame-rate.js';
import { type Snapped, snapKeys } from './snap-keys.js';

/** How keys that fall between the frames of the new rate are treated. */
export interface FrameRateOptions {
  /** Rate of the result, in frames per second or as their exact ratio; 23.976 and the like mean the exact ratio. */
  readonly to: FrameRate | number;
  /** `exact` (the default) keeps them between frames; `snapped` moves them to the nearest one. */
  readonly keys?: 'exact' | 'snapped';
}

/** A curve on another frame rate. */
export interface FrameRateResult {
  readonly curve: Curve;
  /** Frame number of each key at the new rate; fractions under the `exact` policy. */
  readonly frames: readonly number[];
  /** Change in value from the first key to the last or over one cycle, measured; 0 under the `exact` policy. */
  readonly error: ErrorMeasure;
  /** How many keys had to give way because another one had the frame already; that one got what follows them. */
  readonly dropped: number;
}

/** Points per second and per frame at which the change is measured, at least. */
const PER_SECOND = 200;
const PER_FRAME = 10;

/**
 * The curve for a host at another frame rate: same motion in seconds, keys numbered in the new frames. Keys are kept
 * in seconds, so the rate that they come from is not asked for.
 *
 * Under the `exact` policy nothing moves, and keys may fall between frames. Under `snapped` each key goes to
 * the nearest frame and its spans keep their share of their segments; keys take value and slope from the curve at
 * their new time where that moves the curve less than keeping them, but for keys beside a hold or a jump,
 * which keep their values. Locked keys stay between frames, and so does a key beside one where the locked
 * handle would not fit otherwise, or one whose cycle has no frame. A loop whose period is not whole in the new rate
 * keeps its period. The change is measured, not estimated.
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
  const rate = requireFrameRate('convertFrameRate', 'to', options.to);
  const framesOf = (c: Curve): number[] =>
    c.keys.map((key, i) => frameOf('convertFrameRate', `keys[${i}].time`, key.time, rate));
  if (policy === 'exact') {
    return { curve, frames: framesOf(curve), error: { max: 0, at: curve.start, rms: 0 }, dropped: 0 };
  }
  const density = Math.max(PER_SECOND, (PER_FRAME * rate.frames) / rate.seconds);
  const tried = [true, false].map((resample) => {
    const snapped = snapKeys(curve, rate, resample);
    return { snapped, error: changeOf(curve, snapped, density) };
  });
  const { snapped, error } = tried[0].error.max <= tried[1].error.max ? tried[0] : tried[1];
  return {
    curve: snapped.curve,
    frames: framesOf(snapped.curve),
    error,
    dropped: curve.keys.length - snapped.curve.keys.length,
  };
}

/** The change over one cycle, or from the first key of either curve to the last. */
function changeOf(curve: Curve, { curve: snapped }: Snapped, density: number): ErrorMeasure {
  const { period, start } = curve;
  if (period !== undefined) return measureChange(curve, snapped, start, start + period, density);
  const ends = [curve, snapped].flatMap(({ keys }) => [keys[0].time, keys[keys.length - 1].time]);
  return measureChange(curve, snapped, Math.min(...ends), Math.max(...ends), density);
}
