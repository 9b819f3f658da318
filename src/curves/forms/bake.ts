import { errorOf, requireNumber, requireRecord, show } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Outside } from '../curve.js';
import { type FrameRate, requireFrameRate } from '../time/frame-rate.js';
import { Track } from '../track.js';

/** What to bake. */
export interface BakeOptions {
  /** Samples per second, > 0; 23.976 and the like mean the exact ratio, as in `exactFrameRate`. */
  readonly fps: FrameRate | number;
  /** First time in s; the first key, or where the cycle starts. */
  readonly start?: number;
  /** Last time in s; the last key, or one period after the first time. */
  readonly end?: number;
  /** For one period of a cycle: whether the last sample repeats the first. Default false. */
  readonly repeatFirst?: boolean;
}

/** Values frame by frame. */
export interface BakedSamples {
  /** Times in s; sample i lies at start + i / fps. */
  readonly times: number[];
  /** One value per time, in the curve's unit. */
  readonly values: number[];
  /**
   * Whether the last sample is the first one again: whole periods later, with the same value, or with one that is
   * higher by the gain of these periods where the curve travels.
   */
  readonly lastRepeatsFirst: boolean;
}

/** Fraction of a frame by which an end or a jump may miss a sample and still be on it. */
const ON_FRAME = 1e-6;

/** Share of the values by which a repeated sample may differ: rounding of times, on a curve that is not steep. */
const SAME = 1e-9;

/** The times at which the value jumps, in the first cycle of a curve that repeats. */
function jumpsOf({ keys, start, period, gain = 0, after }: Curve): number[] {
  const jumps = keys.filter(({ arrives, value }, i) => {
    const before = keys[i > 0 ? i - 1 : keys.length - 1];
    return (arrives !== undefined && arrives !== value) || before.next === 'hold';
  });
  const times = jumps.map((key) => key.time);
  return period !== undefined && gain !== 0 && after !== 'travels' ? [start, ...times] : times;
}

const repeating = (side: Outside): boolean => side === 'loops' || side === 'travels';

/** The value at a time, that after a jump where one is nearer than `near`. */
function jumpSafe(curve: Curve, track: Track, near: number): (t: number) => number {
  const { first, last, period } = track;
  const jumps = jumpsOf(curve);
  const out = new Float64Array(1);
  return (t) => {
    const side = t < first ? curve.before : curve.after;
    const turns =
      (t < first || t >= last - near) && repeating(side) ? Math.floor((t - first + near) / period) : 0;
    const own = t - turns * period;
    let low = 0;
    let high = jumps.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (jumps[middle] < own - near) low = middle + 1;
      else high = middle;
    }
    const beside = low < jumps.length && jumps[low] <= own + near;
    track.writeValue(beside ? jumps[low] : t, out, 0);
    return out[0] + (beside && side === 'travels' ? turns * track.gain : 0);
  };
}

/**
 * A curve baked to one value per frame, and whether the last frame repeats the first.
 *
 * Values are those of `evaluate`; a jump within a millionth of a frame of a sample is on it, and the sample has
 * the value after the jump, however times were rounded. One period of a cycle leaves its repeated frame out unless
 * `repeatFirst` asks for it; other ranges have samples from end to end. Back to a curve: `fitCurve(baked)`, with the
 * period, and the gain if it travels, of a cycle.
 *
 * @param options - see `BakeOptions`
 * @returns times in s, values, and whether the last sample is the first again
 * @throws RangeError where the range is empty or more than 10⁷ samples are asked for
 * @example
 * import { bakeCurve, fitCurve } from 'underfoot/curves';
 * const flat = { span: 0.5, slope: 0 };
 * const keys = [{ time: 0, value: 1, in: flat, out: flat }];
 * const baked = bakeCurve({ keys, start: 0, period: 1, before: 'loops', after: 'loops' }, { fps: 4 });
 * console.log(baked.times.length, baked.lastRepeatsFirst); // → 4 false
 * console.log(fitCurve(baked, { period: 1 }).curve.keys.length); // → 1
 */
export function bakeCurve(curve: Curve, options: BakeOptions): BakedSamples {
  requireCurve('bakeCurve', curve);
  requireRecord('bakeCurve', 'options', options, ['fps', 'start', 'end', 'repeatFirst']);
  const { frames, seconds } = requireFrameRate('bakeCurve', 'fps', options.fps);
  const fps = frames / seconds;
  if (options.repeatFirst !== undefined && typeof options.repeatFirst !== 'boolean') {
    const rule = 'must be true or false';
    throw errorOf('bakeCurve', { field: 'repeatFirst', rule, got: show(options.repeatFirst), kind: 'type' });
  }
  const track = new Track(curve);
  const start = requireNumber('bakeCurve', 'start', options.start ?? track.first, { unit: 's' });
  const end = options.end ?? (curve.period === undefined ? track.last : start + curve.period);
  requireNumber('bakeCurve', 'end', end, { min: start, unit: 's' });
  const steps = Math.floor((end - start) * fps + ON_FRAME);
  if (steps > 1e7) {
    throw errorOf('bakeCurve', {
      field: 'end',
      rule: 'must give at most 1e7 samples',
      got: `${steps}`,
      kind: 'range',
    });
  }
  const whole = Math.abs((end - start) * fps - steps) <= ON_FRAME;
  const { period } = curve;
  const periods = period === undefined || !whole ? 0 : Math.round((end - start) / period);
  const closes = periods > 0 && Math.abs(end - start - periods * period!) * fps <= ON_FRAME;
  const samples = steps + (closes && periods === 1 && !options.repeatFirst ? 0 : 1);
  const times = Array.from({ length: samples }, (_, i) => start + (i * seconds) / frames);
  const value = jumpSafe(curve, track, ON_FRAME / fps);
  const values = times.map(value);
  const raised = curve.after === 'travels' ? periods * (curve.gain ?? 0) : 0;
  const first = values[0] + raised;
  const lastRepeatsFirst =
    closes &&
    samples > steps &&
    Math.abs(values[steps] - first) <= SAME * (Math.abs(first) + Math.abs(raised));
  return { times, values, lastRepeatsFirst };
}
