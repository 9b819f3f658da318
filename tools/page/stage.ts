/// <reference lib="dom" />
import type { MotionDocument } from '../../src/exchange/document.js';
import { makeFigure, type Triple } from '../../src/exchange/figure/pose-figure.js';
import { set, svg, through } from './dom.js';
import { type FootForce, readForces } from './read-forces.js';

/** From where the figure is seen. */
export type View = 'side' | 'front';

/** The figure of one motion, ready to be drawn at any time. */
export interface Stage {
  readonly element: SVGSVGElement;
  draw(time: number, view: View): void;
  /** Sets the scale: the height in m that fills the stage. */
  fit(tallest: number): void;
}
const WIDTH = 360;
const HEIGHT = 306;
const FLOOR = 216;
/** Share of the drawing's height that the tallest of the figures takes. */
const FILL = 0.92;
/** Length in px of an arrow of one body weight: weights are compared, not newtons. */
const ARROW = 56;
/** The stage of a motion; `fit` has to be called before it is drawn. */
export function makeStage(parent: Element, document: MotionDocument): Stage {
  const figure = makeFigure(document);
  const forcesAt = readForces(document);
  const { stature } = document.body;
  let pixels = 1;
  /** What grows with the scale: an element, its attribute, its size over stature and its least size in px. */
  const sized: [Element, string, number, number][] = [];
  const element = svg(parent, 'svg', {
    viewBox: `0 0 ${WIDTH} ${HEIGHT}`,
    role: 'img',
    class: 'stage',
    'aria-label': `${document.name}: a figure walking, with the floor's force under each foot`,
  });
  const floor = svg(element, 'g', { class: 'floor' });
  svg(floor, 'path', { d: `M0 ${FLOOR}H${WIDTH}` });
  const marks = svg(floor, 'path', { d: '' });
  const grows = <T extends Element>(drawn: T, attribute: string, share: number, least = 0): T => {
    sized.push([drawn, attribute, share, least]);
    return drawn;
  };
  const limb = (kind: string, width: number) =>
    grows(svg(element, 'path', { d: '', class: `limb ${kind}` }), 'stroke-width', width, 1.5);
  const layer = (side: 'left' | 'right') => ({
    arm: limb(side, 0.034),
    leg: limb(side, 0.055),
    foot: limb(side, 0.03),
  });
  const far = { left: layer('left') };
  const trunk = svg(element, 'path', { d: '', class: 'trunk' });
  const head = grows(svg(element, 'circle', { class: 'trunk' }), 'r', 0.068);
  const parts = document.followers.map(({ unit }) =>
    unit === 'm'
      ? grows(svg(element, 'circle', { class: 'part' }), 'r', 0.05)
      : grows(svg(element, 'path', { d: '', class: 'strand' }), 'stroke-width', 0.03, 2),
  );
  const near = { right: layer('right') };
  const arrows = { left: makeArrow(element, 'left'), right: makeArrow(element, 'right') };

  const draw = (time: number, view: View): void => {
    const pose = figure.at(time);
    const [eye] = pose.pelvis;
    const place = ([forward, height, side]: Triple): [number, number] => [
      WIDTH / 2 + (view === 'side' ? forward - eye : side) * pixels,
      FLOOR - height * pixels,
    ];
    const first = Math.ceil((eye - WIDTH / pixels) * 2) / 2;
    const ticks =
      view === 'side' ? Array.from({ length: 60 }, (_, i) => place([first + i / 2, 0, 0])[0]) : [];
    set(marks, {
      d: ticks
        .filter((x) => x >= 0 && x <= WIDTH)
        .map((x) => `M${x.toFixed(1)} ${FLOOR}l-5 9`)
        .join(''),
    });
    for (const [side, { arm, leg, foot }] of [
      ['left', far.left],
      ['right', near.right],
    ] as const) {
      const { hip, knee, ankle, heel, ball, toe } = pose.legs[side];
      const { shoulder, elbow, hand } = pose.arms[side];
      set(arm, { d: through([shoulder, elbow, hand].map(place)) });
      set(leg, { d: through([hip, knee, ankle].map(place)) });
      const lift = 0.012 * stature * pixels;
      set(foot, {
        d: through(
          [ankle, heel, ball, toe].map((point) => place(point)).map(([x, y], i) => [x, i ? y - lift : y]),
        ),
      });
    }
    drawTrunk(trunk, place(pose.pelvis), place(pose.neck), figure.shape, pixels, view);
    const [hx, hy] = place(pose.head);
    set(head, { cx: hx, cy: hy });
    const belly: Triple = [
      pose.pelvis[0] + 0.07 * stature,
      pose.pelvis[1] + 0.28 * figure.shape.trunk,
      pose.pelvis[2],
    ];
    document.followers.forEach(({ unit, channel }, i) => {
      const value = pose.followers[i];
      if (unit === 'm') {
        const move = { forward: [value, 0, 0], height: [0, value, 0], side: [0, 0, value] }[channel];
        const behind = i % 2 === 1 ? -0.16 * stature : 0;
        const [x, y] = place([belly[0] + behind + move[0], belly[1] + move[1], belly[2] + move[2]]);
        set(parts[i], { cx: x, cy: y });
      } else {
        const length = 0.16 * stature;
        const root: Triple = [pose.head[0] - figure.shape.headRadius, pose.head[1], pose.head[2]];
        const turned = view === 'side' ? channel === 'side' : channel === 'forward';
        const angle = turned ? value : 0;
        // About the side axis a positive turn brings what hangs down backwards; about the way, to the right.
        const across = -length * Math.sin(angle);
        const tip: Triple = [
          root[0] + (view === 'side' ? across : 0),
          root[1] - length * Math.cos(angle),
          root[2] + (view === 'front' ? across : 0),
        ];
        set(parts[i], { d: through([root, tip].map(place)) });
      }
    });
    const forces = forcesAt(time);
    for (const side of ['left', 'right'] as const) {
      const { heel, ball } = pose.legs[side];
      const under = place([(heel[0] + ball[0]) / 2, 0, heel[2]]);
      arrows[side](under, forces[side], view);
    }
  };
  const fit = (tallest: number): void => {
    pixels = (FILL * FLOOR) / tallest;
    for (const [drawn, attribute, share, least] of sized) {
      set(drawn, { [attribute]: Math.max(least, share * stature * pixels) });
    }
  };
  return { element, draw, fit };
}

function drawTrunk(
  path: SVGPathElement,
  [px, py]: readonly [number, number],
  [nx, ny]: readonly [number, number],
  shape: { readonly hipWidth: number; readonly shoulderWidth: number; readonly thigh: number },
  pixels: number,
  view: View,
): void {
  const hip = (view === 'side' ? 0.62 : 0.85) * shape.hipWidth * pixels;
  const chest = (view === 'side' ? 0.3 : 0.46) * shape.shoulderWidth * pixels;
  const hem = 0.42 * shape.thigh * pixels;
  const waist = py + 0.45 * (ny - py);
  set(path, {
    d:
      `M${(nx - chest).toFixed(1)} ${(ny + 4).toFixed(1)}Q${nx.toFixed(1)} ${(ny - 7).toFixed(1)} ${(nx + chest).toFixed(1)} ${(ny + 4).toFixed(1)}` +
      `L${(px + 0.72 * hip).toFixed(1)} ${waist.toFixed(1)}L${(px + 1.25 * hip).toFixed(1)} ${(py + hem).toFixed(1)}` +
      `H${(px - 1.25 * hip).toFixed(1)}L${(px - 0.72 * hip).toFixed(1)} ${waist.toFixed(1)}Z`,
  });
}

/** An arrow below the floor that ends where the foot's force acts, as long as the force is large. */
function makeArrow(parent: Element, side: 'left' | 'right') {
  const shaft = svg(parent, 'path', { d: '', class: `arrow ${side}` });
  const tip = svg(parent, 'path', { d: '', class: `tip ${side}` });
  return ([x, y]: readonly [number, number], [up, ahead, left]: FootForce, view: View): void => {
    const [dx, dy] = [(view === 'side' ? ahead : left) * ARROW, -up * ARROW];
    const length = Math.hypot(dx, dy);
    const shown = length > 3;
    const [ux, uy] = [dx / length, dy / length];
    const end: [number, number] = [x, y + 3];
    const wing = (turn: number): [number, number] => [
      end[0] - 9 * ux + turn * 5 * uy,
      end[1] - 9 * uy - turn * 5 * ux,
    ];
    const begin: [number, number] = [end[0] - dx, end[1] - dy];
    set(shaft, { d: shown ? through([begin, [end[0] - 6 * ux, end[1] - 6 * uy]]) : '' });
    set(tip, { d: shown ? `${through([wing(1), end, wing(-1)])}Z` : '' });
  };
}
