import { errorOf } from '../../internal/check.js';
import type { Shot } from '../shot/shot.js';
import { type AxisStep, type INTO_RUN, judgeStep, stepBetween } from './change-step.js';
import type { Joint } from './joint.js';

/** How much longer or shorter a step between the gaits may be than it would be by itself; the best of these is taken. */
const TRIED = Array.from({ length: 23 }, (_, i) => 0.5 + 0.05 * i);

/** How much grip counts beside load when the best is chosen, and a leg length by which the root has to go down. By eye. */
const GRIP_COUNTS = 2;
const LOWERING_COUNTS = 20;

/** A horizontal force that a shoe holds, over the vertical one. Memory: 0.5 to 0.8 on dry floors. */
const GRIP = 0.6;

/** How much too high a root is for a leg that reaches so far ahead or behind, in leg lengths; 0 where it is not. */
export function tooHigh(root: number, flat: number, legLength: number): number {
  const reach = Math.sqrt(Math.max(0, legLength * legLength - flat * flat));
  return Math.max(0, root - reach) / legLength;
}

/** A step between the gaits. */
export interface ChangeStep {
  readonly span: number;
  readonly along: AxisStep;
  readonly beside: AxisStep;
  readonly height: AxisStep;
  readonly grip: number;
}

/** A step that is tried, and by how many leg lengths the root would have to go down for it. */
export type TriedStep = Omit<ChangeStep, 'grip'> & { readonly lowered: number };

/** The step over a time from a state to another, along all three axes. */
export function stepOf(
  from: Omit<Joint, 'root'>,
  to: Omit<Joint, 'root'>,
  span: number,
  gravity: number,
  shapes: typeof INTO_RUN,
): Omit<ChangeStep, 'grip'> {
  const axis = (name: 'along' | 'beside' | 'height', weight: 0 | 1): AxisStep =>
    stepBetween(from[name], to[name], span, { gravity, weight, shapes });
  return { span, along: axis('along', 0), beside: axis('beside', 0), height: axis('height', 1) };
}

/** The step of the least load and grip among those in which no foot has to pull. */
export function bestStep(field: string, usual: number, make: (span: number) => TriedStep): ChangeStep {
  let found: ChangeStep | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const by of TRIED) {
    const { lowered, ...step } = make(by * usual);
    const judged = judgeStep(step.height, step.along);
    if (judged.least < -1e-9) continue;
    const cost = judged.most + GRIP_COUNTS * judged.grip + LOWERING_COUNTS * lowered;
    if (cost >= least) continue;
    least = cost;
    found = { ...step, grip: judged.grip };
  }
  if (found) return found;
  throw errorOf('planRunShot', {
    field,
    rule: 'must change pace so gently that no foot has to pull',
    got: 'a change in which one would',
    kind: 'range',
  });
}

/** A note where the floor has to hold more than floors do. */
export function gripNotes(...steps: readonly ChangeStep[]): Shot['notes'] {
  const grip = Math.max(...steps.map((step) => step.grip));
  if (grip <= GRIP) return [];
  return [
    {
      code: 'needs-grip',
      text: `Changing gait needs a floor that holds ${grip.toFixed(2)} of the load sideways; ${GRIP} is usual.`,
      values: { grip, limit: GRIP },
    },
  ];
}
