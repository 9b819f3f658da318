import { exactFrameRate, type FrameRate } from '../curves/time/frame-rate.js';
import { isRecord, requireNumber, requireRecord } from '../internal/check.js';

/** Rates beyond this are mistakes. */
const MOST = 1e6;

/** The exact rate that a number or a ratio means, checked; `where` is the public function that was given it. */
export function readFrameRate(where: string, field: string, fps: number | FrameRate): FrameRate {
  if (isRecord(fps)) {
    requireRecord(where, field, fps, ['frames', 'seconds']);
    return {
      frames: requireNumber(where, `${field}.frames`, fps.frames, { above: 0, max: 1e9 }),
      seconds: requireNumber(where, `${field}.seconds`, fps.seconds, { above: 0, max: 1e9, unit: 's' }),
    };
  }
  return exactFrameRate(requireNumber(where, field, fps, { above: 0, max: MOST, unit: 'Hz' }));
}

/** Frames per second as a number. */
export function framesPerSecond({ frames, seconds }: FrameRate): number {
  return frames / seconds;
}

/** Time in s of a number of frames; exact wherever the quotient is. */
export function timeOfFrames(rate: FrameRate, frames: number): number {
  return (frames * rate.seconds) / rate.frames;
}
