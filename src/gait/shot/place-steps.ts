import type { Side, Walk } from '../walk.js';
import { advanceOnto, leadOf, otherFoot, overlapOf, stepTimeOnto, swingTimeOf } from './cycle-steps.js';
import type { Course, Layout, ShotNode } from './lay-nodes.js';
import type { HandOver, Roll, ShotStep } from './shot.js';

/** A step before it is put on the ground. */
export type LaidStep = Omit<ShotStep, 'plant'>;

/** Steps in order of landing, hand-overs between them, and when the shot is over. */
export interface Placed {
  readonly steps: readonly LaidStep[];
  readonly handOvers: readonly HandOver[];
  readonly duration: number;
}

/** How far the load goes over to the foot that steps first before it comes off. Memory of Jian et al. 1993. */
const FIRST_ONTO = 0.65;

/** When that is, over the time of the shift. */
const ONTO_AT = 0.45;

/** Where the pressure goes under the foot that steps first, as a fraction of stance: back, so that the body falls forward. */
const LEANS_BACK = 0.15;

/** When the pressure has come to the middle of the last foot in front, over the time to the closing contact. By eye. */
const FORWARD_BY = 0.4;

/** Time of settling after the last foot has closed, over a step's time. By eye. */
const SETTLE = 1;

/** How far past a frame is still on it, in frames. */
const ON_FRAME = 1e-6;

/** A foot is off the floor for at least this part of the step that it makes. */
const LEAST_SWING = 0.15;

/** Steps with their contact and lift times, and how the load goes over from one to the next. */
export function placeSteps(course: Course, layout: Layout, after: number): Placed {
  const { cycles, from, to, before } = course;
  const { nodes } = layout;
  const last = nodes.length - 1;
  const [standing, stops] = [from === 'standing', to === 'standing'];
  const weigh = (i: number, of: (walk: Walk) => number): number =>
    nodes[i].mix.reduce((sum, x, k) => (x === 0 ? sum : sum + x * of(cycles[k])), 0);
  const settle = stops
    ? course.patience * SETTLE * weigh(last, (walk) => stepTimeOnto(walk, nodes[last].foot))
    : 0;
  const settled = stops ? Math.max(layout.rests, nodes[last].time + settle) : nodes[last].time;
  const end = settled + (stops ? after : 0);
  const duration = course.fps === undefined ? end : Math.ceil(end * course.fps - ON_FRAME) / course.fps;
  /** When the foot that landed at a node lifts: a while after the other one has landed. */
  const liftAfter = (i: number): number => {
    const foot = nodes[i].foot;
    if (i + 1 > last)
      return nodes[i].time + weigh(i, (walk) => walk.stance[foot].fraction * walk.pace.strideTime);
    const land = nodes[i + 1];
    const own = weigh(i + 1, (walk) => overlapOf(walk, foot));
    if (i + 2 > last && !layout.loops) return land.time + own;
    const step = i + 2 > last ? nodes[1].time - nodes[0].time : nodes[i + 2].time - land.time;
    const usual = weigh(i + 1, (walk) => stepTimeOnto(walk, foot));
    const overlap = land.pure === undefined ? (own * step) / usual : own;
    return land.time + Math.min(overlap, (1 - LEAST_SWING) * step);
  };
  const endsAt = (i: number): boolean => stops && i >= last - 1;
  const stepAt = (i: number, begins: boolean): LaidStep => {
    const node = nodes[i];
    const ends = endsAt(i);
    const lift = ends ? duration : (node.lift ?? liftAfter(i));
    return {
      index: 0,
      foot: node.foot,
      gait: 'walk',
      stretch: node.stretch,
      cycle: largest(node.mix),
      kind: begins ? 'begin' : stops && i === last ? 'close' : 'step',
      land: node.time,
      lift,
      ends,
      duration: begins ? 0 : node.time - nodes[i - 1].time,
      length: begins ? 0 : node.length,
      along: node.heel,
      beside: weigh(i, (walk) => walk.stance[node.foot].side),
      roll: rollOf(course, nodes, i, { lift, ends, settled }),
    };
  };
  const swinger = otherFoot(nodes[0].foot);
  const opening = standing
    ? (layout.opening ?? nodes[1].time - course.patience * weigh(1, (walk) => swingTimeOf(walk, swinger)))
    : 0;
  const earlier = earlierStep(course, layout, { opening, standing });
  const steps = [earlier, ...nodes.map((_, i) => stepAt(i, i === 0))].map((step, index) => ({
    ...step,
    index,
  }));
  // From standing both feet are down at once; the one that stays is told first.
  if (standing) {
    steps[1] = { ...steps[1], roll: { from: 0.5, to: 1, start: opening, end: steps[1].lift } };
  }
  return { steps, handOvers: handOversOf(steps, { before, opening, standing, settled, stops }), duration };
}

function largest(mix: readonly number[]): number {
  return mix.indexOf(Math.max(...mix));
}

/** The foot that is down beside the first node's: it steps first from standing, or lifts first in walking. */
function earlierStep(
  course: Course,
  { nodes, earlier }: Layout,
  { opening, standing }: { opening: number; standing: boolean },
): LaidStep {
  const { cycles, before } = course;
  const foot = otherFoot(nodes[0].foot);
  const cycle = largest(nodes[0].mix);
  const walk = cycles[cycle];
  const common = { index: 0, foot, gait: 'walk', stretch: 0, cycle, kind: 'begin' } as const;
  const still = { ends: false, duration: 0, length: 0, beside: walk.stance[foot].side };
  if (standing) {
    const roll = { from: 0.5, to: LEANS_BACK, start: before, end: opening };
    return { ...common, ...still, land: 0, lift: opening, along: nodes[0].heel, roll };
  }
  const land = earlier?.land ?? -stepTimeOnto(walk, nodes[0].foot);
  const usual = overlapOf(walk, foot);
  const lift = earlier?.lift ?? (earlier ? (usual * nodes[1].time) / stepTimeOnto(walk, foot) : usual);
  // Where it stood: a step behind the first contact.
  const along = earlier?.along ?? leadOf(walk, foot) - advanceOnto(walk, nodes[0].foot);
  return { ...common, ...still, land, lift, along, roll: { from: 0, to: 1, start: land, end: lift } };
}

function rollOf(
  { cycles }: Course,
  nodes: readonly ShotNode[],
  i: number,
  { lift, ends, settled }: { lift: number; ends: boolean; settled: number },
): Roll {
  const { time, foot } = nodes[i];
  // The last foot in front takes the weight well forward and brakes; the closing one lands flat.
  if (ends && i === nodes.length - 1) return { from: 0.5, to: 0.5, start: time, end: settled };
  if (ends) return { from: 0, to: 0.5, start: time, end: time + FORWARD_BY * (nodes[i + 1].time - time) };
  const next = nodes[i + 1]?.pure ?? (i + 1 === nodes.length ? nodes[i].pure : undefined);
  if (next === undefined) return { from: 0, to: 1, start: time, end: lift };
  // Before a steady contact the pressure is where the steady walk has it.
  const { pace, stance } = cycles[next];
  return { from: 0, to: 1, start: lift - stance[foot as Side].fraction * pace.strideTime, end: lift };
}

interface Spans {
  readonly before: number;
  readonly opening: number;
  readonly standing: boolean;
  readonly settled: number;
  readonly stops: boolean;
}

function handOversOf(steps: readonly LaidStep[], spans: Spans): HandOver[] {
  const { before, opening, standing, settled, stops } = spans;
  const list: HandOver[] = [];
  const left = (foot: Side, share: number): number => (foot === 'left' ? share : 1 - share);
  const swinger = steps[0].foot;
  if (standing) {
    // Onto the foot that will step, which pushes the body over to the other one; then off it.
    const turn = before + ONTO_AT * (opening - before);
    list.push({ start: before, end: turn, from: 0.5, to: left(swinger, FIRST_ONTO) });
    list.push({ start: turn, end: opening, from: left(swinger, FIRST_ONTO), to: left(swinger, 0) });
  }
  for (let i = standing ? 2 : 1; i < steps.length; i++) {
    const { foot, land } = steps[i];
    const closes = stops && i === steps.length - 1;
    list.push({
      start: land,
      end: closes ? settled : steps[i - 1].lift,
      from: left(foot, 0),
      to: closes ? 0.5 : left(foot, 1),
    });
  }
  return list;
}
