import { type LinePoint, prepareLine } from './centre-line.js';
import type { Course, Layout } from './lay-nodes.js';
import type { LaidStep } from './place-steps.js';
import type { CentreLine, ShotStep } from './shot.js';

/**
 * The steps with their plants in the fixed axes: where the line is at each heel, to the side of it, and on
 * the floor. In a turn the feet go outside the line by as much as the body leans in over them, so that the
 * floor's force on them leans by the angle whose tangent is speed² × curvature / gravity.
 */
export function putDown(
  steps: readonly LaidStep[],
  line: CentreLine,
  { nodes }: Layout,
  course: Course,
): ShotStep[] {
  const { stretches } = course;
  const read = prepareLine(line);
  const point: LinePoint = { forward: 0, side: 0, heading: 0, curvature: 0, bend: 0 };
  return steps.map((step) => {
    const i = Math.max(0, step.index - 1);
    const node = nodes[i];
    const walk = course.cycles[step.cycle];
    read(step.along, point);
    const outside = (walk.pivot.sideHeight * point.curvature * node.speed ** 2) / walk.gravity;
    const beside = step.beside - outside;
    const grade = gradeAfter(course, node.stretch, nodes[i + 1]?.stretch);
    // Where it stood already in a shot that walks up stairs, it stands one riser back.
    const back = step.index === 0 && course.from === 'walking' ? (stretches[0].stairs?.riser ?? 0) : 0;
    const plant = {
      forward: point.forward - beside * Math.sin(point.heading),
      side: point.side + beside * Math.cos(point.heading),
      height: node.floor - back + grade * (step.along - node.progress),
      heading: point.heading,
      pitch: grade === 0 ? 0 : -Math.atan(grade),
    };
    return { ...step, beside, plant };
  });
}

/** Rise over run of the ground in front of a heel: of the stretch that goes on from there. */
function gradeAfter({ stretches }: Course, stretch: number, next = stretch): number {
  return stretches[next].slope ?? 0;
}
