import type { Tracked } from '../curves/curve.js';
import { evaluateSeries, type Jet, type Series } from '../curves/series.js';
import { requireChoice, requireNumber, requireRecord } from '../internal/check.js';
import { requireMotion, requireWalk } from './motion.js';
import { centreHeight } from './root-relation.js';
import { readRun } from './run/read-run.js';
import { createShotSampler } from './shot/shot-sampler.js';
import type { Channels, Motion, Walk } from './walk.js';

/** What the path is of. */
export interface RootOptions {
  /** Centre of mass, which the laws of motion hold for, or root (pelvis). Default `centreOfMass`. */
  readonly of?: Tracked;
}

/** Exact path over one stride. */
export interface RootMotion extends Channels<Series> {
  readonly of: Tracked;
}

const TRACKED: readonly Tracked[] = ['centreOfMass', 'root'];

/** Reads the choice of path at a public boundary. */
export function requireTracked(where: string, of: unknown): Tracked {
  return requireChoice(where, 'of', of, TRACKED);
}

/**
 * The exact path in m over one stride, as series: height above the floor, forward with the stride's
 * length as drift, side positive to the left.
 *
 * @param motion - a planned walk
 * @param options - centre of mass or root
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, rootMotion } from 'underfoot';
 *
 * const walk = planWalk({ pace: { strideLength: 1.4, strideRate: 0.9 } });
 * console.log(rootMotion(walk).forward.drift); // → 1.4
 * ```
 */
export function rootMotion(motion: Walk, options: RootOptions = {}): RootMotion {
  const where = 'rootMotion';
  const walk = requireWalk(where, motion);
  requireRecord(where, 'options', options, ['of']);
  return pathOf(walk, requireTracked(where, options.of ?? 'centreOfMass'));
}

/** The path without checks, for callers that have done them. */
export function pathOf(walk: Walk, of: Tracked): RootMotion {
  const { height, forward, side } = walk.centre;
  if (of === 'centreOfMass') return { of, height, forward, side };
  const rise = (terms: readonly number[]): number[] => terms.map((x) => x * walk.root.rise);
  return {
    of,
    height: { ...height, mean: walk.root.height, cos: rise(height.cos), sin: rise(height.sin) },
    forward,
    side,
  };
}

/**
 * Value, velocity and acceleration of each channel at one time, in m, m/s and m/s².
 *
 * @param motion - a planned walk or shot; the axes of a shot are fixed, forward being its first heading
 * @param t - time in s, any finite number; a walk repeats and travels on, of a shot the nearer end is read
 * @param options - centre of mass or root
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, rootAt } from 'underfoot';
 *
 * const walk = planWalk({ pace: { speed: 1.3 } });
 * const start = rootAt(walk, 0).forward.value;
 * const end = rootAt(walk, walk.pace.strideTime).forward.value;
 * console.log(Math.abs(end - start - walk.pace.strideLength) < 1e-12); // → true
 * ```
 */
export function rootAt(motion: Motion, t: number, options: RootOptions = {}): Channels<Jet> {
  const where = 'rootAt';
  const given = requireMotion(where, motion);
  requireRecord(where, 'options', options, ['of']);
  const of = requireTracked(where, options.of ?? 'centreOfMass');
  requireNumber(where, 't', t, { unit: 's' });
  if (given.kind === 'shot') {
    const sampler = createShotSampler(given);
    const out = new Float64Array(9);
    sampler.read(t);
    sampler.write(out, of);
    const jet = (i: number): Jet => ({ value: out[i], velocity: out[i + 1], acceleration: out[i + 2] });
    return { height: jet(0), forward: jet(3), side: jet(6) };
  }
  if (given.kind === 'run') {
    const out = new Float64Array(9);
    readRun(given).sampleCentre(t, out);
    const jet = (i: number): Jet => ({ value: out[i], velocity: out[i + 1], acceleration: out[i + 2] });
    const height = jet(0);
    const { body, root } = given;
    // A runner's root rises and falls as the centre of mass does.
    const lower = of === 'root' ? centreHeight(body, root.height) - root.height : 0;
    return { height: { ...height, value: height.value - lower }, forward: jet(3), side: jet(6) };
  }
  const { height, forward, side } = pathOf(given, of);
  return {
    height: evaluateSeries(height, t),
    forward: evaluateSeries(forward, t),
    side: evaluateSeries(side, t),
  };
}
