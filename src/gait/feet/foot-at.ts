import type { Jet } from '../../curves/series.js';
import { requireChoice, requireNumber, requireRecord } from '../../internal/check.js';
import { requireWalk } from '../motion.js';
import { wrapPhase } from '../share.js';
import type { Channels, Side, Walk } from '../walk.js';
import {
  BEND,
  FOOT_NUMBERS,
  FORWARD,
  type FootPath,
  HEIGHT,
  makeFootPath,
  PITCH,
  SIDE,
} from './foot-path.js';
import { type FootPoint, heelOf, toeOf } from './foot-shape.js';
import { eventFractions } from './walk-events.js';

/** Whether feet are given in the world, or slide back under a character who stays where he is. */
export type FootSpace = 'travelling' | 'onTheSpot';

/** The choices of space, in the order of the type. */
export const FOOT_SPACES: readonly FootSpace[] = ['travelling', 'onTheSpot'];

/** How to look at a foot. */
export interface FootOptions {
  /** Default `travelling`. */
  readonly space?: FootSpace;
}

/** A foot at one time: value, velocity and acceleration of its ball, its turning, and its ends. */
export interface FootPose extends Channels<Jet> {
  /** Of the foot from heel to ball, in rad; positive with the front down. */
  readonly pitch: Jet;
  /** Of the toes against the foot, in rad; positive with the toes up. */
  readonly toeBend: Jet;
  /** Back of the heel, in m. */
  readonly heel: FootPoint;
  /** Tip of the toes, in m. */
  readonly toe: FootPoint;
  /** Whether the foot is on the floor, from contact to lift. */
  readonly standing: boolean;
}

/** The foot's exact path, with the walk's own timing. */
export function exactFootPath(walk: Walk, side: Side): FootPath {
  const { strideTime } = walk.pace;
  const { flat, heelOff, lift } = eventFractions(walk, side);
  return makeFootPath(walk, side, {
    flat: flat * strideTime,
    heelOff: heelOff * strideTime,
    lift: lift * strideTime,
    next: strideTime,
  });
}

/**
 * One foot of a walk at one time: its ball in m, pitch and toe bend in rad with two derivatives, heel and
 * toe in m.
 *
 * The foot lands on its heel, which stays still until the sole is flat; then its ball stays still until it
 * lifts, while the heel peels off and the toes bend. Through the air it follows polynomials of fifth degree
 * whose toe is nearest to the floor, 0.021 leg lengths above it, at 51 % of swing. Exact; position and
 * velocity are continuous throughout, acceleration except at landing, flat, heel-off and lift.
 *
 * @param motion - a planned walk
 * @param side - which foot
 * @param t - time in s, any finite number; the walk repeats and travels on
 * @param options - in the world, or on the spot
 * @returns the pose; the ball is where the toes bend, 0.109 statures in front of the back of the heel
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { footAt, planWalk } from 'underfoot';
 *
 * const walk = planWalk({ pace: 'ordinary' });
 * const midSwing = (0.597 + 0.51 * 0.403) * walk.pace.strideTime;
 * const { toe, heel } = footAt(walk, 'right', midSwing);
 * console.log(toe.height.toFixed(3), heel.height > toe.height); // → 0.019 true
 * ```
 *
 * Source: least clearance and its time, Moosabhoy & Gard 2006; size of foot, Drillis & Contini 1966, and
 * angles at landing and lift, about 20 and 55 degrees in adults at an ordinary pace, from memory.
 */
export function footAt(motion: Walk, side: Side, t: number, options: FootOptions = {}): FootPose {
  const where = 'footAt';
  const walk = requireWalk(where, motion);
  requireChoice(where, 'side', side, ['left', 'right']);
  requireNumber(where, 't', t, { unit: 's' });
  requireRecord(where, 'options', options, ['space']);
  const space = requireChoice(where, 'space', options.space ?? 'travelling', FOOT_SPACES);
  const path = exactFootPath(walk, side);
  const { contact, forward } = walk.stance[side];
  const { strideTime, strideLength, speed } = walk.pace;
  const turns = t / strideTime - contact;
  const fraction = wrapPhase(turns);
  // Whole strides are what is left, so that rounding cannot put a foot a stride back.
  const strides = Math.round(turns - fraction);
  const since = fraction * strideTime;
  const out = new Float64Array(FOOT_NUMBERS);
  path.write(since, out);
  out[FORWARD] += forward + strides * strideLength;
  if (space === 'onTheSpot') {
    out[FORWARD] -= speed * t;
    out[FORWARD + 1] -= speed;
  }
  const jet = (at: number): Jet => ({ value: out[at], velocity: out[at + 1], acceleration: out[at + 2] });
  const place = {
    forward: out[FORWARD],
    side: out[SIDE],
    height: out[HEIGHT],
    pitch: out[PITCH],
    toeBend: out[BEND],
  };
  return {
    height: jet(HEIGHT),
    forward: jet(FORWARD),
    side: jet(SIDE),
    pitch: jet(PITCH),
    toeBend: jet(BEND),
    heel: heelOf(place, path.shape),
    toe: toeOf(place, path.shape),
    standing: since <= path.timing.lift,
  };
}
