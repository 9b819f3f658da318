import { sampleSeries } from '../curves/series.js';
import { createForceSampler } from './force-sampler.js';
import { requireMotion } from './motion.js';
import { readRun } from './run/read-run.js';
import { readShot } from './shot/read-shot.js';
import type { Body, Motion, Walk } from './walk.js';

/**
 * What everything downstream reads a motion through, whatever its kind. Times are in s; the methods
 * allocate nothing and expect a finite time.
 */
export interface MotionReader {
  /** First moment in s. */
  readonly start: number;
  /** Length in s: of the cycle where the motion repeats, else of the whole. */
  readonly duration: number;
  /** Whether it repeats, and so may be read at any time. */
  readonly repeats: boolean;
  /** Gravity in m/s². */
  readonly gravity: number;
  readonly body: Body;
  /**
   * Writes the centre of mass: height, forward, side, each as value (m), velocity (m/s) and
   * acceleration (m/s²), into `out[0..8]`.
   */
  sampleCentre(t: number, out: Float64Array): void;
  /** Writes left vertical, forward, side, then right vertical, forward, side, in BW, into `out[0..5]`. */
  sampleForces(t: number, out: Float64Array): void;
}

/**
 * A prepared reader of a motion: its span, body, centre of mass and forces at any time.
 *
 * @param motion - a planned walk, shot or run
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, readMotion } from 'underfoot';
 *
 * const reader = readMotion(planWalk({ pace: 'ordinary' }));
 * const forces = new Float64Array(6);
 * reader.sampleForces(reader.duration / 2, forces);
 * console.log((forces[0] + forces[3]).toFixed(2)); // → 1.11
 * ```
 */
export function readMotion(motion: Motion): MotionReader {
  const given = requireMotion('readMotion', motion);
  if (given.kind === 'shot') return readShot(given);
  return given.kind === 'run' ? readRun(given) : readWalk(given);
}

function readWalk(walk: Walk): MotionReader {
  const { height, forward, side } = walk.centre;
  const jet = new Float64Array(3);
  return {
    start: 0,
    duration: walk.pace.strideTime,
    repeats: true,
    gravity: walk.gravity,
    body: walk.body,
    sampleCentre(t, out) {
      sampleSeries(height, t, jet);
      out.set(jet, 0);
      sampleSeries(forward, t, jet);
      out.set(jet, 3);
      sampleSeries(side, t, jet);
      out.set(jet, 6);
    },
    sampleForces: createForceSampler(walk),
  };
}
