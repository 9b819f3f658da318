import type { Curve } from '../../curves/curve.js';
import type { MotionDocument } from '../document.js';

/** The curves that turn the trunk. */
export function turnCurves({ turns, root }: MotionDocument): Curve[] {
  const way = root.heading ? [root.heading] : [];
  if (!turns) return way;
  return [
    ...way,
    ...[turns.pelvis, turns.chest, turns.head].flatMap(({ heading, roll, pitch }) => [heading, roll, pitch]),
  ];
}
