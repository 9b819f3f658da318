import { requireNumber } from '../../internal/check.js';

/** Frames per second as a ratio of whole numbers: 24 000 frames in 1001 s, for example. */
export interface FrameRate {
  readonly frames: number;
  readonly seconds: number;
}

/** How near a rate written with three digits has to lie to mean a broadcast rate. */
const WRITTEN = 6e-4;

const BROADCAST = [24, 30, 48, 60, 120].map((n) => ({ frames: n * 1000, seconds: 1001 }));

/**
 * The exact rate meant by a number of frames per second.
 *
 * Whole numbers are themselves; 23.976, 29.97, 47.95, 59.94 and 119.88 mean n × 1000/1001; other numbers are kept
 * as they are, over one second.
 *
 * @param fps - frames per second, > 0
 * @returns a ratio
 * @throws RangeError where `fps` is not > 0
 * @example
 * import { exactFrameRate } from 'underfoot/curves';
 * console.log(exactFrameRate(23.976)); // → { frames: 24000, seconds: 1001 }
 */
export function exactFrameRate(fps: number): FrameRate {
  requireNumber('exactFrameRate', 'fps', fps, { above: 0 });
  if (Number.isInteger(fps)) return { frames: fps, seconds: 1 };
  const known = BROADCAST.find(
    ({ frames, seconds }) => Math.abs(frames / seconds - fps) < WRITTEN * (fps / 24),
  );
  return known ?? { frames: fps, seconds: 1 };
}

const ratioOf = (rate: FrameRate | number): FrameRate =>
  typeof rate === 'number' ? exactFrameRate(rate) : rate;

/**
 * Time in s of a frame: frame × seconds / frames, with one rounding.
 *
 * @param frame - frame number; need not be whole
 * @example
 * import { timeOfFrame } from 'underfoot/curves';
 * console.log(timeOfFrame(24, { frames: 24000, seconds: 1001 })); // → 1.001
 */
export function timeOfFrame(frame: number, rate: FrameRate | number): number {
  const { frames, seconds } = ratioOf(rate);
  return (requireNumber('timeOfFrame', 'frame', frame) * seconds) / frames;
}

/** How far from a whole frame a time may be, in frames and relative to the frame's number, and still be on it. */
const ON_FRAME = 1e-9;

/**
 * Frame number at a time; whole where the time lies within 1e-9 of a whole frame.
 *
 * @param t - time in s
 * @example
 * import { frameAtTime } from 'underfoot/curves';
 * console.log(frameAtTime(1.001, 23.976)); // → 24
 */
export function frameAtTime(t: number, rate: FrameRate | number): number {
  const { frames, seconds } = ratioOf(rate);
  const frame = (requireNumber('frameAtTime', 't', t, { unit: 's' }) * frames) / seconds;
  const whole = Math.round(frame);
  return Math.abs(frame - whole) <= ON_FRAME * Math.max(1, Math.abs(whole)) ? whole : frame;
}
