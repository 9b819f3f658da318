import type { Course, Layout, ShotNode } from './lay-nodes.js';
import { rateAcross, rateBetween } from './rates.js';

/** New times in s and lengths in m of the steps into each node; the first entry, of no step, is not read. */
export interface StepSizes {
  readonly durations: readonly number[];
  readonly lengths: readonly number[];
}

/** The sizes of a layout's own steps. */
export function sizesOf({ nodes }: Layout): { durations: number[]; lengths: number[] } {
  return {
    durations: nodes.map(({ time }, i) => (i === 0 ? 0 : time - nodes[i - 1].time)),
    lengths: nodes.map(({ length }) => length),
  };
}

/** A layout with other times of its contacts, on whole frames; what is steady has to be on them already. */
export function frameSteps(layout: Layout, fps: number): Layout {
  const { nodes } = layout;
  let frame = 0;
  const times = nodes.map((node, i) => {
    if (i === 0) return 0;
    const exact = (node.time - nodes[i - 1].time) * fps;
    // The first step waits for its frame; the others go to the nearest.
    frame += Math.max(1, i === 1 && nodes[0].profile === 0 ? Math.ceil(exact - 1e-6) : Math.round(exact));
    return frame / fps;
  });
  return shiftTimes(
    layout,
    nodes.map((node, i) => ({ ...node, time: times[i] })),
  );
}

/** The times between contacts moved along with the contacts beside them. */
function shiftTimes(layout: Layout, moved: readonly ShotNode[]): Layout {
  const { nodes, departs, setsIn, rests } = layout;
  const last = nodes.length - 1;
  const later = moved[1].time - nodes[1].time;
  const slower = (moved[last].time - moved[last - 1].time) / (nodes[last].time - nodes[last - 1].time);
  return {
    ...layout,
    nodes: moved,
    departs: departs + later,
    setsIn: setsIn + later,
    rests: moved[last - 1].time + slower * (rests - nodes[last - 1].time),
  };
}

/**
 * A layout with steps of other times and lengths. Nothing is steady any more: at every contact the body is
 * halfway between the feet and goes on at the rate between both steps'. A shot that walks in and out is made
 * to loop.
 */
export function resizeSteps(course: Course, layout: Layout, { durations, lengths }: StepSizes): Layout {
  const { nodes } = layout;
  const last = nodes.length - 1;
  const loops = course.from === 'walking' && course.to === 'walking';
  const resized: ShotNode[] = [];
  nodes.forEach((node, i) => {
    if (i === 0) {
      const shorter = loops ? (nodes[last].length - lengths[last]) / 2 : 0;
      resized.push({ ...node, pure: undefined, centre: node.centre + shorter });
      return;
    }
    const before = resized[i - 1];
    const length = lengths[i];
    const rise = node.length === 0 ? node.rise : (node.rise * length) / node.length;
    const progress = before.progress + length;
    resized.push({
      ...node,
      pure: undefined,
      time: before.time + durations[i],
      length,
      progress,
      rise,
      floor: before.floor + rise,
      heel: progress + node.heel - node.progress,
      centre: progress + node.centre - node.progress + (node.length - length) / 2,
    });
  });
  const centre = (node: ShotNode): number => node.centre;
  const paced = resized.map((node, i): ShotNode => {
    if (loops && (i === 0 || i === last)) return { ...node, speed: rateAcross(resized, centre) };
    const [before, after] = [resized[i - 1], resized[i + 1]];
    if (!before || !after || before.profile === 0) return node;
    return { ...node, speed: rateBetween(before, node, after, centre) };
  });
  const moved = shiftTimes(layout, paced);
  if (!loops) return moved;
  const [end, previous] = [paced[last], paced[last - 1]];
  const earlier = { land: previous.time - end.time, along: previous.heel - end.progress };
  return { ...moved, earlier, loops };
}
