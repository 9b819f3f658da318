import { gapOnto } from './cycle-steps.js';
import type { Course, Layout, ShotNode } from './lay-nodes.js';
import { rateAcross, rateBetween } from './rates.js';
import type { Layer, PieceTrack, ShotBase } from './shot.js';
import { type TrackNode, trackThrough } from './tracks.js';

/** How far the body gives when it settles, over how much it rises from the walk to standing. By eye. */
const GIVE = 0.12;

/** How a shot rides. */
export interface RideOptions {
  /** Height of the standing centre of mass in m. */
  readonly standingHeight: number;
  /** How often the floor under the body is smoothed over neighbouring steps. */
  readonly smoothing: number;
}

/** Base and layers of a laid-out shot. */
export function rideOn(
  course: Course,
  layout: Layout,
  duration: number,
  { standingHeight, smoothing }: RideOptions,
): { readonly base: ShotBase; readonly layers: readonly Layer[] } {
  return {
    base: {
      along: alongTrack(course, layout, duration),
      beside: smoothTrack(course, layout, duration, { rest: 0, mean: ({ centre }) => centre.side.mean }),
      height: smoothTrack(course, layout, duration, {
        rest: standingHeight,
        mean: ({ centre }) => centre.height.mean,
        give: GIVE,
        floor: floorUnder(course, layout, smoothing),
      }),
    },
    layers: course.cycles.map((_, cycle) => layerOf(course, layout, cycle)).filter((x) => x !== undefined),
  };
}

function alongTrack({ from, to }: Course, { nodes, departs, rests }: Layout, duration: number): PieceTrack {
  const track: TrackNode[] = [];
  const last = nodes.length - 1;
  nodes.forEach(({ time, centre, speed }, i) => {
    if (i === 0 && from === 'standing') {
      if (departs > 0) track.push({ time: 0, value: centre, rate: 0 });
      track.push({ time: departs, value: centre, rate: 0 });
    } else if (i === last && to === 'standing') {
      track.push({ time: rests, value: centre, rate: 0 });
      if (duration > rests) track.push({ time: duration, value: centre, rate: 0 });
    } else track.push({ time, value: centre, rate: speed });
  });
  return trackThrough(track);
}

/** What a track goes between. */
interface Between {
  /** Its value at rest, and in each cycle. */
  readonly rest: number;
  readonly mean: (walk: Course['cycles'][number]) => number;
  /** How far it sinks below rest when the last foot has closed, over what it is below rest in walking. */
  readonly give?: number;
  /** What is added at each node, with its rate. */
  readonly floor?: readonly { readonly value: number; readonly rate: number }[];
}

/** A track that goes from node to node between what it is at rest and each cycle's mean. */
function smoothTrack(
  { cycles, from, to }: Course,
  { nodes, setsIn }: Layout,
  duration: number,
  { rest, mean, give = 0, floor }: Between,
): PieceTrack {
  const walking = ({ mix }: ShotNode): number =>
    mix.reduce((sum, x, k) => (x === 0 ? sum : sum + x * (mean(cycles[k]) - rest)), 0);
  const valueAt = (node: ShotNode): number =>
    node.pure === undefined ? rest + node.profile * walking(node) : mean(cycles[node.pure]);
  const track: TrackNode[] = [];
  const last = nodes.length - 1;
  const add = (time: number, value: number, i: number): void => {
    const under = floor?.[i] ?? { value: 0, rate: 0 };
    track.push({ time, value: value + under.value, rate: under.rate });
  };
  nodes.forEach((node, i) => {
    if (i === 0 && from === 'standing') {
      if (setsIn > 0) add(0, rest, 0);
      add(setsIn, rest, 0);
    } else if (i === last && to === 'standing') {
      add(node.time, rest + give * walking(nodes[i - 1]), i);
      add(duration, rest, i);
    } else add(node.time, valueAt(node), i);
  });
  return trackThrough(track);
}

/** How far the body goes lower where the feet stand at different heights, over the rise of a step. By eye. */
const REACH_DOWN = 0.3;

/** The floor under the body at each contact: halfway between the feet, and how fast it rises there. */
function floorUnder(
  { from, to }: Course,
  { nodes, setsIn }: Layout,
  smoothing: number,
): { readonly value: number; readonly rate: number }[] | undefined {
  if (nodes.every(({ rise }) => rise === 0)) return undefined;
  const last = nodes.length - 1;
  let values = nodes.map(({ floor, rise }, i) => {
    const half = rise / 2;
    const lower = (i === 0 && from === 'standing') || (i === last && to === 'standing');
    return floor - half - (lower ? 0 : REACH_DOWN * Math.abs(2 * half));
  });
  for (let pass = 0; pass < smoothing; pass++) {
    values = values.map((x, i) => (i === 0 || i === last ? x : (values[i - 1] + 2 * x + values[i + 1]) / 4));
  }
  const times = nodes.map(({ time }, i) => (i === 0 && from === 'standing' ? setsIn : time));
  const points = values.map((value, i) => ({ time: times[i], value }));
  const rateInto = (i: number): number => (values[i] - values[i - 1]) / (times[i] - times[i - 1]);
  return points.map((point, i) => {
    if (i === 0) return { value: point.value, rate: from === 'standing' ? 0 : rateInto(1) };
    if (i === last) return { value: point.value, rate: to === 'standing' ? 0 : rateInto(last) };
    return { value: point.value, rate: rateBetween(points[i - 1], point, points[i + 1], nodeValue) };
  });
}

const nodeValue = ({ value }: { readonly value: number }): number => value;

/** The layer of one cycle: from the node before it begins to weigh to the one after it has ceased to. */
function layerOf(
  { cycles, from }: Course,
  { nodes, setsIn, loops }: Layout,
  cycle: number,
): Layer | undefined {
  const weights = nodes.map(({ mix, profile }) => mix[cycle] * profile);
  const first = weights.findIndex((w) => w > 0);
  if (first < 0) return undefined;
  let last = nodes.length - 1;
  while (weights[last] === 0) last--;
  const low = Math.max(0, first - 1);
  const high = Math.min(nodes.length - 1, last + 1);
  const times = nodes.map(({ time }, i) => (i === 0 && from === 'standing' ? setsIn : time));
  const phases = phasesOf(cycles[cycle], nodes, times, { cycle, loops });
  const weight: TrackNode[] = [];
  for (let i = low; i <= high; i++) weight.push({ time: times[i], value: weights[i], rate: 0 });
  return {
    cycle,
    phase: trackThrough(phases.slice(low, high + 1)),
    weight: trackThrough(weight),
  };
}

/** Phase of a cycle at each contact, and its rate there in strides per s. */
function phasesOf(
  walk: Course['cycles'][number],
  nodes: readonly ShotNode[],
  times: readonly number[],
  { cycle, loops }: { readonly cycle: number; readonly loops?: boolean },
): TrackNode[] {
  const last = nodes.length - 1;
  const values = [walk.stance[nodes[0].foot].contact];
  for (let i = 1; i <= last; i++) values.push(values[i - 1] + gapOnto(walk, nodes[i].foot));
  const points = values.map((value, i) => ({ time: times[i], value }));
  const rateInto = (i: number): number => (values[i] - values[i - 1]) / (times[i] - times[i - 1]);
  return points.map(({ time, value }, i) => {
    if (nodes[i].pure === cycle) return { time, value, rate: walk.pace.strideRate };
    if (loops && (i === 0 || i === last)) return { time, value, rate: rateAcross(points, nodeValue) };
    if (i === 0 || i === last) return { time, value, rate: rateInto(i === 0 ? 1 : last) };
    return { time, value, rate: rateBetween(points[i - 1], points[i], points[i + 1], nodeValue) };
  });
}
