import { requireNumber, requireRecord } from '../internal/check.js';
import { createForceSampler, sampleForcesEvenly } from './force-sampler.js';
import { requireMotion } from './motion.js';
import { wrapPhase } from './share.js';
import type { Force, Motion } from './walk.js';

/** How densely to sample. */
export interface ReactionOptions {
  /** Number of even samples over the stride, from phase 0; whole, in [1, 1 000 000]. Default 240. */
  readonly samples?: number;
}

/** Forces in BW, each an array as long as `time`. */
export type ForceColumns = Force<readonly number[]>;

/** The floor's forces over one stride. */
export interface ReactionTable {
  /** Times in s. */
  readonly time: readonly number[];
  /** Phases of the stride, in [0, 1). */
  readonly phase: readonly number[];
  readonly left: ForceColumns;
  readonly right: ForceColumns;
  /** Both feet together. */
  readonly total: ForceColumns;
  /** Newtons in one body weight, of the body and what it carries. */
  readonly newtonsPerBodyWeight: number;
}

/**
 * Each foot's force and the total over one stride, in BW, at even phases.
 *
 * @param motion - a planned walk
 * @param options - how many samples
 * @returns columns of equal length; the totals are the sums of the feet
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, sampleReactions } from 'underfoot';
 *
 * const { total } = sampleReactions(planWalk({ pace: 'ordinary' }), { samples: 240 });
 * const mean = total.vertical.reduce((sum, load) => sum + load, 0) / 240;
 * console.log(mean.toFixed(9)); // → 1.000000000
 * ```
 */
export function sampleReactions(motion: Motion, options: ReactionOptions = {}): ReactionTable {
  const walk = requireMotion('sampleReactions', motion);
  requireRecord('sampleReactions', 'options', options, ['samples']);
  const { samples = 240 } = options;
  requireNumber('sampleReactions', 'samples', samples, { min: 1, max: 1e6, whole: true });
  const empty = () => ({
    vertical: new Array<number>(samples),
    forward: new Array<number>(samples),
    side: new Array<number>(samples),
  });
  const [left, right, total] = [empty(), empty(), empty()];
  const time = new Array<number>(samples);
  const phase = new Array<number>(samples);
  sampleForcesEvenly(walk, samples, (i, forces) => {
    phase[i] = i / samples;
    time[i] = phase[i] * walk.pace.strideTime;
    left.vertical[i] = forces[0];
    left.forward[i] = forces[1];
    left.side[i] = forces[2];
    right.vertical[i] = forces[3];
    right.forward[i] = forces[4];
    right.side[i] = forces[5];
    total.vertical[i] = forces[0] + forces[3];
    total.forward[i] = forces[1] + forces[4];
    total.side[i] = forces[2] + forces[5];
  });
  return {
    time,
    phase,
    left,
    right,
    total,
    newtonsPerBodyWeight: (walk.body.mass + walk.body.carried) * walk.gravity,
  };
}

/** Both feet's forces at one time. */
export interface ReactionAt {
  /** Phase of the stride, in [0, 1). */
  readonly phase: number;
  readonly left: Force<number>;
  readonly right: Force<number>;
}

/**
 * Both feet's forces in BW at one time.
 *
 * @param motion - a planned walk
 * @param t - time in s, any finite number; the walk repeats
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, reactionsAt } from 'underfoot';
 *
 * const walk = planWalk({ pace: 'ordinary' });
 * const { left, right } = reactionsAt(walk, walk.pace.strideTime * 0.3);
 * console.log(left.vertical, right.vertical > 0.5); // → 0 true
 * ```
 */
export function reactionsAt(motion: Motion, t: number): ReactionAt {
  const walk = requireMotion('reactionsAt', motion);
  requireNumber('reactionsAt', 't', t, { unit: 's' });
  const forces = new Float64Array(6);
  createForceSampler(walk)(t, forces);
  const foot = (i: number): Force<number> => ({
    vertical: forces[i],
    forward: forces[i + 1],
    side: forces[i + 2],
  });
  return { phase: wrapPhase(t / walk.pace.strideTime), left: foot(0), right: foot(3) };
}
