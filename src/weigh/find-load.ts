import { seriesValue } from '../curves/series.js';
import type { Finding, Weighed } from './weighed.js';

/** Loads in BW and their limits. */
const BOUNDS = {
  /**
   * Below this the floor would have to pull. A planned load may touch 0, and sparse keys follow it to about
   * 0.01 BW; that is not a pull.
   */
  pull: -0.02,
  /** Mean load of a loop away from 1. */
  mean: 0.01,
  /** Swing as a part of a planned walk's, and how much smaller it has to be at least. */
  floaty: { part: 0.5, gap: 0.04 },
  /** Swing as a multiple of a planned walk's, and how much larger it has to be at least. */
  hard: { times: 2.2, gap: 0.1 },
} as const;

/** Root mean square of a planned walk's load about 1 BW. */
export function expectedSwing({ model }: Weighed): number {
  const { vertical } = model.total;
  let sum = 0;
  const n = 64;
  for (let i = 0; i < n; i++) sum += (seriesValue(vertical, (i / n) * vertical.period) - 1) ** 2;
  return Math.sqrt(sum / n);
}

/** Mean, extremes and swing of the implied load. */
export function summarizeLoad({ grid }: Weighed) {
  const { load, time } = grid;
  let [sum, low, high] = [0, 0, 0];
  for (let i = 0; i < load.length; i++) {
    sum += load[i];
    if (load[i] < load[low]) low = i;
    if (load[i] > load[high]) high = i;
  }
  const mean = sum / load.length;
  const swing = Math.sqrt(load.reduce((total, n) => total + (n - mean) ** 2, 0) / load.length);
  return { mean, min: load[low], minAt: time[low], max: load[high], maxAt: time[high], swing };
}

/** Feet that would have to pull, a loop that does not weigh 1, a swing too small or too large. */
export function findLoad(weighed: Weighed): Finding[] {
  const found: Finding[] = [];
  const { grid, frameOf, gait, loops } = weighed;
  const load = summarizeLoad(weighed);
  const expected = expectedSwing(weighed);
  if (load.min < BOUNDS.pull) {
    const frames = framesWhere(weighed, (i) => grid.load[i] < BOUNDS.pull);
    const factor = 1 / (load.mean - load.min);
    found.push({
      code: 'pull',
      severity: 'fault',
      channel: 'height',
      frames,
      measured: { value: load.min, unit: 'BW' },
      bound: { value: 0, unit: 'BW' },
      text: `The feet would have to pull on the floor: the load falls to ${load.min.toFixed(2)} BW.`,
      suggestion: {
        text: `Scale the rise and fall to ${(100 * factor).toFixed(0)} % of itself.`,
        value: factor,
        unit: '',
      },
    });
  }
  if (loops && Math.abs(load.mean - 1) > BOUNDS.mean) {
    found.push({
      code: 'mean-load',
      severity: 'fault',
      channel: 'height',
      frames: [frameOf(weighed.start)],
      measured: { value: load.mean, unit: 'BW' },
      bound: { value: 1, unit: 'BW' },
      text: `Over the loop the floor carries ${load.mean.toFixed(3)} of the body's weight instead of all of it.`,
      suggestion: {
        text: 'Let the slopes on both sides of every key, and at both ends of the loop, be equal.',
        value: load.mean - 1,
        unit: 'BW',
      },
    });
  }
  const [least, most] = [BOUNDS.floaty.part * expected, BOUNDS.hard.times * expected];
  if (gait !== 'sneak' && load.swing < least && expected - load.swing > BOUNDS.floaty.gap) {
    found.push({
      code: 'floaty',
      severity: 'warning',
      channel: 'height',
      frames: [frameOf(load.minAt), frameOf(load.maxAt)].sort((a, b) => a - b),
      measured: { value: load.swing, unit: 'BW' },
      bound: { value: least, unit: 'BW' },
      text: `It floats: the load swings by ${load.swing.toFixed(3)} BW (rms), a walk of this step by ${expected.toFixed(3)}.`,
      suggestion: scaling(expected, load.swing),
    });
  }
  if (load.swing > most && load.swing - expected > BOUNDS.hard.gap) {
    found.push({
      code: 'too-hard',
      severity: 'warning',
      channel: 'height',
      frames: [frameOf(load.maxAt)],
      measured: { value: load.swing, unit: 'BW' },
      bound: { value: most, unit: 'BW' },
      text: `It pounds: the load swings by ${load.swing.toFixed(3)} BW (rms), a walk of this step by ${expected.toFixed(3)}.`,
      suggestion: scaling(expected, load.swing),
    });
  }
  return found;
}

function scaling(expected: number, swing: number): Finding['suggestion'] {
  const factor = expected / Math.max(swing, 1e-6);
  const text =
    swing < 1e-3 * expected
      ? 'Give the height a rise and fall once a step.'
      : `Scale the rise and fall by ${factor.toFixed(2)}, or change the step's time by ${Math.sqrt(1 / factor).toFixed(2)}.`;
  return { text, value: factor, unit: '' };
}

/** Frames nearest the grid times at which something holds, each once. */
export function framesWhere({ grid, frameOf }: Weighed, holds: (i: number) => boolean): number[] {
  const frames = new Set<number>();
  for (let i = 0; i < grid.time.length; i++) if (holds(i)) frames.add(frameOf(grid.time[i]));
  return [...frames].sort((a, b) => a - b);
}
