import { eventFractions } from '../feet/walk-events.js';
import type { Shot, ShotStep } from '../shot/shot.js';
import type { Side } from '../walk.js';
import { ON_FRAME } from './shot-frames.js';

/** When a foot stands once, in s: as the keys have it. */
export interface StanceTimes {
  readonly land: number;
  readonly flat: number;
  readonly heelOff: number;
  readonly lift: number;
}

/** Fewest frames in the air: with fewer there is no frame to clear the floor in. */
const LEAST_SWING = 2;

/** The times of every stance of a foot, and whether they are on whole frames. */
export interface FootStances {
  readonly times: readonly StanceTimes[];
  readonly onFrames: boolean;
}

/** A foot's stances with their own times: foot-flat and heel-off as far from landing and lift as in the walk. */
function exactStances(shot: Shot, side: Side): (StanceTimes & Pick<ShotStep, 'ends'>)[] {
  return shot.steps
    .filter(({ foot }) => foot === side)
    .map((step) => {
      const { land, lift } = step;
      const { flat, heelOff } = eventsOf(shot, step);
      return { land, flat: land + flat, heelOff: step.ends ? lift : lift - heelOff, lift, ends: step.ends };
    });
}

/** How long after landing the foot is flat, and how long before lift its heel rises. */
function eventsOf(
  { cycles }: Shot,
  { cycle, foot, land, lift }: ShotStep,
): { flat: number; heelOff: number } {
  const walk = cycles[cycle];
  const own = eventFractions(walk, foot);
  const usual = own.lift * walk.pace.strideTime;
  const stands = Math.min(lift - land, usual);
  return { flat: (own.flat / own.lift) * stands, heelOff: (1 - own.heelOff / own.lift) * stands };
}

/**
 * Whole frames where every swing has at least two of them: landing moves to the frame at or before it, so that a foot
 * is still for all of its contact, and flat, heel-off and lift to the frames at or after them. Else the exact times.
 */
export function footStances(shot: Shot, side: Side, fps: number | undefined, last: number): FootStances {
  const exact = exactStances(shot, side);
  if (fps === undefined) return { times: exact, onFrames: false };
  // Adding 0 leaves no −0.
  const after = (t: number): number => Math.ceil(t * fps - ON_FRAME) + 0;
  const before = (t: number): number => Math.floor(t * fps + ON_FRAME) + 0;
  const times: StanceTimes[] = [];
  let lifted = Number.NEGATIVE_INFINITY;
  for (const { land, flat, heelOff, lift, ends } of exact) {
    const landAt = before(land);
    const liftAt = ends ? Math.max(after(lift), last) : after(lift);
    if (landAt - lifted < LEAST_SWING || liftAt - landAt < 2) return { times: exact, onFrames: false };
    const flatAt = Math.max(landAt + 1, Math.min(after(flat), liftAt - 1));
    const peelAt = ends ? liftAt : Math.max(flatAt, Math.min(after(heelOff), liftAt - 1));
    times.push({ land: landAt / fps, flat: flatAt / fps, heelOff: peelAt / fps, lift: liftAt / fps });
    lifted = liftAt;
  }
  return { times, onFrames: true };
}
