import { requireShot } from '../motion.js';
import type { Side, Sides } from '../walk.js';
import type { Shot, ShotStep } from './shot.js';

/** A foot's way through the air, from one standing to the next. */
export interface Swing {
  /** Where it comes from and where it goes. */
  readonly from: ShotStep;
  readonly to: ShotStep;
  /** When it leaves the floor and when it lands, in s. */
  readonly lift: number;
  readonly land: number;
}

/** One foot through the whole shot. */
export interface FootSpans {
  /** Every standing, in order. */
  readonly stances: readonly ShotStep[];
  /** What lies between them: one fewer. */
  readonly swings: readonly Swing[];
}

/**
 * Each foot's standings and swings through a whole shot, in order of time.
 *
 * @param motion - a planned shot
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { footSpans, planShot } from 'underfoot';
 *
 * const { left, right } = footSpans(planShot({ stretches: [{ steps: 5 }] }));
 * console.log(left.stances.length, right.swings.length); // → 3 3
 * ```
 */
export function footSpans(motion: Shot): Sides<FootSpans> {
  const { steps } = requireShot('footSpans', motion);
  const spansOf = (foot: Side): FootSpans => {
    const stances = steps.filter((step) => step.foot === foot);
    const swings = stances
      .slice(1)
      .map((to, i) => ({ from: stances[i], to, lift: stances[i].lift, land: to.land }));
    return { stances, swings };
  };
  return { left: spansOf('left'), right: spansOf('right') };
}
