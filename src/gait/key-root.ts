import type { Curve, Tracked } from '../curves/curve.js';
import {
  numberProblem,
  type Problem,
  refuseAny,
  requireNumber,
  requireRecord,
  show,
} from '../internal/check.js';
import { fitRoot } from './fit-root.js';
import { requireMotion } from './motion.js';
import type { Note } from './note.js';
import { posesOf } from './poses.js';
import { pathOf, requireTracked } from './root.js';
import { runCycle, snapRun } from './run/key-run.js';
import type { Run } from './run/run.js';
import type { Shot } from './shot/shot.js';
import { type KeyedShotRoot, keyShotRoot } from './shot-keys/key-shot-root.js';
import { type KeyShotRootOptions, readRootRequest } from './shot-keys/requests.js';
import { snapToFrames } from './snap-to-frames.js';
import type { Channels, Motion, Walk } from './walk.js';

/** How to key a motion's root. */
export interface KeyRootOptions {
  /** Frames per second, > 0; key n lies at n / fps. */
  readonly fps: number;
  /** Whose path: the centre of mass, or the root (pelvis). No default. */
  readonly of: Tracked;
  /** Largest error in m that is asked for; default 0.0003. */
  readonly tolerance?: number;
  /** Largest rms error of the implied load in BW that is asked for; default 0.05. */
  readonly loadTolerance?: number;
  /** Keys a step of each channel, whole, in [2, 64], in place of the tolerances. */
  readonly keysPerStep?: number;
  /** Whether the frame nearest each high and low gets a key; costs some of the accuracy. Default false. */
  readonly keyExtremes?: boolean;
  /** Whether contact, down, passing and up each get a key. Default false. */
  readonly keyPoses?: boolean;
  /** Whether the walk is first brought onto whole frames, as `snapToFrames` does. Default true. */
  readonly wholeFrames?: boolean;
}

/** An error, where it is worst, and its root mean square. */
export interface KeyedErrorPart {
  readonly max: number;
  /** Time in s of the largest error. */
  readonly at: number;
  readonly rms: number;
}

/** What one channel's curve misses its exact path by. */
export interface KeyedError {
  /** Distance in m. */
  readonly value: KeyedErrorPart;
  /** Load that the curve implies beyond the path's own, in BW. */
  readonly load: KeyedErrorPart;
  /** Largest jump of the implied load at a key in BW, and where. */
  readonly jump: { readonly max: number; readonly at: number };
}

/** The keyed root. */
export interface KeyedRoot extends Channels<Curve> {
  readonly of: Tracked;
  readonly fps: number;
  /** Length of the cycle in frames; whole unless `wholeFrames` is false. */
  readonly frames: number;
  /** Achieved errors, measured on a grid finer than the one that fitted. */
  readonly error: Channels<KeyedError>;
  /** Whether every channel met the tolerances that were asked for. */
  readonly met: boolean;
  /** The walk that was keyed: the given one, brought onto whole frames where that was asked. */
  readonly walk: Walk;
  /** What changed on the way, beyond the walk's own notes. */
  readonly notes: readonly Note[];
}

/** The keyed root of a run. */
export interface KeyedRunRoot extends Omit<KeyedRoot, 'walk'> {
  /** The run that was keyed: the given one, brought onto whole frames where that was asked. */
  readonly run: Run;
}

/** Names of the options, for whatever takes them along. */
export const KEY_ROOT_OPTIONS = [
  'fps',
  'of',
  'tolerance',
  'loadTolerance',
  'keysPerStep',
  'keyExtremes',
  'keyPoses',
  'wholeFrames',
];

/**
 * Height, forward and side of a motion as few Bézier keys on whole frames that loop, in m, with the
 * achieved error in m and in BW.
 *
 * Keys are placed by search over the frames; values, slopes and spans are fitted to the path and to its
 * second derivative, one body weight of load counting as 6 mm. `tolerance` bounds the largest distance
 * and `loadTolerance` the rms of the implied load; both are checked after the fit, and where they cannot
 * be met `met` is false and the errors say by how much.
 *
 * @param motion - a planned walk
 * @param options - frame rate, whose path, and how closely or with how many keys
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { keyRoot, planWalk } from 'underfoot';
 *
 * const keyed = keyRoot(planWalk({ pace: 'ordinary' }), { fps: 24, of: 'centreOfMass' });
 * console.log(keyed.frames, keyed.met, keyed.error.height.value.max < 0.0003); // → 26 true true
 * ```
 */
export function keyRoot(motion: Walk, options: KeyRootOptions): KeyedRoot;
/**
 * The path of a shot as open curves from frame 0 on, in the fixed axes, and the heading: cubic Hermite keys on whole
 * frames with exact values and slopes, at the poses and as few between them as the tolerances need.
 *
 * @param motion - a planned shot
 * @param options - frame rate, whose path, and how closely
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { keyRoot, planShot } from 'underfoot';
 *
 * const keyed = keyRoot(planShot({ stretches: [{ steps: 6 }] }), { fps: 24, of: 'root' });
 * console.log(keyed.met, keyed.error.height.value.max < 0.0003); // → true true
 * ```
 */
export function keyRoot(motion: Shot, options: KeyShotRootOptions): KeyedShotRoot;
/**
 * The path of a run as few keys that loop, as of a walk; its load stands still in flight and rises steeply after it,
 * which takes more keys.
 *
 * @param motion - a planned run
 * @param options - frame rate, whose path, and how closely or with how many keys
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { keyRoot, planRun } from 'underfoot';
 *
 * const keyed = keyRoot(planRun({ pace: { speed: 3.2 } }), { fps: 24, of: 'root' });
 * console.log(keyed.frames, keyed.met); // → 18 true
 * ```
 */
export function keyRoot(motion: Run, options: KeyRootOptions): KeyedRunRoot;
/**
 * The path of a walk, a shot or a run, whichever a motion is; with the options that all take.
 *
 * @param motion - a planned motion
 * @param options - as of all
 * @throws RangeError or TypeError naming field, rule and value
 */
export function keyRoot(
  motion: Motion,
  options: Omit<KeyShotRootOptions, 'turnTolerance'>,
): KeyedRoot | KeyedShotRoot | KeyedRunRoot;
export function keyRoot(
  motion: Motion,
  options: KeyRootOptions | KeyShotRootOptions,
): KeyedRoot | KeyedShotRoot | KeyedRunRoot {
  const where = 'keyRoot';
  const given = requireMotion(where, motion);
  if (given.kind === 'shot') return keyShotRoot(given, readRootRequest(where, options));
  return given.kind === 'run' ? keyRunRoot(where, given, options) : keyWalkRoot(where, given, options);
}

function keyRunRoot(where: string, given: Run, options: KeyRootOptions): KeyedRunRoot {
  const { fps, of, wholeFrames, keyPoses } = readOptions(where, options);
  const run = wholeFrames ? snapRun(given, fps) : given;
  const cycle = runCycle(run, of, keyPoses);
  return {
    of,
    fps,
    frames: run.pace.strideTime * fps,
    ...fitRoot(cycle, { ...options, of }),
    run,
    notes: run.notes.filter((note) => !given.notes.includes(note)),
  };
}

function readOptions(where: string, options: KeyRootOptions) {
  requireRecord(where, 'options', options, KEY_ROOT_OPTIONS);
  const { wholeFrames = true, keyPoses = false } = options;
  const fps = requireNumber(where, 'fps', options.fps, { above: 0, unit: 'Hz' });
  const of = requireTracked(where, options.of);
  refuseAny(where, optionProblems(options));
  return { fps, of, wholeFrames, keyPoses };
}

function keyWalkRoot(where: string, given: Walk, options: KeyRootOptions): KeyedRoot {
  const { fps, of, wholeFrames, keyPoses } = readOptions(where, options);
  const walk = wholeFrames ? snapToFrames(given, { fps }) : given;
  const { strideTime } = walk.pace;
  const poses = keyPoses ? posesOf(walk).filter(({ phase }) => phase < 1) : [];
  const cycle = {
    strideTime,
    gravity: walk.gravity,
    path: pathOf(walk, of),
    keysAt: poses.map(({ phase }) => phase * strideTime),
  };
  return {
    of,
    fps,
    frames: strideTime * fps,
    ...fitRoot(cycle, { ...options, of }),
    walk,
    notes: walk.notes.filter((note) => !given.notes.includes(note)),
  };
}

function optionProblems(options: KeyRootOptions): (Problem | undefined)[] {
  const optional = (name: keyof KeyRootOptions, bounds: Parameters<typeof numberProblem>[2]) =>
    options[name] === undefined ? undefined : numberProblem(name, options[name], bounds);
  const flag = (name: 'keyExtremes' | 'keyPoses' | 'wholeFrames'): Problem | undefined =>
    options[name] === undefined || typeof options[name] === 'boolean'
      ? undefined
      : { field: name, rule: 'must be true or false', got: show(options[name]), kind: 'type' };
  return [
    optional('tolerance', { above: 0, unit: 'm' }),
    optional('loadTolerance', { above: 0, unit: 'BW' }),
    optional('keysPerStep', { min: 2, max: 64, whole: true }),
    flag('keyExtremes'),
    flag('keyPoses'),
    flag('wholeFrames'),
  ];
}
