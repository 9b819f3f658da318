import type { Series } from '../../curves/series.js';
import { PROJECTION_SAMPLES, projectHarmonics } from '../fourier.js';
import { wrapPhase } from '../share.js';
import type { Walk } from '../walk.js';

/** A wave that keeps step with the feet. */
export interface Wave {
  /** Times that it comes in a stride: 1 for what left and right do in turn, 2 for what every step does. */
  readonly perStride: 1 | 2;
  readonly mean: number;
  /** Half of what it goes from lowest to highest. */
  readonly size: number;
  /** Where it is highest, in strides after the right foot's contact, a step counting half. */
  readonly peak: number;
}

/** Stride harmonics that a wave over unequal steps keeps. */
const UNEVEN_HARMONICS = 6;

/**
 * A wave as a series over the stride in s. Equal steps take it as a single harmonic, exactly; unequal ones
 * stretch it to each step, rounded off by keeping six harmonics.
 */
export function waveSeries(walk: Walk, wave: Wave): Series {
  const { perStride, mean, size, peak } = wave;
  const { left, right } = walk.stance;
  const step = wrapPhase(left.contact - right.contact);
  const shape = (progress: number): number => size * Math.cos(2 * Math.PI * perStride * (progress - peak));
  const period = walk.pace.strideTime;
  if (step === 0.5) {
    const angle = 2 * Math.PI * perStride * (right.contact + peak);
    const at = (value: number): number[] => (perStride === 1 ? [value] : [0, value]);
    return { period, mean, drift: 0, cos: at(size * Math.cos(angle)), sin: at(size * Math.sin(angle)) };
  }
  const samples = new Float64Array(PROJECTION_SAMPLES);
  for (let i = 0; i < PROJECTION_SAMPLES; i++) {
    const since = wrapPhase(i / PROJECTION_SAMPLES - right.contact);
    samples[i] = shape(since < step ? since / step / 2 : (1 + (since - step) / (1 - step)) / 2);
  }
  return { period, mean, drift: 0, ...projectHarmonics(samples, UNEVEN_HARMONICS) };
}

/** A series that comes later by a fraction of its period. */
export function delaySeries(series: Series, delay: number): Series {
  if (delay === 0) return series;
  const cos: number[] = [];
  const sin: number[] = [];
  for (let k = 0; k < series.cos.length; k++) {
    const angle = 2 * Math.PI * (k + 1) * delay;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    cos.push(series.cos[k] * c - series.sin[k] * s);
    sin.push(series.cos[k] * s + series.sin[k] * c);
  }
  return { ...series, cos, sin };
}
