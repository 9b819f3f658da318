import { numberProblem, type Problem } from '../internal/check.js';
import { stanceOf } from './dials.js';
import { stanceFractionFor } from './stance.js';
import type { Body, Pace, Side, Sides, Stance, WalkSpec } from './walk.js';

/** Step width over leg length (Donelan, Kram & Kuo 2001: people prefer 0.13, least effort at 0.12). */
export const STEP_WIDTH = 0.13;

/** Shortest double support in strides; below it the hand-over between the feet would be a blow. */
export const LEAST_DOUBLE_SUPPORT = 0.005;

/** When and where both feet stand, from the pace, the dials and what sets the sides apart. */
export function placeFeet(spec: WalkSpec, body: Body, pace: Pace): Sides<Stance> {
  const common = stanceOf(spec, stanceFractionFor(pace.dimensionlessSpeed));
  const half = (spec.stepWidth ?? STEP_WIDTH * body.legLength) / 2;
  const first: Side = spec.firstFoot ?? 'right';
  const second: Side = first === 'right' ? 'left' : 'right';
  const onto = ontoSecond(spec, first, second);
  const stanceFor = (side: Side): Stance => ({
    contact: side === first ? 0 : onto.time / 2,
    fraction: spec.uneven?.[side]?.stanceFraction ?? common,
    forward: side === first ? 0 : onto.length * pace.stepLength,
    side: side === 'left' ? half : -half,
  });
  return { left: stanceFor('left'), right: stanceFor('right') };
}

/** Length and time of the step onto the second foot, over the mean; the step back takes what is left of 2. */
function ontoSecond(spec: WalkSpec, first: Side, second: Side): { length: number; time: number } {
  const [a, b] = [spec.uneven?.[first], spec.uneven?.[second]];
  return {
    length: b?.stepLength ?? (a?.stepLength === undefined ? 1 : 2 - a.stepLength),
    time: b?.stepTime ?? (a?.stepTime === undefined ? 1 : 2 - a.stepTime),
  };
}

/** Whether both halves of the stride are alike. */
export function isSymmetric(spec: WalkSpec, stance: Sides<Stance>, pace: Pace): boolean {
  const { left, right } = stance;
  return (
    spec.uneven === undefined ||
    (left.fraction === right.fraction &&
      Math.abs(left.contact - right.contact) === 0.5 &&
      Math.abs(left.forward - right.forward) === pace.stepLength &&
      shareOfRight(spec) === undefined)
  );
}

/** Fraction of the load that the right foot is asked to take, where one was asked for. */
export function shareOfRight(spec: WalkSpec): number | undefined {
  const { left, right } = spec.uneven ?? {};
  if (right?.loadShare !== undefined) return right.loadShare;
  return left?.loadShare === undefined ? undefined : 1 - left.loadShare;
}

/** A problem where a foot would land after the other has left. */
export function supportProblem(stance: Sides<Stance>): Problem | undefined {
  const { left, right } = stance;
  const gap = (from: number, to: number): number => to - from - Math.floor(to - from);
  const afterLeft = left.fraction - gap(left.contact, right.contact);
  const afterRight = right.fraction - gap(right.contact, left.contact);
  const least = Math.min(afterLeft, afterRight);
  const problem = numberProblem('stance', least, { min: LEAST_DOUBLE_SUPPORT });
  if (!problem) return undefined;
  const rule = `must leave both double supports at least ${LEAST_DOUBLE_SUPPORT} of the stride`;
  return { ...problem, rule };
}
