import type { Curve, Key } from '../../curves/curve.js';
import {
  numberProblem,
  refuseAny,
  requireChoice,
  requireNumber,
  requireRecord,
  show,
} from '../../internal/check.js';
import { requireWalkOrShot } from '../motion.js';
import type { Shot } from '../shot/shot.js';
import { readFootRequest, type ShotFootTrackOptions } from '../shot-keys/requests.js';
import { type ShotFootTracks, trackShotFeet } from '../shot-keys/shot-foot-tracks.js';
import { snapToFrames } from '../snap-to-frames.js';
import type { Channels, Side, Sides, Walk } from '../walk.js';
import { chooseKeys, type FootBounds } from './choose-keys.js';
import { FOOT_SPACES, type FootSpace } from './foot-at.js';
import {
  BEND,
  FOOT_NUMBERS,
  FORWARD,
  type FootPath,
  HEIGHT,
  makeFootPath,
  PITCH,
  SIDE,
} from './foot-path.js';
import type { FootShape } from './foot-shape.js';
import { type FootTimes, footTimes } from './foot-times.js';
import { measureFoot } from './measure-foot.js';

/** Where a foot stands once. */
export interface FootPlant {
  /** Where its heel lands along the direction of travel, in m. */
  readonly forward: number;
  /** And sideways, in m; positive to the left. */
  readonly side: number;
  /** Direction in which it points, in rad; positive is turned left. */
  readonly heading: number;
}

/** When a foot stands once, in s. */
export interface FootContact {
  readonly land: number;
  readonly flat: number;
  readonly heelOff: number;
  readonly lift: number;
}

/** One foot as curves in m and rad over s, and where and when it stands. */
export interface FootTrack extends Channels<Curve> {
  readonly foot: Side;
  /** Of the foot from heel to ball; positive with the front down. */
  readonly pitch: Curve;
  /** Of the toes against the foot; positive with the toes up. */
  readonly toeBend: Curve;
  /** One plant for each contact, in the space of the curves. */
  readonly plants: readonly FootPlant[];
  /** Land and lift are the walk's own; the curves are still from the key at or before to the one at or after. */
  readonly contacts: readonly FootContact[];
  /** Size of the foot: heel and toe follow from ball, pitch and toe bend by `heelOf` and `toeOf`. */
  readonly shape: FootShape;
  /** Farthest in m that the planted heel or ball moves, and that the curves stray from the path in the air. */
  readonly error: { readonly slip: number; readonly path: number };
  /** Whether both errors are within what was asked for. */
  readonly met: boolean;
}

/** Both feet of a walk. */
export interface FootTracks extends Sides<FootTrack> {
  readonly space: FootSpace;
  /** Whether all keys are on whole frames. */
  readonly onFrames: boolean;
  /** The walk that was keyed: the given one, brought onto whole frames where that was asked. */
  readonly walk: Walk;
}

/** How to key feet. */
export interface FootTrackOptions {
  /** Frames per second, > 0. Left out, keys stand at the exact times of the events and between them. */
  readonly fps?: number;
  /** Whether the walk is first brought onto whole frames, as `snapToFrames` does. Default true. */
  readonly wholeFrames?: boolean;
  /** In the world, or sliding back under a character who stays where he is. Default `travelling`. */
  readonly space?: FootSpace;
  /** Largest distance in m from the path in the air, > 0. Default 0.005 at a leg of 0.9 m, in proportion. */
  readonly tolerance?: number;
  /** Largest distance in m that a planted heel or ball may move, > 0. Default 0.0001 m. */
  readonly slip?: number;
}

const NAMES = ['fps', 'wholeFrames', 'space', 'tolerance', 'slip'];

/** What is aimed at, over what is asked for: room for what lies between the points that are looked at. */
const AIM = 0.7;
const PATH_AIM = 0.97;

/** How often at most the foot is made to land flatter. */
const MOST_FLATTENING = 8;

/**
 * Both feet as sparse curves that loop: ball in m, pitch and toe bend in rad, with plants and contacts.
 *
 * Keys stand on whole frames at landing, flat, heel-off and lift and at the fewest frames between that hold
 * the path, on all channels alike; their spans are thirds and their values and slopes exact. Landing moves
 * to the frame at or before it and lift to the one at or after it, so that a foot is still all the while it
 * carries load; where there are too few frames to roll off the heel that still, the foot lands flatter.
 * `tolerance` bounds the distance from the path so retimed, `slip` what is planted; both are
 * measured on the returned curves. Where fewer than two frames are left in the air, keys leave the frames.
 *
 * @param motion - a planned walk
 * @param options - frame rate, whole frames, space, and how closely
 * @returns both feet, and the walk that they are of
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { footTracks, planWalk } from 'underfoot';
 *
 * const { right } = footTracks(planWalk({ pace: 'ordinary' }), { fps: 24 });
 * console.log(right.height.keys.map((key) => Math.round(key.time * 24)).join(' ')); // → 0 1 2 3 11 16 17 19 20 23
 * console.log(right.error.slip < 0.0001); // → true
 * ```
 */
export function footTracks(motion: Walk, options?: FootTrackOptions): FootTracks;
/**
 * Both feet of a shot as open curves from its beginning on, one plant and one contact for each time that a foot stands,
 * in the fixed axes; also the direction in which each foot points. Keyed as a walk's feet are: still while they carry
 * load, landing on the frame at or before their time and lifting on the one at or after it.
 *
 * @param motion - a planned shot
 * @param options - frame rate, and how closely
 * @returns both feet, and the shot that they are of
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { footTracks, planShot } from 'underfoot';
 *
 * const { left, right } = footTracks(planShot({ stretches: [{ steps: 6 }] }), { fps: 24 });
 * console.log(left.plants.length, right.contacts.length, right.error.slip < 0.0001); // → 4 4 true
 * ```
 */
export function footTracks(motion: Shot, options?: ShotFootTrackOptions): ShotFootTracks;
/**
 * Both feet of a walk or of a shot, whichever a motion is; with the options that both take.
 *
 * @param motion - a planned walk or shot
 * @param options - as of both
 * @throws RangeError or TypeError naming field, rule and value
 */
export function footTracks(motion: Walk | Shot, options?: ShotFootTrackOptions): FootTracks | ShotFootTracks;
export function footTracks(
  motion: Walk | Shot,
  options: FootTrackOptions | ShotFootTrackOptions = {},
): FootTracks | ShotFootTracks {
  const where = 'footTracks';
  const given = requireWalkOrShot(where, motion);
  if (given.kind === 'shot') {
    const { fps, bounds } = readFootRequest(where, given, options as ShotFootTrackOptions);
    return trackShotFeet(given, fps, bounds);
  }
  return trackWalkFeet(where, given, options);
}

function trackWalkFeet(where: string, given: Walk, options: FootTrackOptions): FootTracks {
  requireRecord(where, 'options', options, NAMES);
  const { wholeFrames = true, fps } = options;
  if (fps !== undefined) requireNumber(where, 'fps', fps, { above: 0, unit: 'Hz' });
  if (typeof wholeFrames !== 'boolean') {
    const rule = 'must be true or false';
    refuseAny(where, [{ field: 'wholeFrames', rule, got: show(wholeFrames), kind: 'type' }]);
  }
  const space = requireChoice(where, 'space', options.space ?? 'travelling', FOOT_SPACES);
  const walk = fps !== undefined && wholeFrames ? snapToFrames(given, { fps }) : given;
  const { tolerance = (0.005 * walk.body.legLength) / 0.9, slip = 0.0001 } = options;
  refuseAny(where, [
    numberProblem('tolerance', tolerance, { above: 0, unit: 'm' }),
    numberProblem('slip', slip, { above: 0, unit: 'm' }),
  ]);
  const times = { left: footTimes(walk, 'left', fps), right: footTimes(walk, 'right', fps) };
  // One foot on frames and the other off them would be neither.
  const onFrames = times.left.onFrames && times.right.onFrames;
  const trackOf = (side: Side): FootTrack =>
    keyFoot(walk, side, onFrames ? times[side] : footTimes(walk, side), space, { path: tolerance, slip });
  return { left: trackOf('left'), right: trackOf('right'), space, onFrames, walk };
}

function keyFoot(walk: Walk, side: Side, times: FootTimes, space: FootSpace, bounds: FootBounds): FootTrack {
  const aim = { path: bounds.path * PATH_AIM, slip: AIM * bounds.slip };
  let scale = 1;
  let keyed = keyPath(walk, side, times, space, aim, scale);
  for (let i = 0; i < MOST_FLATTENING && keyed.error.slip > bounds.slip; i++) {
    // What the heel slips by grows about as the square of the angle that it rolls through.
    scale *= Math.min(0.9, AIM * Math.sqrt(bounds.slip / keyed.error.slip));
    keyed = keyPath(walk, side, times, space, aim, scale);
  }
  const { path, curves, error } = keyed;
  const { contact, fraction, forward, side: across } = walk.stance[side];
  const { strideTime, speed } = walk.pace;
  const { land } = times;
  return {
    foot: side,
    ...curves,
    plants: [{ forward: space === 'onTheSpot' ? forward - speed * land : forward, side: across, heading: 0 }],
    contacts: [
      {
        land: contact * strideTime,
        flat: land + times.timing.flat,
        heelOff: land + times.timing.heelOff,
        lift: (contact + fraction) * strideTime,
      },
    ],
    shape: path.shape,
    error,
    met: error.path <= bounds.path && error.slip <= bounds.slip,
  };
}

function keyPath(
  walk: Walk,
  side: Side,
  times: FootTimes,
  space: FootSpace,
  bounds: FootBounds,
  strikeScale: number,
): { readonly path: FootPath; readonly curves: FootCurves; readonly error: FootTrack['error'] } {
  const path = makeFootPath(walk, side, times.timing, strikeScale);
  const chosen = chooseKeys(path, times, bounds);
  const curves = curvesOf(walk, side, path, times, chosen, space);
  return { path, curves, error: measureFoot(curves, walk, side, path, times, space) };
}

/** The curves of a foot's channels. */
export type FootCurves = Pick<FootTrack, 'height' | 'forward' | 'side' | 'pitch' | 'toeBend'>;

function curvesOf(
  walk: Walk,
  side: Side,
  path: FootPath,
  times: FootTimes,
  chosen: readonly number[],
  space: FootSpace,
): FootCurves {
  const { strideTime, strideLength, speed } = walk.pace;
  const spot = space === 'onTheSpot';
  const rows = chosen.map((index) => {
    const jet = new Float64Array(FOOT_NUMBERS);
    path.write(times.since[index], jet);
    const time = times.inCycle[index];
    jet[FORWARD] += walk.stance[side].forward;
    // Before the landing in this stride the foot is a stride behind.
    if (time < times.land) jet[FORWARD] -= strideLength;
    if (spot) {
      jet[FORWARD] -= speed * time;
      jet[FORWARD + 1] -= speed;
    }
    return { time, jet };
  });
  rows.sort((a, b) => a.time - b.time);
  const curve = (channel: number, gain = 0): Curve => {
    const still = rows.every(({ jet }) => jet[channel] === rows[0].jet[channel] && jet[channel + 1] === 0);
    return loopThrough(
      (still ? [{ ...rows[0], time: 0 }] : rows).map(({ time, jet }) => [
        time,
        jet[channel],
        jet[channel + 1],
      ]),
      strideTime,
      gain,
    );
  };
  return {
    height: curve(HEIGHT),
    forward: spot ? curve(FORWARD) : curve(FORWARD, strideLength),
    side: curve(SIDE),
    pitch: curve(PITCH),
    toeBend: curve(BEND),
  };
}

/** A cyclic curve of cubic Hermite segments through times, values and slopes. */
function loopThrough(
  points: readonly (readonly [time: number, value: number, slope: number])[],
  period: number,
  gain: number,
): Curve {
  const keys = points.map(([time, value, slope], i): Key => {
    const next = i + 1 < points.length ? points[i + 1][0] : points[0][0] + period;
    const last = i > 0 ? points[i - 1][0] : points[points.length - 1][0] - period;
    return {
      time,
      value,
      in: { span: (time - last) / 3, slope },
      out: { span: (next - time) / 3, slope },
    };
  });
  const outside = gain === 0 ? 'loops' : 'travels';
  return { keys, start: 0, period, ...(gain === 0 ? {} : { gain }), before: outside, after: outside };
}
