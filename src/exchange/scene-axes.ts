import type { Channels } from '../gait/walk.js';
import type { Scene } from './scene.js';

/** Which of the scene's axes a channel runs along, and which way. */
export interface AxisOf {
  /** 0 for x, 1 for y, 2 for z. */
  readonly index: 0 | 1 | 2;
  readonly letter: 'x' | 'y' | 'z';
  readonly sign: 1 | -1;
}

const LETTERS = ['x', 'y', 'z'] as const;

function axisAt(index: number, sign: number): AxisOf {
  return { index: index as 0 | 1 | 2, letter: LETTERS[index], sign: sign > 0 ? 1 : -1 };
}

/**
 * The scene axis of each channel. Forward, side and height are a right-handed triad and so is the scene,
 * hence side = height × forward.
 *
 * @param scene - its up axis and the way forward
 * @returns for each channel the axis, its index and its sign
 *
 * @example
 * ```ts
 * import { sceneAxes } from 'underfoot/exchange';
 *
 * console.log(sceneAxes({ up: 'y', forward: '+z' }).side.letter); // → x
 * ```
 */
export function sceneAxes(scene: Pick<Scene, 'up' | 'forward'>): Channels<AxisOf> {
  const up = LETTERS.indexOf(scene.up);
  const ahead = LETTERS.indexOf(scene.forward[1] as 'x' | 'y' | 'z');
  const sign = scene.forward[0] === '-' ? -1 : 1;
  const cyclic = (up + 1) % 3 === ahead;
  return {
    height: axisAt(up, 1),
    forward: axisAt(ahead, sign),
    side: axisAt(3 - up - ahead, cyclic ? sign : -sign),
  };
}

/** Short name of the scene's unit of length. */
export function unitName(metersPerUnit: number): string {
  const known: readonly (readonly [number, string])[] = [
    [1, 'm'],
    [0.01, 'cm'],
    [0.001, 'mm'],
    [0.0254, 'in'],
    [0.3048, 'ft'],
  ];
  return known.find(([size]) => size === metersPerUnit)?.[1] ?? `${metersPerUnit} m`;
}
