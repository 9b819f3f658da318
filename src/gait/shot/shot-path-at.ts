import type { Tracked } from '../../curves/curve.js';
import type { Jet } from '../../curves/series.js';
import { requireChoice, requireNumber, requireRecord } from '../../internal/check.js';
import { requireShot } from '../motion.js';
import type { Shot } from './shot.js';
import { createShotSampler } from './shot-sampler.js';

/** A shot's body at one time, seen from its line; m and rad, m/s and rad/s, and so on. */
export interface ShotPathAt {
  /** Along the line, from the heel that the shot begins with. */
  readonly along: Jet;
  /** Beside the line, positive to the left. */
  readonly beside: Jet;
  /** Height above the zero of the floor. */
  readonly height: Jet;
  /** Of the body from its heading at the beginning; positive is turned left. */
  readonly heading: Jet;
  /** Lean into the turn in rad, right-handed about the heading: negative, left side down, in a left turn. */
  readonly roll: number;
}

/** What is read. */
export interface ShotPathOptions {
  /** Centre of mass or root; they differ in height. Default `centreOfMass`. */
  readonly of?: Tracked;
}

/**
 * Where a shot's body is along the line that it follows, with two derivatives: m and rad by s.
 *
 * @param motion - a planned shot
 * @param t - time in s, any finite number; outside the shot its nearer end is read
 * @param options - centre of mass or root
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planShot, shotPathAt } from 'underfoot';
 *
 * const shot = planShot({ stretches: [{ distance: 5 }] });
 * const walked = shotPathAt(shot, shot.duration).along.value - shotPathAt(shot, 0).along.value;
 * console.log(walked.toFixed(9)); // → 5.000000000
 * ```
 */
export function shotPathAt(motion: Shot, t: number, options: ShotPathOptions = {}): ShotPathAt {
  const where = 'shotPathAt';
  const shot = requireShot(where, motion);
  requireNumber(where, 't', t, { unit: 's' });
  requireRecord(where, 'options', options, ['of']);
  const of = requireChoice(where, 'of', options.of ?? 'centreOfMass', ['centreOfMass', 'root']);
  const sampler = createShotSampler(shot);
  sampler.read(t);
  const { base, added, rootAdded, heading, line } = sampler.state;
  const jet = (read: (i: number) => number): Jet => ({
    value: read(0),
    velocity: read(1),
    acceleration: read(2),
  });
  const root = of === 'root';
  const height = jet((i) => base[6 + i] + (root ? rootAdded[i] : added[6 + i]));
  return {
    along: jet((i) => base[i] + added[i]),
    beside: jet((i) => base[3 + i] + added[3 + i]),
    height: root ? { ...height, value: height.value - shot.centreAboveRoot } : height,
    heading: jet((i) => heading[i]),
    roll: -Math.atan((line.curvature * base[1] * base[1]) / shot.gravity),
  };
}
