import type { Side } from '../walk.js';
import type { ChosenContact } from './shot-spec.js';

/**
 * Steps as different as these fractions of their group's mean, in length and in time, begin another group;
 * lengths that differ by less than `least` leg lengths never do.
 */
const APART = { length: 0.1, least: 0.03, time: 0.12 } as const;

/** A run of steps alike. */
export interface StepGroup {
  /** How many steps it has. */
  readonly steps: number;
  /** Mean length in m, time in s and distance between the feet to the side in m. */
  readonly length: number;
  readonly time: number;
  readonly width: number;
}

/** A step between two contacts, seen in the direction in which the feet point. */
export interface ChosenStep {
  readonly foot: Side;
  readonly length: number;
  readonly time: number;
  readonly width: number;
  /** Mean heading of both feet in rad. */
  readonly heading: number;
}

/** The step onto each contact but the first. */
export function stepsBetween(contacts: readonly ChosenContact[]): ChosenStep[] {
  return contacts.slice(1).map((to, i) => {
    const from = contacts[i];
    const heading = ((from.plant.heading ?? 0) + (to.plant.heading ?? 0)) / 2;
    const [c, s] = [Math.cos(heading), Math.sin(heading)];
    const [x, y] = [to.plant.forward - from.plant.forward, to.plant.side - from.plant.side];
    return {
      foot: to.foot,
      length: x * c + y * s,
      time: to.land - from.land,
      width: (y * c - x * s) * (to.foot === 'left' ? 1 : -1),
      heading,
    };
  });
}

/**
 * Runs of steps alike, in order. Of a shot that starts or stops, the first and the last step are unlike the
 * others and belong to their neighbours.
 */
export function groupSteps(
  steps: readonly ChosenStep[],
  {
    starts,
    stops,
    legLength,
  }: { readonly starts: boolean; readonly stops: boolean; readonly legLength: number },
): StepGroup[] {
  const last = steps.length - 1;
  const full = (i: number): boolean => !(starts && i === 0) && !(stops && i === last);
  const groups: { members: ChosenStep[]; steps: number }[] = [];
  let waiting = 0;
  steps.forEach((step, i) => {
    const group = groups[groups.length - 1];
    if (!full(i)) {
      if (group) group.steps++;
      else waiting++;
      return;
    }
    if (group && isAlike(step, group.members, APART.least * legLength)) {
      group.members.push(step);
      group.steps++;
      return;
    }
    groups.push({ members: [step], steps: 1 + waiting });
    waiting = 0;
  });
  // Nothing but a first and a last step: they are the group.
  if (groups.length === 0) groups.push({ members: [...steps], steps: steps.length });
  return groups.map(({ members, steps: count }) => ({
    steps: count,
    length: meanOf(members, ({ length }) => length),
    time: meanOf(members, ({ time }) => time),
    width: meanOf(members, ({ width }) => width),
  }));
}

function isAlike(step: ChosenStep, members: readonly ChosenStep[], least: number): boolean {
  const length = meanOf(members, (member) => member.length);
  const time = meanOf(members, (member) => member.time);
  return (
    Math.abs(step.length - length) <= Math.max(least, APART.length * Math.abs(length)) &&
    Math.abs(step.time - time) <= APART.time * time
  );
}

/** Mean; of equal values exactly that value, so that a steady walk's steps give its own pace back. */
function meanOf(steps: readonly ChosenStep[], of: (step: ChosenStep) => number): number {
  const first = of(steps[0]);
  return first + steps.reduce((sum, step) => sum + (of(step) - first), 0) / steps.length;
}
