/// <reference lib="dom" />
import type { PartPose, PartShape } from '../../src/exchange/figure/part-shapes.js';
import type { FigurePose } from '../../src/exchange/figure/pose-figure.js';
import type { Triple } from '../../src/exchange/figure/turns.js';
import type { Camera } from './camera.js';
import { set, svg } from './dom.js';
import type { BodyDrawing } from './draw-body.js';
import { closed, taper } from './outline.js';

/** Draws what hangs from the figure. */
export type DrawParts = (pose: FigurePose, camera: Camera, pixels: number) => void;

/** Radii over stature: of a ball, and of a strand at its root and its tip. By eye. */
const SIZE = { ball: 0.05, root: 0.02, tip: 0.006 } as const;

/** Makes drawings of all parts, put between the body's layers. */
export function makeParts(parts: readonly PartShape[], body: BodyDrawing, stature: number): DrawParts {
  const drawn = parts.map((part) =>
    part.kind === 'cloth'
      ? makeCloth(part, body)
      : part.kind === 'ball'
        ? makeBall(body, stature)
        : makeStrands(body, stature),
  );
  return (pose, camera, pixels) => {
    drawn.forEach((draw, i) => {
      draw(pose.parts[i], pose, camera, pixels);
    });
  };
}

type DrawPart = (part: PartPose, pose: FigurePose, camera: Camera, pixels: number) => void;

function makeBall(body: BodyDrawing, stature: number): DrawPart {
  const ball = svg(body.before, 'circle', { class: 'part' });
  return ({ centre }, { pelvis }, camera, pixels) => {
    const [cx, cy] = camera.place(centre);
    set(ball, { cx, cy, r: SIZE.ball * stature * pixels });
    // What is on the far side of the hips is behind the body.
    (camera.near(centre) < camera.near(pelvis) - 1e-6 ? body.behind : body.before).append(ball);
  };
}

function makeStrands(body: BodyDrawing, stature: number): DrawPart {
  const strand = svg(body.before, 'path', { d: '', class: 'part strand' });
  return ({ strands, centre }, _pose, { place, near }, pixels) => {
    const d = strands.map((points) => {
      const radius = (i: number): number => {
        const share = i / Math.max(1, points.length - 1);
        return (SIZE.root + (SIZE.tip - SIZE.root) * share) * stature * pixels;
      };
      return points
        .slice(1)
        .map((point, i) => taper(place(points[i]), place(point), radius(i), radius(i + 1)));
    });
    set(strand, { d: d.flat().join('') });
    // What hangs on the far side of its carrier is behind the body.
    const tip = strands[0]?.at(-1) ?? centre;
    (near(tip) < near(centre) - 1e-6 ? body.behind : body.before).append(strand);
  };
}

/** A cloth as its panels, those on the far side behind the legs. */
function makeCloth({ ring }: PartShape & { readonly kind: 'cloth' }, body: BodyDrawing): DrawPart {
  const far = svg(body.behind, 'path', { d: '', class: 'cloth back' });
  const near = svg(body.between, 'path', { d: '', class: 'cloth' });
  return ({ strands }, { pelvis }, camera) => {
    const back: string[] = [];
    const front: string[] = [];
    const count = ring ? strands.length : strands.length - 1;
    for (let s = 0; s < count; s++) {
      const other = strands[(s + 1) % strands.length];
      const panel: readonly Triple[] = [...strands[s], ...[...other].reverse()];
      const depth = panel.reduce((sum, point) => sum + camera.near(point), 0) / panel.length;
      (depth < camera.near(pelvis) ? back : front).push(closed(panel.map(camera.place)));
    }
    set(far, { d: back.join('') });
    set(near, { d: front.join('') });
  };
}
