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

/** Least distance in px of two arrows that stand side by side: their tips are 11 px wide. */
const APART = 16;

/** Clear space in px between the two sizes. */
const CLEAR = 6;

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
    const spots = SIDES.map((side) => {
      const { heel, ball } = pose.legs[side];
      const low = Math.min(heel[1], ball[1]);
      return camera.place([(heel[0] + ball[0]) / 2, low, (heel[2] + ball[2]) / 2]);
    });
    const lesser = Math.min(forces.left[0], forces.right[0]);
    const aside = setApart(spots[0][0], spots[1][0], lesser);
    const tails = SIDES.map((side, i) => {
      const [x, y] = spots[i];
      return drawArrow(arrows[side], [x + aside[i], y], forces[side], camera);
    });
    const places = placeSizes(tails[0]?.[0], tails[1]?.[0]);
    SIDES.forEach((side, i) => {
      const { told } = arrows[side];
      const tail = tails[i];
      if (tail) set(told, { ...places[i], y: tail[1] + 15 });
      told.textContent = tail ? forces[side][0].toFixed(2) : '';
    });
  };
}

const SIDES = ['left', 'right'] as const;

/**
 * How far in px two arrows step aside where feet stand side by side; as the lesser force in BW goes, so does
 * that, so that no arrow leaps where the other one ends.
 */
function setApart(a: number, b: number, lesser: number): readonly [number, number] {
  const share = Math.min(1, Math.max(0, (lesser - LEAST) / 0.1));
  const step = (Math.max(0, APART - Math.abs(a - b)) / 2) * share;
  return a <= b ? [-step, step] : [step, -step];
}

/** Where sizes are told: on the outer sides of two arrows, so that they never meet. */
function placeSizes(a: number | undefined, b: number | undefined) {
  if (a === undefined || b === undefined) {
    return [a, b].map((x) => ({ x: x ?? 0, 'text-anchor': 'middle' }));
  }
  const middle = (a + b) / 2;
  return [a, b].map((x, i) =>
    (i === 0 ? a <= b : b < a)
      ? { x: Math.min(x + 6, middle - CLEAR / 2), 'text-anchor': 'end' }
      : { x: Math.max(x - 6, middle + CLEAR / 2), 'text-anchor': 'start' },
  );
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
