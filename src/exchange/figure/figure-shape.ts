import type { Body } from '../../gait/walk.js';

/**
 * Sizes of the preview figure in m: a plain wooden figure of our own, for seeing a motion and nothing more.
 * Lengths of limbs over stature are those of Drillis & Contini (1966, in Winter, Biomechanics; memory).
 */
export interface FigureShape {
  readonly hipWidth: number;
  readonly ankleHeight: number;
  /** From the back of the heel to below the ankle. */
  readonly ankleForward: number;
  readonly thigh: number;
  readonly shin: number;
  readonly trunk: number;
  readonly shoulderWidth: number;
  readonly upperArm: number;
  readonly lowerArm: number;
  readonly neck: number;
  readonly headRadius: number;
  readonly limbRadius: number;
}

/** The figure of a body whose legs reach `reach` m from hip to ankle at the farthest. */
export function figureShapeOf(body: Body, reach: number): FigureShape {
  const { stature, legLength } = body;
  const ankleHeight = 0.039 * stature;
  // A hair longer than the farthest reach, so that the knee never locks and the solver always has a plane.
  const leg = Math.max(legLength - ankleHeight, reach * 1.002);
  return {
    hipWidth: 0.1 * stature,
    ankleHeight,
    ankleForward: 0.04 * stature,
    thigh: 0.5 * leg,
    shin: 0.5 * leg,
    trunk: 0.288 * stature,
    shoulderWidth: 0.22 * stature,
    upperArm: 0.186 * stature,
    lowerArm: 0.2 * stature,
    neck: 0.052 * stature,
    headRadius: 0.062 * stature,
    limbRadius: 0.032 * stature,
  };
}
