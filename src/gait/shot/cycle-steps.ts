import { wrapPhase } from '../share.js';
import type { Side, Walk } from '../walk.js';

/** The other foot. */
export function otherFoot(foot: Side): Side {
  return foot === 'left' ? 'right' : 'left';
}

/** Fraction of the stride that the step onto a foot takes. */
export function gapOnto(walk: Walk, foot: Side): number {
  return wrapPhase(walk.stance[foot].contact - walk.stance[otherFoot(foot)].contact);
}

/** Time in s of the step onto a foot. */
export function stepTimeOnto(walk: Walk, foot: Side): number {
  return gapOnto(walk, foot) * walk.pace.strideTime;
}

/** How far in m even progress goes in the step onto a foot. */
export function advanceOnto(walk: Walk, foot: Side): number {
  return gapOnto(walk, foot) * walk.pace.strideLength;
}

/** How far in m a foot lands in front of even progress, which is at 0 at phase 0. */
export function leadOf(walk: Walk, foot: Side): number {
  const { forward, contact } = walk.stance[foot];
  return forward - contact * walk.pace.strideLength;
}

/** How long in s a foot stays down after the other has landed. */
export function overlapOf(walk: Walk, foot: Side): number {
  return (walk.stance[foot].fraction - gapOnto(walk, otherFoot(foot))) * walk.pace.strideTime;
}

/** How long in s a foot is in the air. */
export function swingTimeOf(walk: Walk, foot: Side): number {
  return (1 - walk.stance[foot].fraction) * walk.pace.strideTime;
}
