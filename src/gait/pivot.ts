import { COEFFICIENTS, measuredSpeed } from './coefficients.js';
import { pressureProgress } from './pressure.js';
import { wrapPhase } from './share.js';
import type { Body, Pivot, Side, Stance } from './walk.js';

/** Where the floor's forces aim, for a body and a dimensionless speed. */
export function pivotFor(body: Body, dimensionlessSpeed: number): Pivot {
  const { pivot, landing, pushOff, sideLanding, middleSpeed } = COEFFICIENTS;
  const { legLength } = body;
  const faster = measuredSpeed(dimensionlessSpeed) - middleSpeed;
  return {
    forwardHeight: pivot.forwardHeight * legLength,
    sideHeight: pivot.sideHeight * legLength,
    pressureTravel: pivot.pressureTravel * legLength,
    sideTravel: pivot.sideTravel * legLength,
    landing: {
      size: landing.size + landing.growth * faster,
      until: landing.until + landing.untilGrowth * faster,
    },
    pushOff: { size: pushOff.size + pushOff.growth * faster, from: pushOff.from },
    sideLanding: { size: sideLanding.size + sideLanding.growth * faster, until: sideLanding.until },
  };
}

const square = (x: number): number => x * x;

/**
 * Distance in m from a standing foot's centre of pressure forwards to a centre of mass that goes evenly and
 * is at 0 at phase 0.
 */
export function aheadOfPressure(stance: Stance, pivot: Pivot, phase: number, strideLength: number): number {
  const since = wrapPhase(phase - stance.contact);
  const pressure = stance.forward + pivot.pressureTravel * pressureProgress(since / stance.fraction);
  return strideLength * (stance.contact + since) - pressure;
}

/**
 * Moment arm in m of a standing foot's fore-aft force about the pivot, with the centre of mass taken as
 * going evenly and being at 0 at phase 0: centre − pressure, and what the aim adds at landing and push-off.
 */
export function forwardArm(stance: Stance, pivot: Pivot, phase: number, strideLength: number): number {
  const u = wrapPhase(phase - stance.contact) / stance.fraction;
  const { landing, pushOff } = pivot;
  let arm = aheadOfPressure(stance, pivot, phase, strideLength);
  if (u < landing.until) arm += pivot.forwardHeight * landing.size * square(1 - u / landing.until);
  if (u > pushOff.from) {
    arm += pivot.forwardHeight * pushOff.size * square((u - pushOff.from) / (1 - pushOff.from));
  }
  return arm;
}

/**
 * Moment arm in m of a standing foot's sideways force about the pivot, with the centre of mass taken as
 * being at 0: the pressure starts beside the heel and goes towards the other foot, and the landing foot is
 * pushed outwards for a moment.
 */
export function sideArm(side: Side, stance: Stance, pivot: Pivot, phase: number): number {
  const u = wrapPhase(phase - stance.contact) / stance.fraction;
  const { sideLanding } = pivot;
  // Inwards is towards the other foot: to the left for the right one.
  const inwards = side === 'right' ? 1 : -1;
  let arm = -stance.side - inwards * pivot.sideTravel * (Math.min(u, 1) - 0.5);
  if (u < sideLanding.until) {
    arm += inwards * pivot.sideHeight * sideLanding.size * square(1 - u / sideLanding.until);
  }
  return arm;
}
