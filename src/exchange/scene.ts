import type { FrameRate } from '../curves/time/frame-rate.js';
import { requireChoice, requireNumber, requireRecord } from '../internal/check.js';
import { readFrameRate } from './frame-rate.js';

/** Axis that points up. */
export type UpAxis = 'y' | 'z';

/** Axis and sign of a direction. */
export type SceneAxis = '+x' | '-x' | '+y' | '-y' | '+z' | '-z';

/** Where a motion goes: the conventions of the host scene. All of it has to be said; nothing is assumed. */
export interface SceneSpec {
  /** Axis that points up. */
  readonly up: UpAxis;
  /** Axis that the character walks along; not the one that points up. */
  readonly forward: SceneAxis;
  /** Metres in one unit of the scene, > 0: 1 for metres, 0.01 for centimetres. */
  readonly metersPerUnit: number;
  /** Frames per second, > 0, or an exact ratio. */
  readonly fps: number | FrameRate;
  /** The frame that time 0 falls on; whole. */
  readonly firstFrame: number;
}

/** A scene's conventions, settled. The scene is right-handed. */
export interface Scene {
  readonly up: UpAxis;
  readonly forward: SceneAxis;
  readonly metersPerUnit: number;
  readonly frameRate: FrameRate;
  readonly firstFrame: number;
}

const AXES: readonly SceneAxis[] = ['+x', '-x', '+y', '-y', '+z', '-z'];

/**
 * The scene's conventions with the frame rate made exact.
 *
 * @throws RangeError or TypeError naming field, rule and value
 */
export function resolveScene(where: string, spec: SceneSpec): Scene {
  requireRecord(where, 'scene', spec, ['up', 'forward', 'metersPerUnit', 'fps', 'firstFrame']);
  const up = requireChoice<UpAxis>(where, 'scene.up', spec.up, ['y', 'z']);
  const across = AXES.filter((axis) => axis[1] !== up);
  return {
    up,
    forward: requireChoice(where, 'scene.forward', spec.forward, across),
    metersPerUnit: requireNumber(where, 'scene.metersPerUnit', spec.metersPerUnit, { above: 0, unit: 'm' }),
    frameRate: readFrameRate(where, 'scene.fps', spec.fps),
    firstFrame: requireNumber(where, 'scene.firstFrame', spec.firstFrame, {
      whole: true,
      min: -1e9,
      max: 1e9,
    }),
  };
}
