import { type LineBend, lineThrough } from './centre-line.js';
import type { Course, CourseStretch, Layout } from './lay-nodes.js';
import type { CentreLine } from './shot.js';

/** How far, in steps, a line goes on turning before a shot that walks in and after one that walks out. */
const BEYOND = 3;

/** The centre line of a laid-out shot: straight, or bending over each stretch that turns. */
export function bendLine(course: Course, { nodes }: Layout): CentreLine {
  const { stretches, cycles, from, to } = course;
  if (stretches.every(({ turn }) => turn === undefined)) return { segments: [] };
  const bends: LineBend[] = [];
  const start = nodes[0].progress;
  let first = 0;
  let lead = 0;
  for (const [k, stretch] of stretches.entries()) {
    const last = first + stretch.steps;
    const length = nodes[last].progress - nodes[first].progress;
    first = last;
    if (length === 0) continue;
    const step = cycles[stretch.cycle].pace.stepLength;
    const [opens, closes] = [k === 0 && from === 'walking', k === stretches.length - 1 && to === 'walking'];
    // Ramps of a step each; where the shot walks in or out of the turn it is in full turn there.
    const ramp = Math.min(step, length / 2);
    const into = opens ? 0 : ramp;
    const outOf = closes ? 0 : ramp;
    const curvature = curvatureOf(stretch, length, (into + outOf) / 2);
    if (opens) {
      lead = BEYOND * step;
      bends.push({ length: lead, from: curvature, to: curvature });
    }
    if (into > 0) bends.push({ length: into, from: 0, to: curvature });
    const rest = length - into - outOf;
    if (rest > 0) bends.push({ length: rest, from: curvature, to: curvature });
    if (outOf > 0) bends.push({ length: outOf, from: curvature, to: 0 });
    if (closes) bends.push({ length: BEYOND * step, from: curvature, to: curvature });
  }
  return lineThrough(start - lead, bends, nodes[0].centre);
}

/** Curvature in 1/m of a stretch's middle, of whose length `lost` m count for nothing because of its ramps. */
function curvatureOf({ turn }: CourseStretch, length: number, lost: number): number {
  if (!turn) return 0;
  return turn.radius === undefined ? turn.by! / (length - lost) : 1 / turn.radius;
}
