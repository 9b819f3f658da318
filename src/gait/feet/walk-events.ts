import { requireWalk } from '../motion.js';
import { wrapPhase } from '../share.js';
import type { Side, Sides, Walk } from '../walk.js';

/** When something happens to a foot. */
export interface EventTime {
  /** Phase of the stride, in [0, 1). */
  readonly phase: number;
  /** Time in s: that of the foot's contact in the first stride, plus what has passed since. */
  readonly time: number;
  /** Fraction of the stride since the foot's contact, in [0, 1). */
  readonly sinceContact: number;
}

/** One foot's stride. The order is that of an even walk; a limp may exchange what the other foot does. */
export interface FootEvents {
  /** The heel lands. */
  readonly contact: EventTime;
  /** The whole sole is down. */
  readonly flat: EventTime;
  /** The other foot leaves the floor: single support begins. */
  readonly oppositeLift: EventTime;
  /** The middle of stance. */
  readonly midStance: EventTime;
  /** The heel begins to peel off the floor. */
  readonly heelOff: EventTime;
  /** The other foot lands: double support begins. */
  readonly oppositeContact: EventTime;
  /** The foot leaves the floor (toe-off). */
  readonly lift: EventTime;
  /** The middle of swing. */
  readonly midSwing: EventTime;
}

/**
 * Foot-flat, mid-stance and heel-off over stance: 10, 30 and 40 % of a stride whose stance is 60 %, the
 * teaching norm.
 */
const OF_STANCE = { flat: 1 / 6, midStance: 1 / 2, heelOff: 2 / 3 } as const;

/** How much later, over stance, the heel of full heft peels off. Common practice, no source. */
const PEEL_LATE = 0.1;

/** Fractions of the stride since a foot's contact at which its events fall. */
export function eventFractions(walk: Walk, side: Side): Readonly<Record<keyof FootEvents, number>> {
  const own = walk.stance[side];
  const other = walk.stance[side === 'left' ? 'right' : 'left'];
  const { fraction } = own;
  const peel = OF_STANCE.heelOff + PEEL_LATE * (walk.spec.heft ?? 0);
  return {
    contact: 0,
    flat: OF_STANCE.flat * fraction,
    oppositeLift: wrapPhase(other.contact + other.fraction - own.contact),
    midStance: OF_STANCE.midStance * fraction,
    heelOff: peel * fraction,
    oppositeContact: wrapPhase(other.contact - own.contact),
    lift: fraction,
    midSwing: (1 + fraction) / 2,
  };
}

/**
 * When each foot lands, is flat, peels and lifts, and when the other one does: phases, and times in s.
 *
 * Contact and lift are the walk's own stance; foot-flat, mid-stance and heel-off keep their place in it,
 * and mid-swing is halfway from lift to the next contact. Heft delays heel-off.
 *
 * @param motion - a planned walk
 * @returns each foot's events; times rise from its own contact in the first stride and may pass its end
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, walkEvents } from 'underfoot';
 *
 * const { right } = walkEvents(planWalk({ pace: 'ordinary', stanceFraction: 0.6 }));
 * const percent = [right.flat, right.midStance, right.heelOff, right.lift, right.midSwing];
 * console.log(percent.map(({ phase }) => Math.round(100 * phase)).join(' ')); // → 10 30 40 60 80
 * ```
 *
 * Source: the teaching norm of clinical gait (contact 0, flat 10, mid-stance 30, heel-off 40, toe-off 60,
 * mid-swing 80 % of the stride), scaled with the stance.
 */
export function walkEvents(motion: Walk): Sides<FootEvents> {
  const walk = requireWalk('walkEvents', motion);
  const { strideTime } = walk.pace;
  const eventsOf = (side: Side): FootEvents => {
    const { contact } = walk.stance[side];
    const at = (since: number): EventTime => ({
      phase: wrapPhase(contact + since),
      time: (contact + since) * strideTime,
      sinceContact: since,
    });
    const fractions = Object.entries(eventFractions(walk, side));
    return Object.fromEntries(fractions.map(([name, since]) => [name, at(since)])) as unknown as FootEvents;
  };
  return { left: eventsOf('left'), right: eventsOf('right') };
}
