import type { Curve } from '../../curves/curve.js';
import type { FootContact, FootPlant, FootTrack } from '../feet/foot-tracks.js';
import type { Shot } from '../shot/shot.js';
import type { Side, Sides } from '../walk.js';
import { type FootBounds, keyShotFoot } from './key-shot-foot.js';
import { lastFrameOf } from './shot-frames.js';
import { footStances } from './stance-times.js';

/** Where a foot of a shot stands once: in the fixed axes, on ground that may be high or sloped. */
export interface ShotFootPlant extends FootPlant {
  /** Of the ground under the heel, in m. */
  readonly height: number;
  /** Of the ground along the foot, in rad; positive with the front down. */
  readonly pitch: number;
}

/** One foot of a shot as open curves in m and rad over s: one plant and one contact for each time that it stands. */
export interface ShotFootTrack extends FootTrack {
  /** Direction in which the foot points; positive is turned left. */
  readonly heading: Curve;
  readonly plants: readonly ShotFootPlant[];
}

/** Both feet of a shot. */
export interface ShotFootTracks extends Sides<ShotFootTrack> {
  readonly space: 'travelling';
  /** Whether all keys are on whole frames. */
  readonly onFrames: boolean;
  /** Last frame of the curves, or 0 where no frame rate was given. */
  readonly frames: number;
  readonly shot: Shot;
}

/** Both feet of a shot, keyed; checks are the caller's. */
export function trackShotFeet(shot: Shot, fps: number | undefined, bounds: FootBounds): ShotFootTracks {
  const last = fps === undefined ? 0 : lastFrameOf(shot, fps);
  const stances = {
    left: footStances(shot, 'left', fps, last),
    right: footStances(shot, 'right', fps, last),
  };
  // One foot on frames and the other off them would be neither.
  const onFrames = stances.left.onFrames && stances.right.onFrames;
  const end = fps === undefined ? shot.duration : last / fps;
  const trackOf = (side: Side): ShotFootTrack => {
    const own = onFrames ? stances[side] : footStances(shot, side, undefined, 0);
    const { curves, error, foot } = keyShotFoot(shot, side, own, bounds, { fps, end });
    return {
      foot: side,
      ...curves,
      plants: foot.pieces.map(({ step: { plant } }) => ({ ...plant, pitch: plant.pitch + 0 })),
      contacts: foot.pieces.map(
        ({ step, times }): FootContact => ({
          land: step.land,
          flat: times.flat,
          heelOff: step.ends ? step.lift : times.heelOff,
          lift: step.lift,
        }),
      ),
      shape: foot.shape,
      error,
      met: error.path <= bounds.path && error.slip <= bounds.slip,
    };
  };
  return {
    left: trackOf('left'),
    right: trackOf('right'),
    space: 'travelling',
    onFrames,
    frames: last,
    shot,
  };
}
