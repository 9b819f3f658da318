import { type LinePoint, prepareLine } from './centre-line.js';
import type { LaidStep } from './place-steps.js';
import type { CentreLine, ShotStep } from './shot.js';

/** The steps with their plants in the fixed axes: where the line is at each heel, and to the side of it. */
export function putDown(steps: readonly LaidStep[], line: CentreLine): ShotStep[] {
  const read = prepareLine(line);
  const point: LinePoint = { forward: 0, side: 0, heading: 0, curvature: 0, bend: 0 };
  return steps.map((step) => {
    read(step.along, point);
    const plant = {
      forward: point.forward - step.beside * Math.sin(point.heading),
      side: point.side + step.beside * Math.cos(point.heading),
      height: 0,
      heading: point.heading,
      pitch: 0,
    };
    return { ...step, plant };
  });
}
