import type { Note } from '../note.js';
import type { Easing } from './keep-load.js';
import { chosenCourse, layChosen, type PlanNode } from './lay-chosen.js';
import type { Course, Layout } from './lay-nodes.js';
import { type LaidStep, placeSteps } from './place-steps.js';
import { rateBetween } from './rates.js';
import type { CentreLine, PieceTrack, Plant, ShotBase, ShotStep } from './shot.js';
import type { ChosenContact, ChosenSpec } from './shot-spec.js';
import { type TrackNode, trackThrough } from './tracks.js';

/** Chosen contacts as a shot's parts. */
export interface ChosenPlan {
  readonly course: Course;
  readonly layout: Layout;
  readonly duration: number;
  readonly steps: readonly ShotStep[];
  readonly handOvers: ReturnType<typeof placeSteps>['handOvers'];
  readonly line: CentreLine;
  /** Along and beside are forward and side: the line is straight. */
  readonly base: Omit<ShotBase, 'height'>;
  readonly notes: readonly Note[];
}

/** Lays out chosen contacts and the way of the body between them. */
export function planChosen(spec: ChosenSpec, easing: Pick<Easing, 'swing' | 'sink'>): ChosenPlan {
  const notes: Note[] = [];
  const made = chosenCourse(spec, easing, notes);
  const { before, ...layout } = layChosen(made, spec);
  const course = { ...made, before };
  const placed = placeSteps(course, layout, spec.still?.after ?? 0);
  const { nodes } = layout;
  return {
    course,
    layout,
    duration: placed.duration,
    steps: placed.steps.map((step, i) => keepChosen(step, spec.contacts[i])),
    handOvers: placed.handOvers,
    line: { segments: [] },
    base: {
      along: wayThrough(course, layout, placed.duration, nodes, ({ forward, forwardRate }) => [
        forward,
        forwardRate,
      ]),
      beside: wayThrough(course, layout, placed.duration, nodes, ({ side, sideRate }) => [side, sideRate]),
      ...turnThrough(layout, placed.duration, nodes),
    },
    notes,
  };
}

/** A step with the place and times that were chosen, to the bit. */
function keepChosen(step: LaidStep, { land, lift, plant }: ChosenContact): ShotStep {
  const { forward, side, height = 0, heading = 0, pitch = 0 } = plant;
  const kept: Plant = { forward, side, height, heading, pitch };
  return { ...step, land, lift: lift ?? step.lift, along: forward, beside: side, plant: kept };
}

/** One of the body's two ways over the floor: still until it departs, and still again from when it rests. */
function wayThrough(
  { from, to }: Course,
  { departs, rests }: Layout,
  duration: number,
  nodes: readonly PlanNode[],
  of: (node: PlanNode) => [value: number, rate: number],
): PieceTrack {
  const last = nodes.length - 1;
  const track: TrackNode[] = [];
  nodes.forEach((node, i) => {
    const [value, rate] = of(node);
    if (i === 0 && from === 'standing') {
      if (departs > 0) track.push({ time: 0, value, rate: 0 });
      track.push({ time: departs, value, rate: 0 });
    } else if (i === last && to === 'standing') {
      track.push({ time: rests, value, rate: 0 });
      if (duration > rests) track.push({ time: duration, value, rate: 0 });
    } else track.push({ time: node.time, value, rate });
  });
  return trackThrough(track);
}

/** The body's heading, where any foot is turned: through the mean of both feet at each contact. */
function turnThrough(
  { departs, rests }: Layout,
  duration: number,
  nodes: readonly PlanNode[],
): { readonly turn?: PieceTrack } {
  if (nodes.every(({ heading }) => heading === 0)) return {};
  const last = nodes.length - 1;
  const points = nodes.map(({ time, heading, profile }, i) => ({
    time: profile > 0 ? time : i === 0 ? departs : i === last ? rests : time,
    value: heading,
  }));
  const track = points.map((point, i): TrackNode => {
    const inner = i > 0 && i < last;
    const rate = inner ? rateBetween(points[i - 1], point, points[i + 1], ({ value }) => value) : 0;
    return { ...point, rate };
  });
  if (track[0].time > 0) track.unshift({ ...track[0], time: 0 });
  if (track[track.length - 1].time < duration) track.push({ ...track[track.length - 1], time: duration });
  return { turn: trackThrough(track) };
}
