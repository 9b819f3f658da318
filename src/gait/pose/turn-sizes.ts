import { STEP_EXPONENT, STEP_FACTOR } from '../pace.js';
import type { Side, Walk } from '../walk.js';

const DEGREE = Math.PI / 180;

/** Dimensionless speeds that the published turning of the pelvis spans. */
const MEASURED = { min: 0.172, max: 0.694 } as const;

/** Steps of the pace's own length turn the body as published; longer ones more, within these factors. */
const STEP_RATIO = { min: 0.4, max: 1.6 } as const;

const clamp = (x: number, { min, max }: { readonly min: number; readonly max: number }): number =>
  Math.min(Math.max(x, min), max);

/** How far the parts of the body turn to either side, in rad. */
export interface TurnSizes {
  /** Drop of the pelvis on the side that swings. */
  readonly list: number;
  /** Of the pelvis about the vertical. */
  readonly rotation: number;
  /** Of the pelvis forwards and back. */
  readonly tilt: number;
  /** Of the arms from the shoulder. */
  readonly arms: number;
}

/**
 * Sizes of the turns for a walk's speed, constant beyond the measured speeds: list and half the range of
 * rotation are least-squares parabolas through the published values, which they meet within 0.15 and 0.17
 * degrees.
 *
 * Source: Schwartz, Rozumalski & Trost 2008, pelvic list 3.0, 3.4, 4.4, 5.5, 6.4 and rotation range 13, 12,
 * 12, 15, 19 degrees at dimensionless speeds 0.172, 0.290, 0.429, 0.560, 0.694. Tilt, about 3 degrees from
 * one end to the other, and the arms' 32 degrees (after Murray) at an ordinary pace are from memory.
 */
export function turnSizesOf(walk: Walk): TurnSizes {
  const { dimensionlessSpeed, stepLength } = walk.pace;
  const v = clamp(dimensionlessSpeed, MEASURED);
  const ownStep = STEP_FACTOR * dimensionlessSpeed ** STEP_EXPONENT * walk.body.legLength;
  const longer = clamp(stepLength / ownStep, STEP_RATIO);
  return {
    list: DEGREE * (2.21 + 3.485 * v + 3.82 * v * v),
    rotation: (DEGREE / 2) * (17.492 - 35.198 * v + 54.019 * v * v) * longer,
    tilt: DEGREE * 3.5 * v,
    arms: DEGREE * 37.3 * v * longer,
  };
}

/** What is left of an arm's swing where it carries something. Common practice, no source. */
export function armFreedom(walk: Walk, side: Side): number {
  const { carry } = walk.spec;
  if (!carry || carry.mass === 0) return 1;
  if (carry.where === 'front') return 0.1;
  if (carry.where === side) return 0.35;
  return carry.where === 'head' ? 0.7 : 1;
}
