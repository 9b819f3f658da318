import { bodyProblems } from '../gait/body.js';
import { planWalk } from '../gait/plan-walk.js';
import { sampleReactions } from '../gait/reactions.js';
import type { BodySpec, Force, Walk, WalkSpec } from '../gait/walk.js';
import { refuseAny, requireNumber, requireRecord } from '../internal/check.js';
import { averageStride } from './average-stride.js';
import { compareLinedUp, type ReactionComparison, rmsOver } from './compare-reactions.js';
import { legOfStep } from './leg-of-step.js';
import { lineUp } from './line-up.js';
import { requireRecording } from './measure-steps.js';
import type { PlateRecording } from './recording.js';
import { searchBox } from './search-box.js';

/** What the forces do not say. */
export interface WalkFitOptions {
  /** Mean speed in m/s, > 0: the belt's, or the walker's. */
  readonly speed: number;
  /** The body; its mass comes from the weight unless given. Without leg length or stature, the leg is the one that takes such steps at this speed by the default law; see `legOfStep`. */
  readonly body?: BodySpec;
}

/** A planned walk that explains measured forces, and how well. */
export interface WalkFit {
  readonly walk: Walk;
  /** Strides that the measured forces were averaged over. */
  readonly strides: number;
  /** Root mean square of measured less modelled force in BW, of single feet and of both together. */
  readonly residual: { readonly feet: Force<number>; readonly total: Force<number> };
  /** The same with every dial left at its default: what the fit has gained. */
  readonly unfitted: { readonly feet: Force<number>; readonly total: Force<number> };
  /** The measured stride (a) against the walk's (b). */
  readonly comparison: ReactionComparison;
  /** Walks that were tried. */
  readonly tried: number;
}

/** Dials that are fitted, with their limits and first steps; in this order. */
const DIALS = [
  { name: 'stanceFraction', min: 0.51, max: 0.85, step: 0.01 },
  { name: 'swing', min: 0, max: 4, step: 0.2 },
  { name: 'linger', min: 0, max: 1, step: 0.1 },
  { name: 'recovery', min: 0, max: 1, step: 0.1 },
] as const;

/** Even phases that the fit compares at. */
const SAMPLES = 120;

/**
 * The walk whose forces come closest to a recording's mean stride, with the residual in BW.
 *
 * Stride time is the measured one, stride length follows from the speed. Stance fraction, swing, linger,
 * recovery are fitted by a search within their limits for the
 * least squared difference of the feet's vertical and fore-aft forces and of the total load; at most 1500
 * walks are tried.
 *
 * @param recording - what `readPlates` returned
 * @param options - speed, and the body where it is known
 * @returns the walk, residuals with and without the fitted dials, and the comparison
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, readPlates, walkFromPlates, writePlates } from 'underfoot';
 *
 * const walk = planWalk({ pace: { speed: 1.3 }, swing: 1.3, body: { legLength: 0.9 } });
 * const recording = readPlates(writePlates(walk), { lowPass: false });
 * const fit = walkFromPlates(recording, { speed: 1.3, body: { legLength: 0.9 } });
 * console.log(fit.walk.spec.swing!.toFixed(1), fit.residual.total.vertical < 0.01); // → 1.3 true
 * ```
 */
export function walkFromPlates(recording: PlateRecording, options: WalkFitOptions): WalkFit {
  const where = 'walkFromPlates';
  requireRecording(where, recording);
  requireRecord(where, 'options', options, ['speed', 'body']);
  const { speed, body = {} } = options;
  requireNumber(where, 'speed', speed, { above: 0, unit: 'm/s' });
  refuseAny(where, bodyProblems(options.body));
  const stride = averageStride(recording, { samples: 2 * SAMPLES });
  const measured = lineUp(where, 'recording', stride, SAMPLES);
  const { strideTime } = stride;
  const gravity = recording.gravity;
  const mass = body.mass ?? recording.newtonsPerBodyWeight / gravity;
  const legGiven = body.legLength !== undefined || body.stature !== undefined;
  const leg = legGiven ? {} : { legLength: legOfStep(speed, (speed * strideTime) / 2, gravity) };
  const base: WalkSpec = {
    pace: { speed, strideRate: 1 / strideTime },
    body: { ...body, mass, ...leg },
    gravity,
  };
  const specOf = (x: readonly number[]): WalkSpec => ({
    ...base,
    stanceFraction: x[0],
    swing: x[1],
    linger: x[2],
    recovery: x[3],
  });
  const lined = (walk: Walk) =>
    lineUp(where, 'walk', sampleReactions(walk, { samples: 2 * SAMPLES }), SAMPLES);
  const rmsOf = (walk: Walk) => {
    const table = lined(walk);
    return {
      feet: rmsOver(measured, table, ['left', 'right']),
      total: rmsOver(measured, table, ['total']),
    };
  };
  const cost = (x: readonly number[]): number => {
    const { feet, total } = rmsOf(planWalk(specOf(x)));
    return feet.vertical ** 2 + feet.forward ** 2 + total.vertical ** 2;
  };
  const plain = planWalk(base);
  const { left, right } = measured.events;
  const stance = Math.min(0.84, Math.max(0.52, (left.lift - left.land + right.lift - right.land) / 2));
  const found = searchBox(cost, [stance, 1, 0, 0], DIALS, 1500);
  const walk = planWalk(specOf(found.at));
  return {
    walk,
    strides: stride.strides,
    residual: rmsOf(walk),
    unfitted: rmsOf(plain),
    comparison: compareLinedUp(measured, lined(walk)),
    tried: found.tried,
  };
}
