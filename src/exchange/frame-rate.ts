import { isRecord, requireNumber, requireRecord } from '../internal/check.js';

/** An exact frame rate: so many frames in so many seconds, as 24000 in 1001. */
export interface FrameRate {
  /** Frames, > 0. */
  readonly frames: number;
  /** Seconds that they take, > 0. */
  readonly seconds: number;
}

/** Rates that are written short and meant exactly. */
const BROADCAST: readonly (readonly [number, number])[] = [
  [23.976, 24000],
  [29.97, 30000],
  [47.952, 48000],
  [59.94, 60000],
  [119.88, 120000],
];

/**
 * The exact rate that a number or a ratio means: 23.976 is 24000/1001, 29.97 is 30000/1001, and so on;
 * any other number is taken as it is.
 *
 * @param fps - frames per second, > 0, or an exact ratio
 * @returns frames and the seconds they take
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { resolveFrameRate } from 'underfoot/exchange';
 *
 * const { frames, seconds } = resolveFrameRate(29.97);
 * console.log(frames, seconds); // → 30000 1001
 * ```
 */
export function resolveFrameRate(fps: number | FrameRate, where = 'resolveFrameRate'): FrameRate {
  if (isRecord(fps)) {
    requireRecord(where, 'fps', fps, ['frames', 'seconds']);
    return {
      frames: requireNumber(where, 'fps.frames', fps.frames, { above: 0, max: 1e9 }),
      seconds: requireNumber(where, 'fps.seconds', fps.seconds, { above: 0, max: 1e9, unit: 's' }),
    };
  }
  const rate = requireNumber(where, 'fps', fps, { above: 0, max: 1e6, unit: 'Hz' });
  const exact = BROADCAST.find(([short, frames]) => rate === short || Math.abs(rate - frames / 1001) < 1e-6);
  return exact ? { frames: exact[1], seconds: 1001 } : { frames: rate, seconds: 1 };
}

/** Frames per second as a number. */
export function framesPerSecond({ frames, seconds }: FrameRate): number {
  return frames / seconds;
}

/** Time in s of a number of frames; exact wherever the quotient is. */
export function timeOfFrames(rate: FrameRate, frames: number): number {
  return (frames * rate.seconds) / rate.frames;
}
