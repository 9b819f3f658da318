import type { Course, Layout } from './lay-nodes.js';
import { resizeSteps, sizesOf } from './retime.js';
import type { VariationSpec } from './shot-spec.js';

/**
 * Coefficients of variation of step time and length where only a seed is given: people's stride times vary
 * by 1 to 3 % (Hausdorff, Peng, Ladin, Wei & Goldberger 1995), step lengths about as much. From memory.
 */
const DEFAULTS = { time: 0.02, length: 0.025 } as const;

/** Deviates per number: their sum is close to normal and never farther than six deviations off. */
const SUMMANDS = 12;

/** Numbers in [0, 1) from a seed: a counter in steps of the golden ratio, mixed (Appleby's 32-bit finaliser). */
function createNoise(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let x = state;
    x = Math.imul(x ^ (x >>> 16), 0x85ebca6b);
    x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35);
    return ((x ^ (x >>> 16)) >>> 0) / 2 ** 32;
  };
}

/** So many deviates with a mean of 0 and a standard deviation of 1, exactly, as a sample. */
export function makeDeviates(count: number, seed: number): number[] {
  const noise = createNoise(seed);
  const raw = Array.from({ length: count }, () => {
    let sum = -SUMMANDS / 2;
    for (let i = 0; i < SUMMANDS; i++) sum += noise();
    return sum;
  });
  const mean = raw.reduce((sum, x) => sum + x, 0) / count;
  const spread = Math.sqrt(raw.reduce((sum, x) => sum + (x - mean) ** 2, 0) / Math.max(1, count));
  return raw.map((x) => (spread > 0 ? (x - mean) / spread : 0));
}

/**
 * A layout whose steps vary as people's do: each full step's time and length by deviates of their own, with
 * the asked-for standard deviation over the mean, so that the whole stays as long as it was. First and last
 * steps and those on stairs keep their length.
 */
export function varySteps(course: Course, layout: Layout, variation: VariationSpec): Layout {
  const { seed, time = DEFAULTS.time, length = DEFAULTS.length } = variation;
  const { nodes } = layout;
  const { durations, lengths } = sizesOf(layout);
  const varied = nodes.flatMap((node, i) =>
    i > 0 && node.profile > 0 && nodes[i - 1].profile > 0 ? [i] : [],
  );
  const times = makeDeviates(varied.length, seed);
  const reaches = makeDeviates(varied.length, seed ^ 0x5bd1e995);
  varied.forEach((i, j) => {
    durations[i] *= 1 + time * times[j];
    if (!course.stretches[nodes[i].stretch].stairs) lengths[i] *= 1 + length * reaches[j];
  });
  return resizeSteps(course, layout, { durations, lengths });
}
