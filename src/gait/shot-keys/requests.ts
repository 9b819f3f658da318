import type { Tracked } from '../../curves/curve.js';
import { numberProblem, refuseAny, requireNumber, requireRecord, show } from '../../internal/check.js';
import type { PoseDelays } from '../pose/pose-series.js';
import { requireTracked } from '../root.js';
import type { Shot } from '../shot/shot.js';
import type { FootBounds } from './key-shot-foot.js';
import type { ShotMotionRequest } from './key-shot-motion.js';
import type { ShotRootRequest } from './key-shot-root.js';

/** How to key a shot's path. A shot keeps its own times: what stands on whole frames are its keys. */
export interface KeyShotRootOptions {
  /** Frames per second, > 0; key n lies at n / fps. */
  readonly fps: number;
  /** Whose path: the centre of mass, or the root (pelvis). No default. */
  readonly of: Tracked;
  /** Largest error in m that is asked for; default 0.0003. */
  readonly tolerance?: number;
  /** Largest rms error of the implied load in BW that is asked for; default 0.05. */
  readonly loadTolerance?: number;
  /** Largest error in rad of the heading, > 0. Default 0.005, about 0.3 degrees. */
  readonly turnTolerance?: number;
  /** Whether contacts and passings, and lows and highs that are not beside them, get a key. Default true. */
  readonly keyPoses?: boolean;
}

/** How to key a whole shot. */
export interface KeyShotMotionOptions extends KeyShotRootOptions {
  /** A shot is keyed in the world. */
  readonly space?: 'travelling';
  /** Largest distance in m of a swinging foot from its path, > 0; default as in `footTracks`. */
  readonly footTolerance?: number;
  /** Largest distance in m that a planted foot may move, > 0; default as in `footTracks`. */
  readonly slip?: number;
  /** How late chest, arms, elbows and head are; default as in `poseSeries`. */
  readonly delays?: PoseDelays;
}

/** How to key a shot's feet. */
export interface ShotFootTrackOptions {
  /** Frames per second, > 0. Left out, keys stand at the exact times of the events and between them. */
  readonly fps?: number;
  /** A shot is keyed in the world. */
  readonly space?: 'travelling';
  /** Largest distance in m from the path in the air, > 0. Default 0.005 at a leg of 0.9 m, in proportion. */
  readonly tolerance?: number;
  /** Largest distance in m that a planted heel or ball may move, > 0. Default 0.0001 m. */
  readonly slip?: number;
}

const ROOT_NAMES = ['fps', 'of', 'tolerance', 'loadTolerance', 'turnTolerance', 'keyPoses'];
const MOTION_NAMES = [...ROOT_NAMES, 'space', 'footTolerance', 'slip', 'delays'];
const FOOT_NAMES = ['fps', 'space', 'tolerance', 'slip'];

/** Reads what a shot's path is to be keyed like. */
export function readRootRequest(
  where: string,
  options: KeyShotRootOptions,
  names: readonly string[] = ROOT_NAMES,
): ShotRootRequest {
  requireRecord(where, 'options', options, names);
  const { tolerance = 0.0003, loadTolerance = 0.05, turnTolerance = 0.005, keyPoses = true } = options;
  const fps = requireNumber(where, 'fps', options.fps, { above: 0, unit: 'Hz' });
  const of = requireTracked(where, options.of);
  refuseAny(where, [
    numberProblem('tolerance', tolerance, { above: 0, unit: 'm' }),
    numberProblem('loadTolerance', loadTolerance, { above: 0, unit: 'BW' }),
    numberProblem('turnTolerance', turnTolerance, { above: 0, unit: 'rad' }),
    typeof keyPoses === 'boolean'
      ? undefined
      : { field: 'keyPoses', rule: 'must be true or false', got: show(keyPoses), kind: 'type' },
  ]);
  return { fps, of, tolerance, loadTolerance, turnTolerance, keyPoses };
}

/** Reads what a whole shot is to be keyed like. */
export function readMotionRequest(
  where: string,
  shot: Shot,
  options: KeyShotMotionOptions,
): ShotMotionRequest {
  const root = readRootRequest(where, options, MOTION_NAMES);
  const { space, footTolerance, slip, delays } = options;
  const feet = footBounds(where, shot, { space, tolerance: footTolerance, slip }, 'footTolerance');
  return { ...root, feet, ...(delays ? { delays } : {}) };
}

/** Reads how closely a shot's feet are to be keyed, and at what frame rate. */
export function readFootRequest(
  where: string,
  shot: Shot,
  options: ShotFootTrackOptions,
): { readonly fps?: number; readonly bounds: FootBounds } {
  requireRecord(where, 'options', options, FOOT_NAMES);
  const { fps } = options;
  if (fps !== undefined) requireNumber(where, 'fps', fps, { above: 0, unit: 'Hz' });
  return { fps, bounds: footBounds(where, shot, options, 'tolerance') };
}

function footBounds(where: string, shot: Shot, options: ShotFootTrackOptions, name: string): FootBounds {
  const { space, tolerance = (0.005 * shot.body.legLength) / 0.9, slip = 0.0001 } = options;
  refuseAny(where, [
    space === undefined || space === 'travelling'
      ? undefined
      : { field: 'space', rule: 'must be "travelling" for a shot', got: show(space), kind: 'range' },
    numberProblem(name, tolerance, { above: 0, unit: 'm' }),
    numberProblem('slip', slip, { above: 0, unit: 'm' }),
  ]);
  return { path: tolerance, slip };
}
