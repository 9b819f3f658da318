import type { Shot } from '../shot/shot.js';

/** How far from a frame still is on it, in frames. */
export const ON_FRAME = 1e-6;

/**
 * The last frame of a shot: the one at or after its end where it stands then, so that the end is shown; the one at
 * or before it where it walks on.
 */
export function lastFrameOf({ duration, spec }: Shot, fps: number): number {
  const frames = duration * fps;
  const stands = (spec.to ?? 'standing') === 'standing';
  return Math.max(1, stands ? Math.ceil(frames - ON_FRAME) : Math.floor(frames + ON_FRAME));
}
