import type { FitResult } from '../curves/fit/fit-curve.js';
import type { Series } from '../curves/series.js';
import type { Channels } from '../gait/walk.js';
import { choiceProblem, numberProblem, recordProblem, refuseAny } from '../internal/check.js';
import { answerAxis } from './bounce-loop.js';
import { type Axis, type BouncePart, type BounceShape, readBouncePart } from './bounce-part.js';
import { loopAgainstStops, runAxis } from './bounce-run.js';
import { readCarrier } from './carrier.js';
import { type CarrierName, type CarrierSpec, CHANNELS, type Channel, type Driver } from './driver.js';
import {
  checkKeys,
  type FollowerNote,
  type KeyOptions,
  keyTrack,
  placeInWorld,
  type Space,
  settleToFrame,
  turnIntoWorld,
} from './follower.js';
import { type FollowerTrack, type SampledTrack, trackExtent } from './follower-track.js';
import type { DriverReader } from './read-driver.js';

/** Displacement and speed of one axis, in m and m/s, from its sagged rest. */
export interface BounceState {
  readonly displacement: number;
  readonly speed: number;
}

/** How a part follows. */
export interface BounceOptions {
  /** What it hangs from. Default `hips`; on paths and samples of one's own that is the path itself. */
  readonly carrier?: CarrierName | CarrierSpec;
  /** Default `relative` to the carrier. */
  readonly space?: Space;
  /** Whether displacement counts from where the part hangs under its weight, or from the unloaded spring. Default `sagged`. */
  readonly rest?: 'sagged' | 'unloaded';
  /** Keys on whole frames besides the exact tracks. Default none. */
  readonly keys?: KeyOptions;
  /**
   * State at the first moment of a driver that does not repeat. Default still, where it hangs in the weight
   * that it feels then.
   */
  readonly initial?: Partial<Channels<BounceState>>;
  /** Time in s that is added after the end of a driver that does not repeat, its carrier stopped. Default 0. */
  readonly settle?: number;
  /** Longest step in s on a driver that does not repeat; the drive runs straight within it. Default 1/480. */
  readonly every?: number;
}

/** A part that has been made to follow. */
export interface BounceFollower {
  readonly kind: 'bounce';
  readonly space: Space;
  /** Whether the tracks repeat. */
  readonly repeats: boolean;
  /** First moment in s. */
  readonly start: number;
  /** Length in s: of the loop where it repeats, else of the whole. */
  readonly duration: number;
  /** Cycles of the driver after which it repeats; 1 for everything without stops, 0 where it does not. */
  readonly cycles: number;
  /** Displacement in m, by channel; only the part's own channels. */
  readonly tracks: Partial<Channels<FollowerTrack>>;
  /** How far it hangs below the unloaded spring under standing weight, in m, ≤ 0: −g/ω². */
  readonly sag: number;
  /** How far from closing a loop that had to be solved for is, in m; 0 for exact loops. */
  readonly residual: number;
  /** How far the exact path lies off the driver that was given, in m; 0 for motions and series. */
  readonly driverError: number;
  /** The tracks as keys, where asked for. */
  readonly keyed?: Partial<Channels<FitResult>>;
  readonly notes: readonly FollowerNote[];
}

const OPTIONS = ['carrier', 'space', 'rest', 'keys', 'initial', 'settle', 'every'];

interface Run {
  readonly tracks: Partial<Record<Channel, FollowerTrack>>;
  readonly cycles: number;
  readonly residual: number;
  readonly duration: number;
  readonly notes: FollowerNote[];
}

const DEFAULT_STEP = 1 / 480;

/**
 * The displacement in m of a part on spring and damper that hangs from a driver, channel by channel.
 *
 * On a driver that repeats the answer is the periodic one, exact in the frequency domain; with hard stops it
 * is solved as a state that comes back, flights exact between strikes. On a driver that does not repeat it
 * is stepped exactly for a drive that runs straight within the step.
 * A tolerance for keys bounds the largest error of the keyed curve, as it was measured.
 *
 * @param driver - a motion, paths or samples
 * @param part - frequency in Hz and damping ratio, by channel or one for height
 * @param options - carrier, space, rest, keys; initial state and settling for shots
 * @returns tracks, sag in m, and keys where asked for
 * @throws RangeError or TypeError naming field, rule and value; a RangeError where an undamped part is
 * driven at its own frequency
 *
 * @example
 * ```ts
 * import { followBounce, planWalk } from 'underfoot';
 *
 * const pack = followBounce(planWalk({ pace: 'ordinary' }), { frequencyHz: 3, dampingRatio: 0.3 });
 * console.log(pack.sag.toFixed(4), pack.cycles); // → -0.0276 1
 * ```
 *
 * Source: response of a base-excited oscillator, any text on vibrations (e.g. Rao, Mechanical Vibrations,
 * §3.6).
 */
export function followBounce(driver: Driver, part: BouncePart, options: BounceOptions = {}): BounceFollower {
  const where = 'followBounce';
  refuseAny(where, [recordProblem('options', options, OPTIONS)]);
  const { space = 'relative', rest = 'sagged', keys } = options;
  refuseAny(where, [
    choiceProblem('space', space, ['relative', 'world']),
    choiceProblem('rest', rest, ['sagged', 'unloaded']),
  ]);
  checkKeys(where, keys);
  const shape = readBouncePart(where, part);
  const reader = readCarrier(where, driver, options.carrier);
  const run = reader.loop ? followLoop(where, reader, shape) : followShot(where, reader, shape, options);
  const height = shape.axes.find(({ channel }) => channel === 'height');
  const sag = height ? -reader.gravity / height.omega ** 2 : 0;
  const tracks: Partial<Record<Channel, FollowerTrack>> = {};
  const keyed: Partial<Record<Channel, FitResult>> = {};
  for (const { channel } of shape.axes) {
    const at = CHANNELS.indexOf(channel);
    let track = run.tracks[channel] as FollowerTrack;
    if (channel === 'height' && rest === 'unloaded') track = lift(track, sag);
    if (space === 'world') {
      if (reader.sampleHeading && at > 0) track = turnIntoWorld(run.tracks, reader, channel);
      track = placeInWorld(track, reader, at, reader.loop?.[channel]);
    }
    tracks[channel] = track;
    if (keys) keyed[channel] = keyTrack(track, keys);
  }
  return {
    kind: 'bounce',
    space,
    repeats: run.cycles > 0,
    start: reader.start,
    duration: run.duration,
    cycles: run.cycles,
    tracks,
    sag,
    residual: run.residual,
    driverError: reader.loopError,
    ...(keys ? { keyed } : {}),
    notes: run.notes,
  };
}

function lift(track: FollowerTrack, by: number): FollowerTrack {
  return 'cos' in track
    ? { ...track, mean: track.mean + by }
    : { ...track, values: track.values.map((x) => x + by) };
}

function followLoop(where: string, reader: DriverReader, shape: BounceShape): Run {
  const tracks: Partial<Record<Channel, FollowerTrack>> = {};
  const notes: FollowerNote[] = [];
  let cycles = 1;
  let residual = 0;
  let repeats = true;
  for (const axis of shape.axes) {
    const path = reader.loop?.[axis.channel];
    if (!path) continue;
    const linear = answerAxis(where, path, axis, shape.air);
    tracks[axis.channel] = linear;
    if (!strikes(linear, axis)) continue;
    const solved = loopAgainstStops(path, axis, shape.rebound, shape.air, linear);
    tracks[axis.channel] = solved.track;
    residual = Math.max(residual, solved.residual);
    repeats &&= solved.cycles > 0;
    cycles = leastCommon(cycles, solved.cycles || 1);
    notes.push(...solvedNotes(axis.channel, solved.cycles));
  }
  return { tracks, cycles: repeats ? cycles : 0, residual, duration: cycles * reader.duration, notes };
}

/** Whether the answer without stops would pass them, by 2048 samples. */
function strikes(linear: Series, axis: Axis): boolean {
  if (!Number.isFinite(axis.high)) return false;
  const [low, high] = trackExtent(linear, 0, linear.period);
  return high > axis.high || low < axis.low;
}

const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));
const leastCommon = (a: number, b: number): number => (a * b) / divisor(a, b);

function solvedNotes(channel: Channel, cycles: number): FollowerNote[] {
  const at = CHANNELS.indexOf(channel);
  const struck: FollowerNote = {
    code: 'struck',
    text: `The part strikes its stop in ${channel}.`,
    values: { channel: at },
  };
  if (cycles === 1) return [struck];
  if (cycles === 0) {
    const text = `The answer in ${channel} does not repeat within 8 cycles of the driver.`;
    return [struck, { code: 'does-not-repeat', text, values: { channel: at } }];
  }
  const text = `The answer in ${channel} repeats after ${cycles} cycles of the driver.`;
  return [struck, { code: 'repeats-after-cycles', text, values: { channel: at, cycles } }];
}

function followShot(where: string, reader: DriverReader, shape: BounceShape, options: BounceOptions): Run {
  const { initial = {}, settle = 0, every: longest = DEFAULT_STEP } = options;
  refuseAny(where, [
    recordProblem('initial', initial, CHANNELS),
    numberProblem('settle', settle, { min: 0, unit: 's' }),
    numberProblem('every', longest, { above: 0, unit: 's' }),
  ]);
  const whole = reader.duration + settleToFrame(reader, settle, options.keys);
  // Steps end on the bends of a sampled drive, where there are any.
  const grain = reader.every ?? whole;
  const every = Math.min(whole, grain / Math.max(1, Math.ceil(grain / longest - 1e-9)));
  const count = Math.max(1, Math.round(whole / every));
  const tracks: Partial<Record<Channel, SampledTrack>> = {};
  for (const axis of shape.axes) {
    const from = initial[axis.channel];
    if (from !== undefined) checkState(where, `initial.${axis.channel}`, from, axis);
    tracks[axis.channel] = runAxis(reader, axis, {
      air: shape.air,
      rebound: shape.rebound,
      every,
      count,
      from,
    });
  }
  return { tracks, cycles: 0, residual: 0, duration: count * every, notes: [] };
}

function checkState(where: string, field: string, from: BounceState, { low, high }: Axis): void {
  refuseAny(where, [recordProblem(field, from, ['displacement', 'speed'])]);
  refuseAny(where, [
    numberProblem(`${field}.displacement`, from.displacement, {
      ...(Number.isFinite(low) ? { min: low, max: high } : {}),
      unit: 'm',
    }),
    numberProblem(`${field}.speed`, from.speed, { unit: 'm/s' }),
  ]);
}
