import type { Triple } from '../../src/exchange/figure/turns.js';
import type { Spot } from './outline.js';

/** From where the figure is seen. */
export type View = 'side' | 'corner' | 'front';

/** How far the camera has gone round from the character's right side to its front, in rad. */
const ROUND: Readonly<Record<View, number>> = { side: 0, corner: Math.PI / 5, front: Math.PI / 2 };

/** A view of the stage: parallel, level, the figure's hips always in the middle. */
export interface Camera {
  /** Where a point is drawn. */
  place(point: Triple): Spot;
  /** How near a point is to the viewer, in m. */
  near(point: Triple): number;
  /** How far across in px a step to the side and a step ahead go. */
  across(direction: Triple): number;
}

/** Looks at a point of the floor below `centre`, which is drawn at `middle` px, `pixels` to a metre. */
export function makeCamera(view: View, [ahead, , left]: Triple, middle: Spot, pixels: number): Camera {
  const [c, s] = [Math.cos(ROUND[view]), Math.sin(ROUND[view])];
  const across = ([forward, , side]: Triple): number => (forward * c + side * s) * pixels;
  return {
    place: ([forward, height, side]) => [
      middle[0] + across([forward - ahead, 0, side - left]),
      middle[1] - height * pixels,
    ],
    near: ([forward, , side]) => (forward - ahead) * s - (side - left) * c,
    across,
  };
}
