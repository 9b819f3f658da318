import type { Curve } from '../curves/curve.js';
import { fitCurve } from '../curves/fit/fit-curve.js';
import type { FitOptions } from '../curves/fit/options.js';
import type { Series } from '../curves/series.js';
import { numberProblem, refuseAny, requireChoice, requireNumber, requireRecord } from '../internal/check.js';
import { FOOT_SPACES, type FootSpace } from './feet/foot-at.js';
import { type FootTrack, footTracks } from './feet/foot-tracks.js';
import { KEY_ROOT_OPTIONS, type KeyedRoot, type KeyRootOptions, keyRoot } from './key-root.js';
import { requireWalkOrShot } from './motion.js';
import type { Note } from './note.js';
import { type PoseDelays, type PoseTurns, poseSeries } from './pose/pose-series.js';
import { type Pose, posesOf } from './poses.js';
import type { Shot } from './shot/shot.js';
import { type KeyedShotMotion, keyShotMotion } from './shot-keys/key-shot-motion.js';
import { type KeyShotMotionOptions, readMotionRequest } from './shot-keys/requests.js';
import type { Channels, Sides, Walk } from './walk.js';

/** How to key a whole motion; the root's options are those of `keyRoot`. */
export interface KeyMotionOptions extends KeyRootOptions {
  /** In the world, or on the spot with the floor sliding back. Default `travelling`. */
  readonly space?: FootSpace;
  /** Largest error in rad of what turns, > 0. Default 0.005, about 0.3 degrees. */
  readonly turnTolerance?: number;
  /** Largest distance in m of a swinging foot from its path, > 0; default as in `footTracks`. */
  readonly footTolerance?: number;
  /** Largest distance in m that a planted foot may move, > 0; default as in `footTracks`. */
  readonly slip?: number;
  /** How late chest, arms, elbows and head are; default as in `poseSeries`. */
  readonly delays?: PoseDelays;
}

/** A whole motion as curves: m and rad over s. */
export interface KeyedMotion extends PoseTurns<Curve> {
  readonly fps: number;
  /** Length of the cycle in frames; whole unless `wholeFrames` is false. */
  readonly frames: number;
  readonly of: KeyedRoot['of'];
  readonly space: FootSpace;
  readonly root: Channels<Curve>;
  readonly feet: Sides<FootTrack>;
  /** Achieved errors: the root's as `keyRoot` states them, the largest of all turns, and the feet's. */
  readonly error: {
    readonly root: KeyedRoot['error'];
    /** In rad. */
    readonly turns: number;
    /** In m. */
    readonly slip: number;
    /** In m. */
    readonly footPath: number;
  };
  /** Whether every tolerance that was asked for is met. */
  readonly met: boolean;
  /** The walk that was keyed: the given one, brought onto whole frames where that was asked. */
  readonly walk: Walk;
  /** What changed on the way, beyond the walk's own notes. */
  readonly notes: readonly Note[];
}

const OWN_NAMES = ['space', 'turnTolerance', 'footTolerance', 'slip', 'delays'];

/**
 * Root, pelvis, chest, head, arms and feet of a motion as sparse Bézier curves that loop, keyed on whole
 * frames at contact, passing, down and up, and between them where a tolerance needs it; in m and rad.
 *
 * The root is keyed by `keyRoot` with keys at the poses, the feet by `footTracks` at their own events, the
 * rest by `fitCurve` on the exact series. The tolerances bound the largest errors, measured after the fit;
 * where one cannot be met `met` is false and `error` says by how much.
 *
 * @param motion - a planned walk
 * @param options - frame rate, whose path the root is, how closely, and travelling or on the spot
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { keyMotion, planWalk } from 'underfoot';
 *
 * const walk = planWalk({ pace: { framesPerStep: 12, fps: 24 } });
 * const keyed = keyMotion(walk, { fps: 24, of: 'root', space: 'onTheSpot' });
 * console.log(keyed.frames, keyed.met); // → 24 true
 * console.log(keyed.pelvis.heading.keys.some((key) => key.time === 0.5)); // → true
 * ```
 */
export function keyMotion(motion: Walk, options: KeyMotionOptions): KeyedMotion;
/**
 * Path, heading, pelvis, chest, head, arms and feet of a shot as sparse open curves, keyed on whole frames: the path as
 * by `keyRoot`, the feet as by `footTracks`, the turns at contacts and passings and where their tolerance needs it.
 *
 * @param motion - a planned shot
 * @param options - frame rate, whose path the root is, and how closely
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { keyMotion, planShot } from 'underfoot';
 *
 * const keyed = keyMotion(planShot({ stretches: [{ steps: 6 }] }), { fps: 24, of: 'root' });
 * console.log(keyed.met, keyed.error.slip < 0.0001); // → true true
 * ```
 */
export function keyMotion(motion: Shot, options: KeyShotMotionOptions): KeyedShotMotion;
/**
 * The curves of a walk or of a shot, whichever a motion is; with the options that both take.
 *
 * @param motion - a planned walk or shot
 * @param options - as of both
 * @throws RangeError or TypeError naming field, rule and value
 */
export function keyMotion(motion: Walk | Shot, options: KeyShotMotionOptions): KeyedMotion | KeyedShotMotion;
export function keyMotion(
  motion: Walk | Shot,
  options: KeyMotionOptions | KeyShotMotionOptions,
): KeyedMotion | KeyedShotMotion {
  const where = 'keyMotion';
  const given = requireWalkOrShot(where, motion);
  if (given.kind === 'shot') {
    return keyShotMotion(given, readMotionRequest(where, given, options as KeyShotMotionOptions));
  }
  return keyWalkMotion(where, given, options);
}

function keyWalkMotion(where: string, motion: Walk, options: KeyMotionOptions): KeyedMotion {
  requireRecord(where, 'options', options, [...KEY_ROOT_OPTIONS, ...OWN_NAMES]);
  requireNumber(where, 'fps', options.fps, { above: 0, unit: 'Hz' });
  const space = requireChoice(where, 'space', options.space ?? 'travelling', FOOT_SPACES);
  const { turnTolerance = 0.005, footTolerance, slip, delays } = options;
  refuseAny(where, [
    numberProblem('turnTolerance', turnTolerance, { above: 0, unit: 'rad' }),
    footTolerance === undefined
      ? undefined
      : numberProblem('footTolerance', footTolerance, { above: 0, unit: 'm' }),
    slip === undefined ? undefined : numberProblem('slip', slip, { above: 0, unit: 'm' }),
  ]);
  const root = keyRoot(motion, { keyPoses: true, ...pick(options) });
  const { walk, fps } = root;
  const feet = footTracks(walk, {
    fps,
    wholeFrames: false,
    space,
    ...(footTolerance === undefined ? {} : { tolerance: footTolerance }),
    ...(slip === undefined ? {} : { slip }),
  });
  const turns = keyTurns(walk, fps, turnTolerance, delays);
  const { speed } = walk.pace;
  return {
    fps,
    frames: root.frames,
    of: root.of,
    space,
    root: {
      height: root.height,
      forward: space === 'onTheSpot' ? stayOnSpot(root.forward, speed) : root.forward,
      side: root.side,
    },
    ...turns.curves,
    feet: { left: feet.left, right: feet.right },
    error: {
      root: root.error,
      turns: turns.error,
      slip: Math.max(feet.left.error.slip, feet.right.error.slip),
      footPath: Math.max(feet.left.error.path, feet.right.error.path),
    },
    met: root.met && turns.met && feet.left.met && feet.right.met,
    walk,
    notes: root.notes,
  };
}

/** The options that are the root's. */
function pick(options: KeyMotionOptions): KeyRootOptions {
  const given = Object.entries(options).filter(
    ([name, value]) => KEY_ROOT_OPTIONS.includes(name) && value !== undefined,
  );
  return Object.fromEntries(given) as unknown as KeyRootOptions;
}

/** A curve that travels, seen from a frame that moves with the walk's mean speed: exact, for time is a Bézier too. */
function stayOnSpot(curve: Curve, speed: number): Curve {
  const { gain: _, ...rest } = curve;
  const keys = curve.keys.map((key) => ({
    ...key,
    value: key.value - speed * key.time,
    in: { span: key.in.span, slope: key.in.slope - speed },
    out: { span: key.out.span, slope: key.out.slope - speed },
  }));
  return { ...rest, keys, before: 'loops', after: 'loops' };
}

interface KeyedTurns {
  readonly curves: PoseTurns<Curve>;
  readonly error: number;
  readonly met: boolean;
}

function keyTurns(walk: Walk, fps: number, tolerance: number, delays?: PoseDelays): KeyedTurns {
  const { strideTime } = walk.pace;
  const options: FitOptions = {
    start: 0,
    period: strideTime,
    frames: { fps },
    tolerance,
    keysAt: turnKeyTimes(walk, fps),
  };
  let error = 0;
  let met = true;
  const key = (series: Series): Curve => {
    if ([...series.cos, ...series.sin].every((x) => x === 0)) return holdAt(series.mean, strideTime);
    const fitted = fitCurve(series, options);
    error = Math.max(error, fitted.error.value.max);
    met = met && fitted.met;
    return fitted.curve;
  };
  const { pelvis, chest, head, arms } = poseSeries(walk, delays ? { delays } : {});
  const turn = ({ heading, roll, pitch }: typeof pelvis) => ({
    heading: key(heading),
    roll: key(roll),
    pitch: key(pitch),
  });
  const arm = ({ pitch, elbow }: typeof arms.left) => ({ pitch: key(pitch), elbow: key(elbow) });
  const curves = {
    pelvis: turn(pelvis),
    chest: turn(chest),
    head: turn(head),
    arms: { left: arm(arms.left), right: arm(arms.right) },
  };
  return { curves, error, met };
}

/** Poses in the order in which they claim their frame for a key. */
const CLAIMS: readonly Pose[] = ['contact', 'passing', 'down', 'up'];

/** Times of the poses on whole frames, without those that would stand on the frame beside another's. */
function turnKeyTimes(walk: Walk, fps: number): number[] {
  const { strideTime } = walk.pace;
  const length = strideTime * fps;
  const frames: number[] = [];
  const poses = posesOf(walk).filter(({ phase }) => phase < 1);
  for (const claim of CLAIMS) {
    for (const { pose, phase } of poses) {
      if (pose !== claim) continue;
      const frame = Math.round(phase * length);
      const apart = (other: number): number => {
        const gap = Math.abs(frame - other);
        return Math.min(gap, length - gap);
      };
      if (frame < length && frames.every((other) => apart(other) >= 2)) frames.push(frame);
    }
  }
  return frames.sort((a, b) => a - b).map((frame) => frame / fps);
}

/** A cyclic curve that stays where it is. */
function holdAt(value: number, period: number): Curve {
  const flat = { span: period / 3, slope: 0 };
  return {
    keys: [{ time: 0, value, in: flat, out: flat }],
    start: 0,
    period,
    before: 'loops',
    after: 'loops',
  };
}
