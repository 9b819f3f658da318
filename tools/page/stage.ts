/// <reference lib="dom" />
import type { MotionDocument } from '../../src/exchange/document.js';
import { makeFigure } from '../../src/exchange/figure/pose-figure.js';
import type { Triple } from '../../src/exchange/figure/turns.js';
import { type Camera, makeCamera, type View } from './camera.js';
import { set, svg, through } from './dom.js';
import { makeArrows } from './draw-arrows.js';
import { makeBody } from './draw-body.js';
import { makeGround } from './draw-ground.js';
import { makeParts } from './draw-parts.js';
import { readForces } from './read-forces.js';

export type { View };

/** The figure of one motion, ready to be drawn at any time. */
export interface Stage {
  readonly element: SVGSVGElement;
  draw(time: number, view: View): void;
  /** Sets the scale: the height in m that fills the stage. */
  fit(tallest: number): void;
}

const WIDTH = 360;
const HEIGHT = 318;
const FLOOR = 222;
/** Height in px of a figure from which on its limbs have their full edge. */
const FILLED = 160;
/** Share of the drawing's height that the tallest of the figures takes. */
const FILL = 0.92;

/** The stage of a motion; `fit` has to be called before it is drawn. */
export function makeStage(parent: Element, document: MotionDocument): Stage {
  const figure = makeFigure(document);
  const forcesAt = readForces(document);
  const { stature } = document.body;
  let pixels = 1;
  const element = svg(parent, 'svg', {
    viewBox: `0 0 ${WIDTH} ${HEIGHT}`,
    role: 'img',
    class: 'stage',
    'aria-label': `${document.name}: a figure walking, with the floor's force under each foot`,
  });
  const ground = makeGround(element, document, { width: WIDTH, floor: FLOOR });
  const trail = makeTrail(element, document, (time) => figure.at(time, false).pelvis);
  const skirted = figure.parts.some(({ kind, carrier }) => kind === 'cloth' && carrier === 'hips');
  const body = makeBody(element, figure, skirted);
  const drawParts = makeParts(figure.parts, body, stature);
  const drawArrows = makeArrows(element);

  const draw = (time: number, view: View): void => {
    const pose = figure.at(time);
    // The ground under the character stays where the floor is drawn.
    const low = FLOOR + ground.heightAt(time) * pixels;
    const camera = makeCamera(view, pose.pelvis, [WIDTH / 2, low], pixels);
    ground.draw(time, pose.pelvis, camera, view !== 'front');
    trail(time, camera);
    body.draw(pose, camera, pixels);
    drawParts(pose, camera, pixels);
    drawArrows(pose, forcesAt(time), camera);
  };

  const fit = (tallest: number): void => {
    pixels = (FILL * FLOOR) / tallest;
    // The light edge between limbs gives way before the limbs of a small figure do.
    element.style.setProperty('--edge', `${Math.min(1, (stature * pixels) / FILLED).toFixed(2)}px`);
  };
  return { element, draw, fit };
}

/** The path of the hips with a bead on every frame, as animators draw it: close beads are slow. */
function makeTrail(
  parent: Element,
  { span, scene, root }: MotionDocument,
  pelvisAt: (time: number) => Triple,
): (time: number, camera: Camera) => void {
  const line = svg(parent, 'path', { d: '', class: 'trail' });
  const beads = svg(parent, 'path', { d: '', class: 'beads' });
  const every = scene.frameRate.seconds / scene.frameRate.frames;
  const count = Math.min(400, Math.round(span.duration / every));
  const path = Array.from({ length: count + 1 }, (_, i) => pelvisAt(span.start + i * every));
  const stride = span.repeats ? (root.forward.gain ?? 0) : 0;
  return (time, camera) => {
    const turns = span.repeats ? Math.floor((time - span.start) / span.duration) : 0;
    const shown = [-1, 0, 1].flatMap((turn) =>
      span.repeats || turn === 0
        ? path
            .slice(0, span.repeats ? count : count + 1)
            .map(([ahead, up, left]): Triple => [ahead + (turns + turn) * stride, up, left])
        : [],
    );
    const spots = shown.map(camera.place).filter(([x]) => x > -20 && x < WIDTH + 20);
    set(line, { d: spots.length > 1 ? through(spots) : '' });
    set(beads, { d: spots.map(([x, y]) => `M${x.toFixed(1)} ${y.toFixed(1)}h0`).join('') });
  };
}
