import type { Pose } from '../poses.js';
import type { Shot } from '../shot/shot.js';
import type { Side } from '../walk.js';
import { lastFrameOf } from './shot-frames.js';
import { shotPosesOf } from './shot-poses.js';

/** One pose of a shot's chart. */
export interface ShotPoseMark {
  readonly pose: Pose;
  /** The foot that the step stands on: the one that has landed. */
  readonly foot: Side;
  /** Index of that step in `Shot.steps`. */
  readonly step: number;
  /** Time in s from the beginning. */
  readonly time: number;
  /** Where the pose falls, in frames, fractions kept. */
  readonly exactFrame: number;
  /** The nearest whole frame. */
  readonly frame: number;
}

/** Poses of a shot against frames. */
export interface ShotTimingChart {
  readonly fps: number;
  /** The frame that the shot begins on. */
  readonly firstFrame: number;
  /** The frame that it ends on. */
  readonly lastFrame: number;
  /** In order of time. */
  readonly marks: readonly ShotPoseMark[];
  readonly shot: Shot;
}

/** Contact, down, passing and up of every step of a shot; checks are the caller's. */
export function chartShot(shot: Shot, fps: number, firstFrame: number): ShotTimingChart {
  const marks = shotPosesOf(shot).map((pose): ShotPoseMark => {
    const exactFrame = firstFrame + pose.time * fps;
    return { ...pose, exactFrame, frame: Math.round(exactFrame) };
  });
  return { fps, firstFrame, lastFrame: firstFrame + lastFrameOf(shot, fps), marks, shot };
}
