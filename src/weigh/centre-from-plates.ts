import type { Series } from '../curves/series.js';
import { integrateTwice } from '../curves/series.js';
import type { Channels } from '../gait/walk.js';
import { requireNumber, requireRecord } from '../internal/check.js';
import { type AverageOptions, averageStride } from './average-stride.js';
import { requireRecording } from './measure-steps.js';
import type { PlateRecording } from './recording.js';

/** What the forces alone do not say. */
export interface CentreOptions {
  /** Mean speed in m/s, ≥ 0; a treadmill's belt, or 0 to leave the travel out. Default 0. */
  readonly speed?: number;
  /** Mean height in m of the centre of mass. Default 0. */
  readonly height?: number;
  /** Harmonics of the stride that are kept; whole, in [1, 60]. Default 20. */
  readonly harmonics?: number;
  /** Foot whose landing is phase 0. Default `right`. */
  readonly firstFoot?: AverageOptions['firstFoot'];
}

/** Path of the centre of mass over the mean stride, in m, as exact series. */
export interface MeasuredCentre extends Channels<Series> {
  readonly of: 'centreOfMass';
  /** Strides that the forces were averaged over. */
  readonly strides: number;
  /** Mean force beyond a steady walk's in BW, taken out before integrating: drift of the plates. */
  readonly removed: { readonly vertical: number; readonly forward: number; readonly side: number };
}

/**
 * The path of the centre of mass in m straight from measured forces, over the mean whole stride.
 *
 * The total force of the mean stride becomes a Fourier series, whose mean a steady walk does not have and
 * loses; the path is its exact double integral, times gravity. No model of walking is used.
 *
 * @param recording - what `readPlates` returned
 * @param options - speed and mean height, which forces do not tell
 * @throws RangeError where the recording holds no whole stride, TypeError where it is not one
 *
 * @example
 * ```ts
 * import { centreFromPlates, planWalk, readPlates, rootMotion, writePlates } from 'underfoot';
 *
 * const walk = planWalk({ pace: 'ordinary' });
 * const centre = centreFromPlates(readPlates(writePlates(walk), { lowPass: false }), { speed: 1.28 });
 * const rise = (terms: readonly number[]) => Math.max(...terms.map(Math.abs));
 * const planned = rise(rootMotion(walk).height.cos);
 * console.log(Math.abs(rise(centre.height.cos) / planned - 1) < 0.05); // → true
 * ```
 */
export function centreFromPlates(recording: PlateRecording, options: CentreOptions = {}): MeasuredCentre {
  const where = 'centreFromPlates';
  requireRecording(where, recording);
  requireRecord(where, 'options', options, ['speed', 'height', 'harmonics', 'firstFoot']);
  const { speed = 0, height = 0, harmonics = 20, firstFoot = 'right' } = options;
  requireNumber(where, 'speed', speed, { min: 0, unit: 'm/s' });
  requireNumber(where, 'height', height, { unit: 'm' });
  requireNumber(where, 'harmonics', harmonics, { min: 1, max: 60, whole: true });
  const stride = averageStride(recording, { samples: 480, firstFoot });
  const { strideTime, total } = stride;
  const { gravity } = recording;
  const vertical = toSeries(total.vertical, strideTime, harmonics);
  const forward = toSeries(total.forward, strideTime, harmonics);
  const side = toSeries(total.side, strideTime, harmonics);
  return {
    of: 'centreOfMass',
    height: integrateTwice(vertical, gravity, height, 0),
    forward: integrateTwice(forward, gravity, 0, speed * strideTime),
    side: integrateTwice(side, gravity, 0, 0),
    strides: stride.strides,
    removed: { vertical: vertical.mean - 1, forward: forward.mean, side: side.mean },
  };
}

/** The Fourier series of even samples over one period, to `harmonics`, by the discrete sum. */
export function toSeries(samples: readonly number[], period: number, harmonics: number): Series {
  const n = samples.length;
  const cos = new Array<number>(harmonics).fill(0);
  const sin = new Array<number>(harmonics).fill(0);
  let mean = 0;
  for (let i = 0; i < n; i++) {
    mean += samples[i] / n;
    for (let k = 1; k <= harmonics; k++) {
      const angle = (2 * Math.PI * ((k * i) % n)) / n;
      cos[k - 1] += (2 / n) * samples[i] * Math.cos(angle);
      sin[k - 1] += (2 / n) * samples[i] * Math.sin(angle);
    }
  }
  return { period, mean, drift: 0, cos, sin };
}
