import { requireNumber, requireRecord } from '../internal/check.js';
import { createForceSampler, sampleForcesEvenly } from './force-sampler.js';
import { requireMotion } from './motion.js';
import { readRun } from './run/read-run.js';
import type { Run } from './run/run.js';
import { wrapPhase } from './share.js';
import { readShot } from './shot/read-shot.js';
import type { Shot } from './shot/shot.js';
import { prepareShotPhase } from './shot/shot-phase.js';
import type { Force, Motion, Walk } from './walk.js';

/** How densely to sample. */
export interface ReactionOptions {
  /**
   * Number of even samples: over the stride from phase 0, without its end, which is the next one's
   * beginning; over the whole of a shot with both of its ends. Whole, in [1, 1 000 000]. Default 240.
   */
  readonly samples?: number;
}

/** Forces in BW, each an array as long as `time`. */
export type ForceColumns = Force<readonly number[]>;

/** The floor's forces over one stride, or over a shot. */
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
 * Each foot's force and the total over one stride or over a whole shot, in BW, at even times.
 *
 * @param motion - a planned walk, shot or run
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
  const given = requireMotion('sampleReactions', motion);
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
  const write = (i: number, forces: Float64Array): void => {
    left.vertical[i] = forces[0];
    left.forward[i] = forces[1];
    left.side[i] = forces[2];
    right.vertical[i] = forces[3];
    right.forward[i] = forces[4];
    right.side[i] = forces[5];
    total.vertical[i] = forces[0] + forces[3];
    total.forward[i] = forces[1] + forces[4];
    total.side[i] = forces[2] + forces[5];
  };
  if (given.kind === 'shot') timeShot(given, time, phase, write);
  else timeStride(given, time, phase, write);
  return {
    time,
    phase,
    left,
    right,
    total,
    newtonsPerBodyWeight: (given.body.mass + given.body.carried) * given.gravity,
  };
}

/** Takes what was sampled at one of the times. */
type Use = (i: number, forces: Float64Array) => void;

function timeStride(motion: Walk | Run, time: number[], phase: number[], use: Use): void {
  const samples = time.length;
  for (let i = 0; i < samples; i++) {
    phase[i] = i / samples;
    time[i] = phase[i] * motion.pace.strideTime;
  }
  if (motion.kind === 'walk') {
    sampleForcesEvenly(motion, samples, use);
    return;
  }
  const { sampleForces } = readRun(motion);
  const forces = new Float64Array(6);
  for (let i = 0; i < samples; i++) {
    sampleForces(time[i], forces);
    use(i, forces);
  }
}

function timeShot(shot: Shot, time: number[], phase: number[], use: Use): void {
  const { sampleForces } = readShot(shot);
  const phaseAt = prepareShotPhase(shot);
  const forces = new Float64Array(6);
  const last = Math.max(1, time.length - 1);
  for (let i = 0; i < time.length; i++) {
    time[i] = (shot.duration * i) / last;
    phase[i] = phaseAt(time[i]);
    sampleForces(time[i], forces);
    use(i, forces);
  }
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
 * @param motion - a planned walk, shot or run
 * @param t - time in s, any finite number; a walk or run repeats, of a shot the nearer end is read
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
  const given = requireMotion('reactionsAt', motion);
  requireNumber('reactionsAt', 't', t, { unit: 's' });
  const forces = new Float64Array(6);
  const { kind } = given;
  if (kind === 'shot') readShot(given).sampleForces(t, forces);
  else if (kind === 'run') readRun(given).sampleForces(t, forces);
  else createForceSampler(given)(t, forces);
  const foot = (i: number): Force<number> => ({
    vertical: forces[i],
    forward: forces[i + 1],
    side: forces[i + 2],
  });
  const phase = kind === 'shot' ? prepareShotPhase(given)(t) : wrapPhase(t / given.pace.strideTime);
  return { phase, left: foot(0), right: foot(3) };
}
