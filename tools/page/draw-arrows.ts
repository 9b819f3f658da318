/// <reference lib="dom" />
import type { FigurePose } from '../../src/exchange/figure/pose-figure.js';
import type { Camera } from './camera.js';
import { set, svg, through } from './dom.js';
import type { Spot } from './outline.js';
import type { FootForce } from './read-forces.js';

/** Length in px of an arrow of one body weight: weights are compared, not newtons. */
const ARROW = 58;

/** Force in BW below which no arrow is drawn, and none is told. */
const LEAST = 0.04;

/** Draws the floor's force under each foot. */
export type DrawArrows = (
  pose: FigurePose,
  forces: Readonly<Record<'left' | 'right', FootForce>>,
  camera: Camera,
) => void;

/** Arrows below the floor that end under each foot, as long as its force is large, with its size in BW. */
export function makeArrows(parent: Element): DrawArrows {
  const make = (side: 'left' | 'right') => ({
    shaft: svg(parent, 'path', { d: '', class: `arrow ${side}` }),
    tip: svg(parent, 'path', { d: '', class: `tip ${side}` }),
    told: svg(parent, 'text', { class: `force ${side}` }, ''),
  });
  const arrows = { left: make('left'), right: make('right') };
  return (pose, forces, camera) => {
    const tails = (['left', 'right'] as const).map((side) => {
      const { heel, ball } = pose.legs[side];
      const low = Math.min(heel[1], ball[1]);
      const under = camera.place([(heel[0] + ball[0]) / 2, low, (heel[2] + ball[2]) / 2]);
      return { side, tail: drawArrow(arrows[side], under, forces[side], camera) };
    });
    const [a, b] = tails.map(({ tail }) => tail?.[0] ?? 0);
    for (const { side, tail } of tails) {
      const { told } = arrows[side];
      const [up] = forces[side];
      if (tail) {
        // Told on the outer side, so that two sizes never meet.
        const first = side === 'left' ? a <= b : b < a;
        const anchor = tails.every((other) => other.tail) ? (first ? 'end' : 'start') : 'middle';
        const x = tail[0] + (anchor === 'middle' ? 0 : anchor === 'end' ? 6 : -6);
        set(told, { x, y: tail[1] + 15, 'text-anchor': anchor });
      }
      told.textContent = tail ? up.toFixed(2) : '';
    }
  };
}

function drawArrow(
  { shaft, tip }: { readonly shaft: SVGPathElement; readonly tip: SVGPathElement },
  [x, y]: Spot,
  [up, ahead, left]: FootForce,
  camera: Camera,
): Spot | undefined {
  const level = camera.across([ahead, 0, left]);
  const perMetre = Math.hypot(camera.across([1, 0, 0]), camera.across([0, 0, 1])) || 1;
  const [dx, dy] = [(level / perMetre) * ARROW, -up * ARROW];
  const length = Math.hypot(dx, dy);
  if (up < LEAST || length < 2) {
    set(shaft, { d: '' });
    set(tip, { d: '' });
    return undefined;
  }
  const [ux, uy] = [dx / length, dy / length];
  const head = Math.min(11, 0.7 * length);
  const end: Spot = [x, y + 4];
  const begin: Spot = [end[0] - dx, end[1] - dy];
  const wing = (turn: number): Spot => [
    end[0] - head * ux + turn * 0.52 * head * uy,
    end[1] - head * uy - turn * 0.52 * head * ux,
  ];
  set(shaft, { d: through([begin, [end[0] - 0.8 * head * ux, end[1] - 0.8 * head * uy]]) });
  set(tip, { d: `${through([wing(1), end, wing(-1)])}Z` });
  return begin;
}
