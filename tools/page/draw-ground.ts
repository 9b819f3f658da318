/// <reference lib="dom" />
import type { MotionDocument } from '../../src/exchange/document.js';
import { plus, type Triple, turned, turnOf } from '../../src/exchange/figure/turns.js';
import type { Camera } from './camera.js';
import { set, svg, through } from './dom.js';

/** Distance in m between two marks on the floor. */
const MARK = 0.5;

/** The floor with a mark every half metre, and where the feet stand. */
export interface Ground {
  /** Height of the ground under the character at a time, in m; smooth from landing to landing. */
  heightAt(time: number): number;
  draw(time: number, eye: Triple, camera: Camera, marked: boolean): void;
}

/** Makes the ground of a motion on a stage so wide, its floor at `floor` px where it is level. */
export function makeGround(
  parent: Element,
  { feet, span, root }: MotionDocument,
  { width, floor }: { readonly width: number; readonly floor: number },
): Ground {
  const plants = (['left', 'right'] as const).flatMap((side) =>
    feet[side].plants.map((plant, i) => ({
      side,
      plant,
      land: feet[side].contacts[i].land,
      shape: feet[side].shape,
    })),
  );
  const rises = plants.map(({ land, plant }) => [land, plant.height ?? 0] as const).sort(([a], [b]) => a - b);
  const level = plants.every(({ plant }) => !plant.height && !plant.pitch);
  const line = svg(parent, 'path', { d: level ? `M0 ${floor}H${width}` : '', class: 'ground' });
  const marks = svg(parent, 'path', { d: '', class: 'ground' });
  const prints = {
    left: svg(parent, 'path', { d: '', class: 'print left' }),
    right: svg(parent, 'path', { d: '', class: 'print right' }),
  };
  const stride = span.repeats ? (root.forward.gain ?? 0) : 0;
  // A foot's length from its heel, along the ground under it.
  const soles = plants.map(({ side, plant, shape }) => {
    const heel: Triple = [plant.forward, plant.height ?? 0, plant.side];
    const long = shape.heelToBall + shape.ballToToe;
    const toe = plus(heel, turned(turnOf(plant.heading, 0, plant.pitch ?? 0), [long, 0, 0]));
    return { side, ends: [heel, toe] as const };
  });

  const heightAt = (time: number): number => {
    if (level) return 0;
    const next = rises.findIndex(([land]) => land > time);
    if (next < 0) return rises[rises.length - 1][1];
    if (next === 0) return rises[0][1];
    const [[from, low], [to, high]] = [rises[next - 1], rises[next]];
    return low + ((high - low) * (time - from)) / (to - from);
  };

  const draw = (time: number, [eye]: Triple, camera: Camera, marked: boolean): void => {
    const turns = span.repeats ? Math.floor((time - span.start) / span.duration) : 0;
    for (const foot of ['left', 'right'] as const) {
      const shown = soles
        .filter(({ side }) => side === foot)
        .flatMap(({ ends }) =>
          (span.repeats ? [-1, 0, 1] : [0]).map((turn) =>
            ends.map(([ahead, up, left]) => camera.place([ahead + (turns + turn) * stride, up, left])),
          ),
        );
      set(prints[foot], { d: shown.map(through).join('') });
    }
    const step = Math.abs(camera.across([1, 0, 0]));
    if (!marked || !level || step < 1) {
      set(marks, { d: '' });
      return;
    }
    const reach = Math.ceil(width / step / 2 / MARK) + 1;
    const first = Math.floor(eye / MARK) - reach;
    const xs = Array.from({ length: 2 * reach + 2 }, (_, i) => camera.place([(first + i) * MARK, 0, 0])[0]);
    const d = xs.filter((x) => x >= 0 && x <= width).map((x) => `M${x.toFixed(1)} ${floor}l-5 9`);
    set(marks, { d: d.join('') });
    set(line, { d: `M0 ${floor}H${width}` });
  };
  return { heightAt, draw };
}
