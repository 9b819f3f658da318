import type { Pose } from '../poses.js';
import type { Shot } from '../shot/shot.js';
import { type ShotPose, shotPosesOf } from './shot-poses.js';

/** Poses in the order in which they claim their frame for a key. */
const CLAIMS: readonly Pose[] = ['contact', 'passing', 'down', 'up'];

/**
 * Frames of a shot's poses, rising, with the first and the last frame; without those that would stand on the frame
 * beside another's, contacts and passings going first.
 */
export function poseFrames(
  shot: Shot,
  fps: number,
  last: number,
  poses: readonly ShotPose[] = shotPosesOf(shot),
): number[] {
  const taken = new Set([0, last]);
  for (const claim of CLAIMS) {
    for (const { pose, time } of poses) {
      const frame = Math.round(time * fps);
      if (pose !== claim || frame < 0 || frame > last) continue;
      if (!taken.has(frame - 1) && !taken.has(frame + 1)) taken.add(frame);
    }
  }
  return [...taken].sort((a, b) => a - b);
}
