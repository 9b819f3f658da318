import type { Finding, Weighed } from './weighed.js';

/** Most of all rises and falls within so many neighbouring values: over stairs the whole rise says nothing. */
function greatestRise(values: Float64Array, within: number): number {
  let most = 0;
  const jump = Math.max(1, within >> 1);
  for (let from = 0; from < values.length; from += jump) {
    const part = values.subarray(from, from + Math.max(2, within));
    most = Math.max(most, Math.max(...part) - Math.min(...part));
  }
  return most;
}

/** Limits in leg lengths and in √(leg length / gravity), with room for giants' strides and slow motion. */
const BOUNDS = {
  /** Largest rise and fall, and longest step. */
  rise: 0.8,
  step: 4,
  /** Highest mean height. */
  height: 20,
  /** Longest time of a step; a planned walk's is 1.5 to 4.5. */
  time: 14,
} as const;

/** Centimetres taken for metres, frames taken for seconds. */
export function findUnits(weighed: Weighed): Finding[] {
  const { grid, body, gravity, stepTime, paths, fps, start, frameOf, steps, loops, duration } = weighed;
  const leg = body.legLength;
  const found: Finding[] = [];
  const rise = greatestRise(
    grid.height,
    loops ? grid.height.length : Math.ceil((grid.height.length * stepTime) / duration),
  );
  const mean = Math.abs(grid.height.reduce((a, b) => a + b, 0) / grid.height.length);
  const gain = Math.abs(paths.forward?.gain ?? 0) / (loops ? steps : Math.max(1, duration / stepTime));
  const worst = [
    { what: 'rise and fall', value: rise, bound: BOUNDS.rise * leg },
    { what: 'step', value: gain, bound: BOUNDS.step * leg },
    { what: 'height', value: mean, bound: BOUNDS.height * leg },
  ].find(({ value, bound }) => value > bound && value / 100 <= bound);
  if (worst) {
    found.push({
      code: 'centimetres',
      severity: 'fault',
      channel: worst.what === 'step' ? 'forward' : 'height',
      frames: [frameOf(start)],
      measured: { value: worst.value, unit: 'm' },
      bound: { value: worst.bound, unit: 'm' },
      text: `The ${worst.what} of ${worst.value.toFixed(2)} m looks like centimetres taken for metres.`,
      suggestion: { text: 'Divide the values by 100.', value: 0.01, unit: '' },
    });
  }
  const natural = Math.sqrt(leg / gravity);
  if (
    loops &&
    stepTime > BOUNDS.time * natural &&
    stepTime / fps > 0.3 * natural &&
    stepTime / fps < BOUNDS.time * natural
  ) {
    found.push({
      code: 'frames-as-seconds',
      severity: 'fault',
      channel: 'height',
      frames: [frameOf(start)],
      measured: { value: stepTime, unit: 's' },
      bound: { value: BOUNDS.time * natural, unit: 's' },
      text: `A step of ${stepTime.toFixed(1)} s looks like frames taken for seconds.`,
      suggestion: { text: `Divide the times by ${fps}.`, value: 1 / fps, unit: '' },
    });
  }
  return found;
}
