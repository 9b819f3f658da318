import { resolveBody, STANDARD_GRAVITY } from '../body.js';
import type { Note } from '../note.js';
import { planWalk } from '../plan-walk.js';
import type { Walk } from '../walk.js';
import { type ChosenStep, groupSteps, type StepGroup, stepsBetween } from './chosen-groups.js';
import { stepTimeOnto, swingTimeOf } from './cycle-steps.js';
import { calmWalk, type Easing, easeWalk } from './keep-load.js';
import type { Course, Layout, ShotNode } from './lay-nodes.js';
import { rateBetween } from './rates.js';
import type { ChosenContact, ChosenSpec } from './shot-spec.js';

/** A node in the fixed axes: where the centre of mass is above the floor plan, how fast, and its heading. */
export interface PlanNode extends ShotNode {
  readonly forward: number;
  readonly side: number;
  readonly forwardRate: number;
  readonly sideRate: number;
  readonly heading: number;
}

/** Chosen contacts, laid out. */
export interface ChosenLayout extends Layout {
  readonly nodes: readonly PlanNode[];
  /** When the weight begins to shift, in s. */
  readonly before: number;
}

/** Fraction of its neighbour's speed that the body has at the first contact after standing and the last before. */
const EDGE = { start: 0.7, stop: 0.65 } as const;

/** Shift of weight before the first step over a step's time, and close of the last over its coming to rest. */
const SHIFT = 0.9;
const CLOSE = 0.95;

/** The least step of a walk that chosen contacts are walked with, in leg lengths. */
const LEAST_STEP = 0.05;

/** How closely a chosen step has to be the walk's own to be it, in m, s and rad. */
const OWN = 1e-9;

/** The walks of chosen contacts: one for each run of steps alike. */
export function chosenCourse(
  spec: ChosenSpec,
  { swing, sink }: Pick<Easing, 'swing' | 'sink'>,
  notes: Note[],
): Course {
  const { body, gravity, carry, dials } = spec;
  const groups = groupsOf(spec);
  const least = LEAST_STEP * resolveBody(body).legLength;
  const cycles = groups.map(({ length, time, width }, k): Walk => {
    const pace = { strideLength: 2 * Math.max(least, length), strideRate: 1 / (2 * time) };
    const stepWidth = Math.max(0, width);
    const walk = planWalk({ ...dials, body, gravity: gravity ?? STANDARD_GRAVITY, carry, pace, stepWidth });
    return easeWalk(calmWalk(walk, notes), swing[k], sink);
  });
  return {
    cycles,
    stretches: groups.map(({ steps }, cycle) => ({ cycle, steps })),
    from: spec.from ?? 'standing',
    to: spec.to ?? 'standing',
    firstFoot: spec.contacts[0].foot,
    before: 0,
    patience: 1,
  };
}

/** Runs of chosen steps alike; the step between the two feet that are down at the start is none of them. */
export function groupsOf({ contacts, body, from = 'standing', to = 'standing' }: ChosenSpec): StepGroup[] {
  const { legLength } = resolveBody(body);
  const ends = { starts: from === 'standing', stops: to === 'standing', legLength };
  return groupSteps(stepsBetween(contacts).slice(1), ends);
}

/** Lays out chosen contacts: times and places are theirs, the body goes between the feet. */
export function layChosen(course: Course, { contacts }: ChosenSpec): ChosenLayout {
  const { cycles } = course;
  const [starts, stops] = [course.from === 'standing', course.to === 'standing'];
  const steps = stepsBetween(contacts);
  const last = steps.length - 1;
  const owner = course.stretches.flatMap(({ cycle, steps: count }) => new Array<number>(count).fill(cycle));
  const mixAt = (i: number): number[] => {
    const [a, b] = [owner[Math.max(0, i - 1)], owner[Math.min(last - 1, i)]];
    return cycles.map((_, k) => ((a === k ? 1 : 0) + (b === k ? 1 : 0)) / 2);
  };
  const nodes = steps.map((step, i): PlanNode => {
    const contact = contacts[i + 1];
    const resting = (starts && i === 0) || (stops && i === last);
    const profile = resting ? 0 : starts && i === 1 ? EDGE.start : stops && i === last - 1 ? EDGE.stop : 1;
    const mix = mixAt(i);
    const at = centreBetween(contacts[i], contact, step.heading, (walk) =>
      resting ? walk.pivot.pressureTravel / 2 : walk.centre.forward.mean + walk.pace.stepLength / 2,
    )(cycles, mix);
    const cycle = mix.indexOf(1);
    const walk = cycles[cycle];
    const pure =
      profile === 1 &&
      walk !== undefined &&
      isOwn(step, contacts[i], contact, walk) &&
      (i === last || isOwn(steps[i + 1], contact, contacts[i + 2], walk));
    return {
      time: contact.land,
      foot: contact.foot,
      stretch: owner[Math.max(0, i - 1)],
      progress: contact.plant.forward,
      length: i === 0 ? 0 : step.length,
      heel: contact.plant.forward,
      floor: contact.plant.height ?? 0,
      rise: (contact.plant.height ?? 0) - (contacts[i].plant.height ?? 0),
      centre: at.forward,
      speed: 0,
      mix,
      profile,
      ...(pure ? { pure: cycle } : {}),
      ...(contact.lift === undefined ? {} : { lift: contact.lift }),
      ...at,
      forwardRate: 0,
      sideRate: 0,
      heading: step.heading,
    };
  });
  const paced = nodes.map((node, i) => withRates(course, nodes, node, i));
  return { nodes: paced, ...spansOf(course, paced, contacts) };
}

/** The place between two feet, brought forward along their heading by what each cycle says. */
function centreBetween(a: ChosenContact, b: ChosenContact, heading: number, ahead: (walk: Walk) => number) {
  return (cycles: readonly Walk[], mix: readonly number[]): { forward: number; side: number } => {
    const by = mix.reduce((sum, x, k) => (x === 0 ? sum : sum + x * ahead(cycles[k])), 0);
    return {
      forward: (a.plant.forward + b.plant.forward) / 2 + by * Math.cos(heading),
      side: (a.plant.side + b.plant.side) / 2 + by * Math.sin(heading),
    };
  };
}

/** Whether a step is the walk's own, straight on over level ground. */
function isOwn(step: ChosenStep, from: ChosenContact, to: ChosenContact, walk: Walk): boolean {
  const flat = ({ plant, foot }: ChosenContact): boolean =>
    (plant.heading ?? 0) === 0 &&
    (plant.height ?? 0) === 0 &&
    Math.abs(plant.side - walk.stance[foot].side) <= OWN;
  return (
    flat(from) &&
    flat(to) &&
    Math.abs(step.length - walk.pace.stepLength) <= OWN &&
    Math.abs(step.time - walk.pace.stepTime) <= OWN
  );
}

function withRates(course: Course, nodes: readonly PlanNode[], node: PlanNode, i: number): PlanNode {
  const last = nodes.length - 1;
  if (node.profile === 0) return node;
  if (node.pure !== undefined) {
    const { speed } = course.cycles[node.pure].pace;
    return { ...node, speed, forwardRate: speed };
  }
  const mean = (j: number, of: (at: PlanNode) => number): number =>
    (of(nodes[j]) - of(nodes[j - 1])) / (nodes[j].time - nodes[j - 1].time);
  const rate = (of: (at: PlanNode) => number): number => {
    if (i === 0) return mean(1, of);
    if (i === last) return mean(last, of);
    if (node.profile === 1) return rateBetween(nodes[i - 1], node, nodes[i + 1], of);
    // Beside standing the speed goes with the step that is made in full, or, of two edges, with the step between.
    const full = nodes[i - 1].profile === 0 ? i + 1 : i;
    return node.profile * mean(nodes[i + 1]?.profile === 0 && nodes[i - 1].profile === 0 ? i : full, of);
  };
  const [forwardRate, sideRate] = [rate(({ forward }) => forward), rate(({ side }) => side)];
  return { ...node, forwardRate, sideRate, speed: Math.hypot(forwardRate, sideRate) };
}

/** When the first foot lifts, the layers set in, and the body departs and rests. */
function spansOf(course: Course, nodes: readonly PlanNode[], contacts: readonly ChosenContact[]) {
  const last = nodes.length - 1;
  const [first] = contacts;
  const rests =
    course.to === 'standing'
      ? nodes[last - 1].time + (nodes[last].time - nodes[last - 1].time) / CLOSE
      : nodes[last].time;
  const earlier = {
    land: first.land,
    along: first.plant.forward,
    ...(first.lift === undefined ? {} : { lift: first.lift }),
  };
  if (course.from !== 'standing') return { departs: 0, setsIn: 0, rests, earlier, before: 0 };
  const walk = course.cycles[course.stretches[0].cycle];
  const land = nodes[1].time;
  const { foot } = nodes[1];
  const opening = first.lift ?? land - Math.min(swingTimeOf(walk, foot), land / 2);
  const setsIn = Math.max(0, land - 1.15 * stepTimeOnto(walk, foot));
  const before = Math.max(0, opening - SHIFT * stepTimeOnto(walk, foot));
  // As late as an even gain of speed allows, and not before the weight begins to shift.
  const way = Math.hypot(nodes[1].forward - nodes[0].forward, nodes[1].side - nodes[0].side);
  const departs = Math.max(before, nodes[1].speed > 0 ? land - (2 * way) / nodes[1].speed : before);
  return { departs: Math.min(departs, land / 2), setsIn, rests, earlier, opening, before };
}
