import type { Force, Side } from '../../gait/walk.js';
import type { MotionDocument } from '../document.js';
import { STROKES } from '../palette.js';
import { drawLine, type Point } from './line-mark.js';
import type { Panel } from './panel.js';

/** A component of the floor's force. */
export type Component = keyof Force<unknown>;

/**
 * One component of both feet's total against the document's own across-scale: phase of the stride where
 * the motion repeats (with the seam closed), seconds where it does not.
 */
export function totalPoints(document: MotionDocument, component: Component): Point[] {
  return pointsOf(document, document.forces.total[component]);
}

/** Across-values of the document's samples: phase of a repeating motion, else s. */
export function acrossOf(document: MotionDocument, time: number): number {
  const { start, duration, repeats } = document.span;
  return repeats ? (time - start) / duration : time;
}

/** Ends of the across-scale. */
export function acrossRange({ span }: MotionDocument): readonly [number, number] {
  return span.repeats ? [0, 1] : [span.start, span.start + span.duration];
}

function pointsOf(document: MotionDocument, values: readonly number[]): Point[] {
  const points = values.map((value, i): Point => [acrossOf(document, document.forces.time[i]), value]);
  return document.span.repeats ? [...points, [1, values[0]]] : points;
}

/** The line of one foot, drawn only while the foot is on the floor. */
export function drawFoot(panel: Panel, document: MotionDocument, side: Side, component: Component): string {
  const carried = pointsOf(document, document.forces[side].vertical);
  const values = pointsOf(document, document.forces[side][component]);
  const runs: Point[][] = [];
  let run: Point[] = [];
  values.forEach((point, i) => {
    const near = carried[i - 1]?.[1] || carried[i][1] || carried[i + 1]?.[1];
    if (near) run.push(point);
    if ((!near || i === values.length - 1) && run.length > 0) {
      runs.push(run);
      run = [];
    }
  });
  return runs
    .filter((points) => points.length > 1)
    .map((points) => drawLine(panel, points, STROKES[side]))
    .join('');
}

/** Lowest and highest value of components over documents. */
export function forceRange(
  documents: readonly MotionDocument[],
  components: readonly Component[],
): readonly [number, number] {
  let [low, high] = [0, 0];
  for (const { forces } of documents) {
    for (const component of components) {
      for (const part of [forces.left, forces.right, forces.total]) {
        for (const value of part[component]) {
          low = Math.min(low, value);
          high = Math.max(high, value);
        }
      }
    }
  }
  return [low, high];
}
