import {
  errorOf,
  isRecord,
  numberProblem,
  refuseAny,
  requireNumber,
  requireRecord,
  show,
} from '../../internal/check.js';

/** Frames per second as a ratio of whole numbers: 24 000 frames in 1001 s, for example. */
export interface FrameRate {
  readonly frames: number;
  readonly seconds: number;
}

/** Half of the last digit of a rate written with three digits behind the point. */
const WRITTEN = 5e-4;

const BROADCAST = [24, 30, 48, 60, 120].map((n) => ({ frames: n * 1000, seconds: 1001 }));

/**
 * The exact rate meant by a number of frames per second.
 *
 * Whole numbers are themselves; 23.976, 29.97, 47.952, 59.94 and 119.88 mean n × 1000/1001, written with three
 * digits or rounded to two, as in 23.98; other numbers are kept as they are, over one second.
 *
 * @param fps - frames per second, > 0
 * @returns a ratio
 * @throws RangeError where `fps` is not > 0
 * @example
 * import { exactFrameRate } from 'underfoot/curves';
 * console.log(exactFrameRate(23.976)); // → { frames: 24000, seconds: 1001 }
 */
export function exactFrameRate(fps: number): FrameRate {
  return rateNamed(requireNumber('exactFrameRate', 'fps', fps, { above: 0 }));
}

function rateNamed(fps: number): FrameRate {
  if (Number.isInteger(fps)) return { frames: fps, seconds: 1 };
  const known = BROADCAST.find(({ frames, seconds }) => {
    const exact = frames / seconds;
    return Math.abs(exact - fps) <= WRITTEN || Number(exact.toFixed(2)) === fps;
  });
  return known ?? { frames: fps, seconds: 1 };
}

/** The rate, given as a ratio or as frames per second, or the error that names function, field, rule and value. */
export function requireFrameRate(where: string, field: string, rate: unknown): FrameRate {
  if (!isRecord(rate)) return rateNamed(requireNumber(where, field, rate, { above: 0 }));
  const { frames, seconds } = requireRecord(where, field, rate, ['frames', 'seconds']);
  refuseAny(where, [
    numberProblem(`${field}.frames`, frames, { above: 0 }),
    numberProblem(`${field}.seconds`, seconds, { above: 0, unit: 's' }),
  ]);
  return { frames: frames as number, seconds: seconds as number };
}

/**
 * Time in s of a frame: frame × seconds / frames, with one rounding for whole frames.
 *
 * @param frame - frame number; need not be whole
 * @param rate - frames per second, 23.976 and the like meaning the exact ratio as in `exactFrameRate`, or that ratio
 * @returns time in s
 * @throws RangeError or TypeError where frame or rate are not usable, or the time would not be finite
 * @example
 * import { timeOfFrame } from 'underfoot/curves';
 * console.log(timeOfFrame(24, { frames: 24000, seconds: 1001 })); // → 1.001
 */
export function timeOfFrame(frame: number, rate: FrameRate | number): number {
  const { frames, seconds } = requireFrameRate('timeOfFrame', 'rate', rate);
  const time = (requireNumber('timeOfFrame', 'frame', frame) * seconds) / frames;
  return finite('timeOfFrame', 'frame', frame, time, 'time');
}

/** How far from a whole frame a time may be, in frames and relative to the frame's number, and still be on it. */
const ON_FRAME = 1e-12;

/**
 * Frame number at a time; whole where rounding alone, 1e-12 of the number, keeps it from being.
 *
 * @param t - time in s
 * @param rate - frames per second, 23.976 and the like meaning the exact ratio as in `exactFrameRate`, or that ratio
 * @returns frame number, with a fraction between frames
 * @throws RangeError or TypeError where time or rate are not usable, or the number would not be finite
 * @example
 * import { frameAtTime } from 'underfoot/curves';
 * console.log(frameAtTime(1.001, 23.976)); // → 24
 */
export function frameAtTime(t: number, rate: FrameRate | number): number {
  const exact = requireFrameRate('frameAtTime', 'rate', rate);
  return frameOf('frameAtTime', 't', requireNumber('frameAtTime', 't', t, { unit: 's' }), exact);
}

/** As `frameAtTime`, for a field of a function of another name. */
export function frameOf(where: string, field: string, t: number, { frames, seconds }: FrameRate): number {
  const frame = finite(where, field, t, (t * frames) / seconds, 'frame number');
  const whole = Math.round(frame);
  return Math.abs(frame - whole) <= ON_FRAME * Math.max(1, Math.abs(whole)) ? whole : frame;
}

/** The result, or the error that says which number it is too large for. */
function finite(where: string, field: string, given: number, result: number, what: string): number {
  if (Number.isFinite(result)) return result;
  throw errorOf(where, {
    field,
    rule: `must have a finite ${what} at this rate`,
    got: show(given),
    kind: 'range',
  });
}
