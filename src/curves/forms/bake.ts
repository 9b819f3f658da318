import { errorOf, requireNumber, requireRecord } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve } from '../curve.js';
import { Track } from '../track.js';

/** What to bake. */
export interface BakeOptions {
  /** Samples per second, > 0. */
  readonly fps: number;
  /** First time in s; the curve's start. */
  readonly start?: number;
  /** Last time in s; the last key, or one period after the start. */
  readonly end?: number;
  /** For one period of a cycle: whether the last sample repeats the first. Default false. */
  readonly repeatFirst?: boolean;
}

/** Values frame by frame. */
export interface BakedSamples {
  /** Times in s; sample i lies at start + i / fps. */
  readonly times: number[];
  readonly values: number[];
  /** Whether the last sample is the first one again, a period later. */
  readonly lastRepeatsFirst: boolean;
}

/** Fraction of a frame by which an end may miss a sample and still be one. */
const ON_FRAME = 1e-6;

/**
 * A curve baked to one value per frame, and whether the last frame repeats the first.
 *
 * Values are those of `evaluate`. One period of a cycle leaves its repeated frame out unless `repeatFirst`
 * asks for it.
 *
 * @param options - see `BakeOptions`
 * @returns times in s, values, and whether the last sample is the first again
 * @throws RangeError where the range is empty or more than 10⁷ samples are asked for
 * @example
 * import { bakeCurve } from 'underfoot/curves';
 * const flat = { span: 0.5, slope: 0 };
 * const keys = [{ time: 0, value: 1, in: flat, out: flat }];
 * const baked = bakeCurve({ keys, start: 0, period: 1, before: 'loops', after: 'loops' }, { fps: 4 });
 * console.log(baked.times.length, baked.lastRepeatsFirst); // → 4 false
 */
export function bakeCurve(curve: Curve, options: BakeOptions): BakedSamples {
  requireCurve('bakeCurve', curve);
  requireRecord('bakeCurve', 'options', options, ['fps', 'start', 'end', 'repeatFirst']);
  const fps = requireNumber('bakeCurve', 'fps', options.fps, { above: 0 });
  const track = new Track(curve);
  const start = options.start ?? track.first;
  const end = options.end ?? (curve.period === undefined ? track.last : start + curve.period);
  requireNumber('bakeCurve', 'start', start, { unit: 's' });
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
  const onePeriod =
    curve.period !== undefined && whole && Math.abs(end - start - curve.period) * fps <= ON_FRAME;
  const samples = steps + (onePeriod && !options.repeatFirst ? 0 : 1);
  const times = Array.from({ length: samples }, (_, i) => start + i / fps);
  const out = new Float64Array(1);
  const values = times.map((t) => {
    track.writeValue(t, out, 0);
    return out[0];
  });
  return { times, values, lastRepeatsFirst: onePeriod && samples === steps + 1 };
}
