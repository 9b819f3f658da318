/// <reference lib="dom" />
import type { Figure, FigurePose } from '../../src/exchange/figure/pose-figure.js';
import { type Triple, turned } from '../../src/exchange/figure/turns.js';
import type { Camera } from './camera.js';
import { set, svg } from './dom.js';
import { closed, type Spot, smooth, taper } from './outline.js';

type Side = 'left' | 'right';

/** One leg or arm: upper and lower limb, and foot and toes where it has them. */
interface Limb {
  readonly upper: SVGPathElement;
  readonly lower: SVGPathElement;
  readonly end?: SVGPathElement;
}

/** What is drawn of a body, in layers from the far side to the near one. */
export interface BodyDrawing {
  /** Layers that hanging parts are put between. */
  readonly behind: SVGGElement;
  readonly between: SVGGElement;
  readonly before: SVGGElement;
  draw(pose: FigurePose, camera: Camera, pixels: number): void;
}

/** Half the depth of trunk and hips over their half width. By eye. */
const DEPTH = 0.62;

/** Half the breadth of a foot over the radius of a limb. By eye. */
const BREADTH = 0.7;

/** Makes the body's drawing; `skirted` leaves out its own hem. */
export function makeBody(parent: Element, figure: Figure, skirted: boolean): BodyDrawing {
  const layer = (name: string): SVGGElement => svg(parent, 'g', { class: name });
  const path = (group: Element, name: string): SVGPathElement => svg(group, 'path', { d: '', class: name });
  const far = layer('far');
  const behind = layer('behind');
  const legs = layer('legs');
  const between = layer('between');
  const trunk = layer('body');
  const before = layer('before');
  const near = layer('near');
  const leg = (side: Side): Limb => ({
    upper: path(legs, `limb ${side} leg`),
    lower: path(legs, `limb ${side}`),
    end: path(legs, `limb ${side} foot`),
  });
  const arm = (group: Element, side: Side): Limb => ({
    upper: path(group, `limb ${side} arm`),
    lower: path(group, `limb ${side}`),
  });
  const limbs = {
    arms: { left: arm(far, 'left'), right: arm(near, 'right') },
    legs: { left: leg('left'), right: leg('right') },
  };
  const hem = path(trunk, 'trunk');
  const hips = path(trunk, 'trunk');
  const chest = path(trunk, 'trunk');
  const throat = path(trunk, 'trunk');
  const nose = path(trunk, 'trunk');
  const head = path(trunk, 'trunk head');
  const { shape } = figure;
  const r = shape.limbRadius;

  const draw = (pose: FigurePose, camera: Camera, pixels: number): void => {
    const { place } = camera;
    const order: readonly Side[] =
      camera.near(pose.legs.left.hip) > camera.near(pose.legs.right.hip)
        ? ['right', 'left']
        : ['left', 'right'];
    order.forEach((side, i) => {
      const { upper, lower, end } = limbs.legs[side];
      const { hip, knee, ankle, heel, ball, toe } = pose.legs[side];
      set(upper, { d: taper(place(hip), place(knee), 1.25 * r * pixels, 0.95 * r * pixels) });
      set(lower, { d: taper(place(knee), place(ankle), 0.95 * r * pixels, 0.62 * r * pixels) });
      if (end) {
        const way = pose.legs[side].heading;
        const broad = Math.abs(camera.across([-Math.sin(way), 0, Math.cos(way)]));
        const edge = Math.max(0.36 * r * pixels, BREADTH * r * broad);
        set(end, { d: footOutline([ankle, heel, ball, toe].map(place), edge), 'stroke-width': 2 * edge });
      }
      for (const part of [upper, lower, end]) if (part) legs.append(part);
      const arms = limbs.arms[side];
      const { shoulder, elbow, hand } = pose.arms[side];
      set(arms.upper, { d: taper(place(shoulder), place(elbow), 0.8 * r * pixels, 0.66 * r * pixels) });
      set(arms.lower, { d: taper(place(elbow), place(hand), 0.66 * r * pixels, 0.5 * r * pixels) });
      for (const part of [arms.upper, arms.lower]) (i === 0 ? far : near).append(part);
    });
    drawTrunk(pose, camera, pixels);
  };

  function drawTrunk(pose: FigurePose, { place, across }: Camera, pixels: number): void {
    const { turns, pelvis, waist, neck } = pose;
    const wide = (turn: typeof turns.pelvis, half: number): number =>
      Math.hypot(across(turned(turn, [0, 0, half])), across(turned(turn, [DEPTH * half, 0, 0])));
    const hip = wide(turns.pelvis, 0.86 * shape.hipWidth);
    const bust = wide(turns.chest, 0.42 * shape.shoulderWidth);
    const belt = wide(turns.chest, 0.62 * shape.hipWidth);
    const [p, w, n] = [place(pelvis), place(waist), place(neck)];
    const beside = ([x, y]: Spot, dx: number, dy = 0): Spot => [x + dx, y + dy];
    const drop = 0.16 * shape.thigh * pixels;
    set(hips, {
      d: smooth([
        beside(w, -belt),
        beside(w, belt),
        beside(p, 1.06 * hip),
        beside(p, 0.7 * hip, drop),
        beside(p, -0.7 * hip, drop),
        beside(p, -1.06 * hip),
      ]),
    });
    const rise = 0.1 * shape.trunk * pixels;
    set(chest, {
      d: smooth([
        beside(n, -0.95 * bust, -0.3 * rise),
        beside(n, 0.95 * bust, -0.3 * rise),
        beside(n, 1.08 * bust, 3.2 * rise),
        beside(w, 1.02 * belt, 0.6 * rise),
        beside(w, -1.02 * belt, 0.6 * rise),
        beside(n, -1.08 * bust, 3.2 * rise),
      ]),
    });
    set(hem, { d: skirted ? '' : hemOutline(pose, place, hip, pixels) });
    const thick = 0.42 * shape.headRadius * pixels;
    set(throat, { d: taper(place(neck), place(pose.head), 1.2 * thick, thick) });
    const [egg, tip] = headOutline(pose, place, across);
    set(head, { d: egg });
    set(nose, { d: tip });
  }

  /** A short tunic that the thighs push out. */
  function hemOutline(
    { legs: { left, right }, pelvis }: FigurePose,
    place: (point: Triple) => Spot,
    hip: number,
    pixels: number,
  ): string {
    const along = (from: Triple, to: Triple): Spot => {
      const [a, b] = [place(from), place(to)];
      return [a[0] + 0.52 * (b[0] - a[0]), a[1] + 0.52 * (b[1] - a[1])];
    };
    const [p, l, q] = [place(pelvis), along(left.hip, left.knee), along(right.hip, right.knee)];
    const room = 1.55 * r * pixels;
    const [from, to] = [
      Math.min(l[0], q[0], p[0] - 0.5 * hip) - room,
      Math.max(l[0], q[0], p[0] + 0.5 * hip) + room,
    ];
    const low = Math.max(l[1], q[1]);
    return closed([
      [p[0] - hip, p[1] - 0.1 * hip],
      [p[0] + hip, p[1] - 0.1 * hip],
      [to, low - 1],
      [from, low - 1],
    ]);
  }

  /** An egg with a nose, so that it can be seen where the face looks. */
  function headOutline(
    { head: middle, turns }: FigurePose,
    place: (point: Triple) => Spot,
    across: (direction: Triple) => number,
  ): readonly [string, string] {
    const [x, y] = place(middle);
    const [crown] = place([middle[0], middle[1] + shape.headRadius, middle[2]]).slice(1);
    const high = 1.18 * (y - crown);
    const wide = 0.86 * (y - crown);
    const tilt = Math.atan2(across(turned(turns.head, [0, 1, 0])), (y - crown) / shape.headRadius);
    const nose = across(turned(turns.head, [shape.headRadius, 0, 0])) / (y - crown);
    const [c, s] = [Math.cos(tilt), Math.sin(tilt)];
    const at = (u: number, v: number): Spot => [x + u * c - v * s, y + u * s + v * c];
    const egg = Array.from({ length: 16 }, (_, i): Spot => {
      const turn = (2 * Math.PI * i) / 16;
      return at(1.04 * wide * Math.sin(turn), -1.04 * high * Math.cos(turn));
    });
    const tip = Math.sign(nose) * (0.4 + 0.92 * Math.abs(nose)) * wide;
    const side = Math.sign(nose) || 1;
    return [
      smooth(egg),
      closed([at(0.6 * side * wide, -0.3 * high), at(tip, 0.14 * high), at(0.6 * side * wide, 0.34 * high)]),
    ];
  }

  return { behind, between, before, draw };
}

/** A shoe: from the ankle over heel, ball and toes, to be drawn with a thick round edge. */
function footOutline([ankle, heel, ball, toe]: readonly Spot[], edge: number): string {
  const lift = ([x, y]: Spot): Spot => [x, y - edge];
  const mix = (a: Spot, b: Spot, u: number): Spot => [a[0] + u * (b[0] - a[0]), a[1] + u * (b[1] - a[1])];
  const instep = mix(ankle, lift(ball), 0.62);
  return closed([
    mix(ankle, lift(heel), 0.25),
    lift(heel),
    lift(ball),
    lift(toe),
    lift(mix(ball, toe, 0.5)),
    instep,
  ]);
}
