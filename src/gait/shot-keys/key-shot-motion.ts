import type { Curve, Tracked } from '../../curves/curve.js';
import type { KeyedError } from '../key-root.js';
import type { Note } from '../note.js';
import type { PoseDelays, PoseTurns } from '../pose/pose-series.js';
import type { Shot } from '../shot/shot.js';
import type { Channels, Sides } from '../walk.js';
import type { FootBounds } from './key-shot-foot.js';
import { keyShotRoot, type ShotChannels, type ShotRootRequest } from './key-shot-root.js';
import { keyShotTurns } from './key-shot-turns.js';
import { poseFrames } from './pose-frames.js';
import { type ShotFootTrack, trackShotFeet } from './shot-foot-tracks.js';
import { lastFrameOf } from './shot-frames.js';
import { treadNotes } from './tread-notes.js';

/** A whole shot as open curves: m and rad over s. */
export interface KeyedShotMotion extends PoseTurns<Curve> {
  readonly fps: number;
  /** Last frame. */
  readonly frames: number;
  readonly of: Tracked;
  readonly space: 'travelling';
  /** In the fixed axes of the shot, and the heading that all turns are against. */
  readonly root: ShotChannels<Curve>;
  readonly feet: Sides<ShotFootTrack>;
  /** Achieved errors: the root's path and heading, the largest of all turns, and the feet's. */
  readonly error: {
    readonly root: Channels<KeyedError>;
    /** In rad. */
    readonly heading: number;
    /** In rad. */
    readonly turns: number;
    /** In m. */
    readonly slip: number;
    /** In m. */
    readonly footPath: number;
  };
  /** Whether every tolerance that was asked for is met. */
  readonly met: boolean;
  readonly shot: Shot;
  /** What changed on the way, beyond the shot's own notes. */
  readonly notes: readonly Note[];
}

/** What the keys of a shot are asked for; defaults filled in. */
export interface ShotMotionRequest extends ShotRootRequest {
  readonly feet: FootBounds;
  readonly delays?: PoseDelays;
}

/** Keys a whole shot; checks are the caller's. */
export function keyShotMotion(shot: Shot, request: ShotMotionRequest): KeyedShotMotion {
  const { fps, turnTolerance, delays } = request;
  const marks = poseFrames(shot, fps, lastFrameOf(shot, fps));
  const root = keyShotRoot(shot, request, marks);
  const feet = trackShotFeet(shot, fps, request.feet);
  const turns = keyShotTurns(shot, fps, root.frames, marks, turnTolerance, delays);
  const { height, forward, side, heading } = root;
  return {
    fps,
    frames: root.frames,
    of: root.of,
    space: 'travelling',
    root: { height, forward, side, heading },
    ...turns.curves,
    feet: { left: feet.left, right: feet.right },
    error: {
      root: root.error,
      heading: root.headingError,
      turns: turns.error,
      slip: Math.max(feet.left.error.slip, feet.right.error.slip),
      footPath: Math.max(feet.left.error.path, feet.right.error.path),
    },
    met: root.met && turns.met && feet.left.met && feet.right.met,
    shot,
    notes: [...root.notes, ...treadNotes(shot, feet.left.shape)],
  };
}
