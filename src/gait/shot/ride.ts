import { gapOnto } from './cycle-steps.js';
import type { Course, Layout, ShotNode } from './lay-nodes.js';
import type { Layer, PieceTrack, ShotBase } from './shot.js';
import { type TrackNode, trackThrough } from './tracks.js';

/** How far the body gives when it settles, over how much it rises from the walk to standing. By eye. */
const GIVE = 0.12;

/** A rate at a contact goes at most this many times the slower neighbour's mean: so nothing turns back. */
const MOST_RATE = 1.6;

/** Base and layers of a laid-out shot on level ground. */
export function rideOn(
  course: Course,
  layout: Layout,
  duration: number,
  { standingHeight, sink }: { readonly standingHeight: number; readonly sink: number },
): { readonly base: ShotBase; readonly layers: readonly Layer[] } {
  return {
    base: {
      along: alongTrack(course, layout, duration),
      beside: smoothTrack(course, layout, duration, 0, ({ centre }) => centre.side.mean, 0),
      height: smoothTrack(
        course,
        layout,
        duration,
        standingHeight,
        ({ centre }) => standingHeight + sink * (centre.height.mean - standingHeight),
        GIVE,
      ),
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

/** A track that goes from node to node between what it is at rest and each cycle's mean. */
function smoothTrack(
  { cycles, from, to }: Course,
  { nodes, setsIn }: Layout,
  duration: number,
  rest: number,
  mean: (walk: Course['cycles'][number]) => number,
  give: number,
): PieceTrack {
  const valueAt = ({ mix, profile, pure }: ShotNode): number =>
    pure === undefined
      ? rest + profile * mix.reduce((sum, x, k) => (x === 0 ? sum : sum + x * (mean(cycles[k]) - rest)), 0)
      : mean(cycles[pure]);
  const track: TrackNode[] = [];
  const last = nodes.length - 1;
  nodes.forEach((node, i) => {
    if (i === 0 && from === 'standing') {
      if (setsIn > 0) track.push({ time: 0, value: rest, rate: 0 });
      track.push({ time: setsIn, value: rest, rate: 0 });
    } else if (i === last && to === 'standing') {
      const sink = give * (valueAt({ ...nodes[i - 1], profile: 1, pure: undefined }) - rest);
      track.push({ time: node.time, value: rest + sink, rate: 0 });
      track.push({ time: duration, value: rest, rate: 0 });
    } else track.push({ time: node.time, value: valueAt(node), rate: 0 });
  });
  return trackThrough(track);
}

/** The layer of one cycle: from the node before it begins to weigh to the one after it has ceased to. */
function layerOf({ cycles, from }: Course, { nodes, setsIn }: Layout, cycle: number): Layer | undefined {
  const weights = nodes.map(({ mix, profile }) => mix[cycle] * profile);
  const first = weights.findIndex((w) => w > 0);
  if (first < 0) return undefined;
  let last = nodes.length - 1;
  while (weights[last] === 0) last--;
  const low = Math.max(0, first - 1);
  const high = Math.min(nodes.length - 1, last + 1);
  const times = nodes.map(({ time }, i) => (i === 0 && from === 'standing' ? setsIn : time));
  const phases = phasesOf(cycles[cycle], nodes, times, cycle);
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
  cycle: number,
): TrackNode[] {
  const last = nodes.length - 1;
  const values = [walk.stance[nodes[0].foot].contact];
  for (let i = 1; i <= last; i++) values.push(values[i - 1] + gapOnto(walk, nodes[i].foot));
  const meanRate = (i: number): number => (values[i] - values[i - 1]) / (times[i] - times[i - 1]);
  return nodes.map((node, i) => {
    let rate: number;
    if (node.pure === cycle) rate = walk.pace.strideRate;
    else if (i === 0 || i === last) rate = meanRate(i === 0 ? 1 : last);
    else {
      const [a, b] = [meanRate(i), meanRate(i + 1)];
      const [left, right] = [times[i] - times[i - 1], times[i + 1] - times[i]];
      rate = Math.min((a * right + b * left) / (left + right), MOST_RATE * Math.min(a, b));
    }
    return { time: times[i], value: values[i], rate };
  });
}
