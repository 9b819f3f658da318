import type { BodySpec, CarrySpec, PaceName, PaceSpec, Side, WalkSpec } from '../walk.js';

/**
 * One stretch of a shot: how far it goes, and at what pace. Every dial of `planWalk` may
 * be given with it; exactly one of `distance`, `duration` and `steps` is.
 */
export interface ShotStretch extends Omit<WalkSpec, 'pace' | 'body' | 'gravity' | 'firstFoot' | 'carry'> {
  /** Pace to come to. Default that of the stretch before, else `ordinary`. */
  readonly pace?: PaceName | PaceSpec;
  /** How far it goes along the path of the body, in m, > 0. Steps are lengthened or shortened to fit. */
  readonly distance?: number;
  /** How long it takes in s, > 0. Steps are quickened or slowed to fit, at the same speed. */
  readonly duration?: number;
  /** How many steps it has, whole, ≥ 1; a step that closes beside the other foot counts. */
  readonly steps?: number;
}

/** How a shot begins or ends. */
export type ShotEnd = 'standing' | 'walking';

/** What to plan. Plain numbers in SI units; every field but `stretches` optional. */
export interface ShotSpec {
  readonly body?: BodySpec;
  /** Gravity in m/s², > 0. Default 9.80665. */
  readonly gravity?: number;
  /** What is carried throughout. */
  readonly carry?: CarrySpec;
  /** How it begins. Default `standing`. */
  readonly from?: ShotEnd;
  /** How it ends. Default `standing`. */
  readonly to?: ShotEnd;
  /** The foot that steps first, or whose contact the shot begins with. Default `right`. */
  readonly firstFoot?: Side;
  /** Time in s of standing still before the first step and after the last, ≥ 0. Default 0. */
  readonly still?: { readonly before?: number; readonly after?: number };
  /** The stretches, in order. */
  readonly stretches: readonly ShotStretch[];
}
