import { type Series, scaleSeries } from '../../curves/series.js';
import { numberProblem, refuseAny, requireRecord } from '../../internal/check.js';
import { requireWalk } from '../motion.js';
import type { Side, Sides, Walk } from '../walk.js';
import { armFreedom, turnSizesOf } from './turn-sizes.js';
import { delaySeries, waveSeries } from './wave.js';

/** How a part is turned against the direction of travel, in rad, as series over the stride. */
export interface Turns<T> {
  /** About the vertical; positive is turned left. */
  readonly heading: T;
  /** About the direction of travel; positive with the left side up. */
  readonly roll: T;
  /** About the axis to the left; positive with the front down. */
  readonly pitch: T;
}

/** One arm, in rad. */
export interface ArmTurns<T> {
  /** Of the upper arm from hanging down, about the axis to the left: negative with the hand forwards. */
  readonly pitch: T;
  /** Of the elbow from straight; positive brings the hand forwards and up. */
  readonly elbow: T;
}

/** The turning of a body over one stride. */
export interface PoseTurns<T> {
  readonly pelvis: Turns<T>;
  readonly chest: Turns<T>;
  readonly head: Turns<T>;
  readonly arms: Sides<ArmTurns<T>>;
}

/** The turning of a body as exact series. */
export type PoseSeries = PoseTurns<Series>;

/** How late each part is, in strides, each in [−0.5, 0.5]. */
export interface PoseDelays {
  /** Chest behind the pelvis. Default 0.03. */
  readonly chest?: number;
  /** Arms behind the feet. Default 0.02. */
  readonly arms?: number;
  /** Elbows behind the arms. Default 0.06. */
  readonly elbows?: number;
  /** Head behind the chest. Default 0.04. */
  readonly head?: number;
}

/** What the pose can be asked for. */
export interface PoseOptions {
  /** How late each part is. */
  readonly delays?: PoseDelays;
}

/** One to two frames a joint at 24 frames a second and 12 to 13 a step. Common practice, no source. */
const DELAYS = { chest: 0.03, arms: 0.02, elbows: 0.06, head: 0.04 } as const;

/** Strides after a contact at which the pelvis has dropped farthest on the other side. Memory. */
const LIST_PEAK = 0.17;

/** Strides after a contact at which the pelvis is tipped forwards most. Memory. */
const TILT_PEAK = 0.06;

/** How much of the pelvis's turn the chest makes, the other way about. Memory. */
const CHEST = { heading: -0.6, roll: -0.5, pitch: 0.5 } as const;

/** How much of the chest's turn the head lets through: it looks ahead. Common practice, no source. */
const HEAD = { heading: 0.2, roll: 0.2 } as const;

/** Distance in front of the head that it keeps its face on, in statures. Memory. */
const GAZE = 0.75;

/** Where the arms hang and the elbows bend, over the size of the arms' swing. Memory. */
const ARM = { mean: 0.25, elbowMean: 0.8, elbowSwing: 0.6, elbowLeast: 0.1 } as const;

/**
 * How pelvis, chest, head and arms turn over a stride, in rad, as exact series.
 *
 * The pelvis drops on the side that swings (list), turns with the leg that reaches forwards and tips a
 * little in every step; the chest turns against it, about the walk's lean; each arm swings with the
 * opposite leg, its elbow bending as it comes forwards; the head nods against the bob, so that it keeps its
 * face on one spot. Sizes follow the dimensionless speed and the step; a carried load stills arms and head.
 *
 * @param motion - a planned walk
 * @param options - how late each part is
 * @returns angles against the direction of travel, right-handed: heading left, roll left side up, pitch
 * front down
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, poseSeries } from 'underfoot';
 *
 * const { pelvis } = poseSeries(planWalk({ pace: 'ordinary' }));
 * const degrees = (Math.hypot(pelvis.roll.cos[0], pelvis.roll.sin[0]) * 180) / Math.PI;
 * console.log(degrees.toFixed(1)); // → 4.4
 * ```
 *
 * Source: list and rotation, Schwartz, Rozumalski & Trost 2008; what else has a size is from memory or
 * common practice, as said beside each number.
 */
export function poseSeries(motion: Walk, options: PoseOptions = {}): PoseSeries {
  const where = 'poseSeries';
  const walk = requireWalk(where, motion);
  requireRecord(where, 'options', options, ['delays']);
  const { delays = {} } = options;
  requireRecord(where, 'delays', delays, Object.keys(DELAYS));
  refuseAny(
    where,
    Object.entries(delays)
      .filter(([, value]) => value !== undefined)
      .map(([name, value]) => numberProblem(`delays.${name}`, value, { min: -0.5, max: 0.5 })),
  );
  return turnsOf(walk, {
    chest: delays.chest ?? DELAYS.chest,
    arms: delays.arms ?? DELAYS.arms,
    elbows: delays.elbows ?? DELAYS.elbows,
    head: delays.head ?? DELAYS.head,
  });
}

function turnsOf(walk: Walk, delays: Required<PoseDelays>): PoseSeries {
  const sizes = turnSizesOf(walk);
  const pelvis = {
    heading: waveSeries(walk, { perStride: 1, mean: 0, size: sizes.rotation, peak: 0 }),
    roll: waveSeries(walk, { perStride: 1, mean: 0, size: sizes.list, peak: 0.5 + LIST_PEAK }),
    pitch: waveSeries(walk, { perStride: 2, mean: 0, size: sizes.tilt, peak: TILT_PEAK }),
  };
  const follow = (series: Series, by: number, delay: number, mean: number): Series => ({
    ...delaySeries(scaleSeries(series, by), delay),
    mean,
  });
  const chest = {
    heading: follow(pelvis.heading, CHEST.heading, delays.chest, 0),
    roll: follow(pelvis.roll, CHEST.roll, delays.chest, walk.lean.roll),
    pitch: follow(pelvis.pitch, CHEST.pitch, delays.chest, walk.lean.pitch),
  };
  const steady = walk.spec.carry?.where === 'head' && walk.body.carried > 0 ? 0 : 1;
  const nod = 1 / (GAZE * walk.body.stature);
  return {
    pelvis,
    chest,
    head: {
      heading: follow(chest.heading, steady * HEAD.heading, delays.head, 0),
      roll: follow(chest.roll, steady * HEAD.roll, delays.head, 0),
      // High means looking down at the same spot; the root's rise and fall is what the neck rides on.
      pitch: follow(walk.centre.height, steady * nod * walk.root.rise, 0, 0),
    },
    arms: { left: armOf(walk, 'left', sizes.arms, delays), right: armOf(walk, 'right', sizes.arms, delays) },
  };
}

function armOf(walk: Walk, side: Side, fullSize: number, delays: Required<PoseDelays>): ArmTurns<Series> {
  const size = fullSize * armFreedom(walk, side);
  // Farthest back as its own side's foot lands, farthest forwards half a stride on, as the other one does.
  const back = side === 'right' ? 0 : 0.5;
  const pitch = waveSeries(walk, { perStride: 1, mean: ARM.mean * size, size, peak: back });
  const elbow = waveSeries(walk, {
    perStride: 1,
    mean: ARM.elbowLeast + ARM.elbowMean * size,
    size: ARM.elbowSwing * size,
    peak: back + 0.5,
  });
  return {
    pitch: delaySeries(pitch, delays.arms),
    elbow: delaySeries(elbow, delays.arms + delays.elbows),
  };
}
