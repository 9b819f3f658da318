import type { FitResult } from '../curves/fit/fit-curve.js';
import { choiceProblem, numberProblem, recordProblem, refuseAny } from '../internal/check.js';
import { readCarrier } from './carrier.js';
import { buildChain, type Chain, swingOf } from './chain.js';
import type { CarrierName, CarrierSpec, Driver } from './driver.js';
import {
  checkKeys,
  type FollowerNote,
  type KeyOptions,
  keyTrack,
  type Space,
  settleToFrame,
} from './follower.js';
import { type FollowerTrack, scaleTrack, subtractTrack } from './follower-track.js';
import type { DriverReader } from './read-driver.js';
import { readStrandPart, type StrandPart } from './strand-part.js';
import { followPlane, type PlaneAnswer } from './strand-plane.js';
import { runStrand, type StrandState } from './strand-run.js';

/** Small angles, linear equations; or the full ones. */
export type StrandModel = 'small' | 'full';

/** How a strand follows. */
export interface StrandOptions {
  /** What it hangs from. Default `head`; on paths and samples of one's own a number or `hips` is the path. */
  readonly carrier?: CarrierName | CarrierSpec;
  /** Angles against the link above (the carrier for the first) and away from rest, or from plumb. Default `relative`. */
  readonly space?: Space;
  /** Default `full`. */
  readonly model?: StrandModel;
  /** Keys on whole frames besides the exact tracks; their tolerance in rad. Default none. */
  readonly keys?: KeyOptions;
  /**
   * State at the first moment of a driver that does not repeat. Default still, where it hangs in the weight
   * that it feels then.
   */
  readonly initial?: StrandState;
  /** Time in s that is added after the end of a driver that does not repeat, its carrier stopped. Default 0. */
  readonly settle?: number;
  /** Longest time between samples in s on a driver that does not repeat. Default 1/60. */
  readonly every?: number;
}

/** One link's turning. */
export interface LinkTracks {
  /** Pitch in rad: positive puts the tip behind. */
  readonly pitch: FollowerTrack;
  /** Roll in rad: positive puts the tip to the character's left. */
  readonly roll: FollowerTrack;
}

/** A strand that has been made to follow. */
export interface StrandFollower {
  readonly kind: 'strand';
  readonly space: Space;
  readonly model: StrandModel;
  readonly repeats: boolean;
  /** First moment in s. */
  readonly start: number;
  /** Length in s: of the loop where it repeats, else of the whole. */
  readonly duration: number;
  /** Cycles of the driver after which it repeats; 0 where it does not. */
  readonly cycles: number;
  /** From the root down, angles in rad. */
  readonly links: readonly LinkTracks[];
  /** Lengths of the links in m. */
  readonly lengths: readonly number[];
  /** What the equations leave over, as a part of the drive (small) or of standing weight (full). */
  readonly residual: number;
  /** Factor by which a small sway grows (> 1) or dies per cycle of the drive, by plane; loops only. */
  readonly growth?: { readonly pitch: number; readonly roll: number };
  /** Largest angle in rad by which the full answer and the small-angle one part; full loops only. */
  readonly parting?: number;
  /** Largest angle in rad by which halving the step moves the full answer; where the driver does not repeat. */
  readonly stepError?: number;
  /** How far the exact path lies off the driver that was given, in m. */
  readonly driverError: number;
  /** The tracks as keys, where asked for. */
  readonly keyed?: readonly { readonly pitch: FitResult; readonly roll: FitResult }[];
  readonly notes: readonly FollowerNote[];
}

const OPTIONS = ['carrier', 'space', 'model', 'keys', 'initial', 'settle', 'every'];

/**
 * The angles in rad of a chain of links that hangs in the felt weight of a driver: hair, tail, sleeve.
 *
 * Its two planes, along travel and across, are solved each by itself. On a driver that repeats, `small`
 * solves the linear equations, whose stiffness follows the load, by harmonic balance; `full` solves the
 * complete ones by Newton on harmonic balance, over as many cycles as the answer takes to repeat. On one that
 * does not repeat the full equations are stepped by the implicit midpoint rule at 1/240 and 1/480 s and
 * carried on to what both tend to, the small ones exactly in modes.
 *
 * @param driver - a motion, paths or samples
 * @param part - length in m, links, frequency in Hz, damping ratio, rest shape in rad
 * @param options - carrier, space, model, keys; initial state and settling for shots
 * @returns each link's pitch and roll, residual, growth of a sway, notes
 * @throws RangeError or TypeError naming field, rule and value; a RangeError where the frequency is slower
 * than the slack chain's
 *
 * @example
 * ```ts
 * import { followStrand, planWalk } from 'underfoot';
 *
 * const plait = { length: 0.3, links: 4, dampingRatio: 0.3 };
 * const { links, cycles } = followStrand(planWalk({ pace: 'ordinary' }), plait);
 * console.log(links.length, cycles); // → 4 1
 * ```
 *
 * Source: compound pendulums in a moving frame (Landau & Lifshitz, Mechanics, §5, §27, §39); Floquet's
 * theorem for the growth of a sway.
 */
export function followStrand(driver: Driver, part: StrandPart, options: StrandOptions = {}): StrandFollower {
  const where = 'followStrand';
  refuseAny(where, [recordProblem('options', options, OPTIONS)]);
  const { space = 'relative', model = 'full', keys } = options;
  refuseAny(where, [
    choiceProblem('space', space, ['relative', 'world']),
    choiceProblem('model', model, ['small', 'full']),
  ]);
  checkKeys(where, keys);
  const spec = readStrandPart(where, part);
  const named = 'kind' in driver ? 'head' : 'hips';
  const reader = readCarrier(where, driver, options.carrier ?? named);
  const forward = buildChain(where, spec, 'forward', reader.gravity);
  const side = spec.rest.side.every((x, i) => x === spec.rest.forward[i])
    ? forward
    : buildChain(where, spec, 'side', reader.gravity);
  const answer = reader.loop
    ? loopOf(where, reader, forward, side, model)
    : shotOf(where, reader, forward, side, model, options);
  const tracks = Array.from({ length: forward.links }, (_, i) => ({
    pitch: answer.trackOf('forward', i, space === 'world'),
    roll: answer.trackOf('side', i, space === 'world'),
  }));
  return {
    kind: 'strand',
    space,
    model,
    repeats: answer.cycles > 0,
    start: reader.start,
    duration: answer.duration,
    cycles: answer.cycles,
    links: tracks,
    lengths: [...forward.lengths],
    residual: answer.residual,
    ...(answer.growth ? { growth: answer.growth } : {}),
    ...(answer.parting === undefined ? {} : { parting: answer.parting }),
    ...(answer.stepError === undefined ? {} : { stepError: answer.stepError }),
    driverError: reader.loopError,
    ...(keys
      ? {
          keyed: tracks.map(({ pitch, roll }) => ({
            pitch: keyTrack(pitch, keys),
            roll: keyTrack(roll, keys),
          })),
        }
      : {}),
    notes: answer.notes,
  };
}

interface Answer {
  /** A link's pitch or roll, against the link above and away from rest, or from plumb. */
  readonly trackOf: (plane: 'forward' | 'side', link: number, world: boolean) => FollowerTrack;
  readonly cycles: number;
  readonly duration: number;
  readonly residual: number;
  readonly growth?: { readonly pitch: number; readonly roll: number };
  readonly parting?: number;
  readonly stepError?: number;
  readonly notes: readonly FollowerNote[];
}

/** A run whose angles move by more than this in rad when its step is halved is noted. */
const STEP_ERROR = 1e-3;

const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));

function loopOf(
  where: string,
  reader: DriverReader,
  forward: Chain,
  side: Chain,
  model: StrandModel,
): Answer {
  const planes: PlaneAnswer[] = [
    followPlane(where, reader, 'forward', swingOf(forward, reader.travel), model),
    followPlane(where, reader, 'side', swingOf(side, 0), model),
  ];
  const [f, s] = planes;
  const repeats = f.cycles > 0 && s.cycles > 0;
  const most = (f.cycles * s.cycles) / divisor(f.cycles, s.cycles);
  return {
    trackOf: (plane, i, world) => {
      const [{ links }, chain, sign] =
        plane === 'forward' ? ([f, forward, -1] as const) : ([s, side, 1] as const);
      if (world) return scaleTrack(links[i], sign, 0);
      const rest = chain.rest[i] - (i > 0 ? chain.rest[i - 1] : 0);
      return scaleTrack(i > 0 ? subtractTrack(links[i], links[i - 1]) : links[i], sign, -sign * rest);
    },
    cycles: repeats ? most : 0,
    duration: reader.duration * (repeats ? most : 8),
    residual: Math.max(f.residual, s.residual),
    growth: { pitch: f.growth, roll: s.growth },
    ...(model === 'full' ? { parting: Math.max(f.parting, s.parting) } : {}),
    notes: [...f.notes, ...s.notes],
  };
}

function shotOf(
  where: string,
  reader: DriverReader,
  forward: Chain,
  side: Chain,
  model: StrandModel,
  options: StrandOptions,
): Answer {
  const { settle = 0, every = 1 / 60, initial } = options;
  refuseAny(where, [
    numberProblem('settle', settle, { min: 0, unit: 's' }),
    numberProblem('every', every, { above: 0, unit: 's' }),
  ]);
  const run = runStrand(where, reader, forward, side, {
    settle: settleToFrame(reader, settle, options.keys),
    every,
    initial,
    small: model === 'small',
  });
  const n = forward.links;
  const trackOf = (plane: 'forward' | 'side', link: number, world: boolean): FollowerTrack => {
    const { bends, rates } = run[plane];
    const sign = plane === 'forward' ? -1 : 1;
    const rest = world ? (plane === 'forward' ? forward : side).rest[link] : 0;
    const above = world || link === 0 ? -1 : link - 1;
    const count = bends.length / n;
    const values = new Array<number>(count);
    const slopes = new Array<number>(count);
    for (let i = 0; i < count; i++) {
      const at = i * n;
      values[i] = sign * (rest + bends[at + link] - (above < 0 ? 0 : bends[at + above]));
      slopes[i] = sign * (rates[at + link] - (above < 0 ? 0 : rates[at + above]));
    }
    return { start: reader.start, every: run.every, values, slopes };
  };
  const { stepError, duration } = run;
  const notes: FollowerNote[] = [];
  if (stepError > STEP_ERROR) {
    const text = `Halving the step moves an angle by up to ${stepError.toPrecision(3)} rad.`;
    notes.push({ code: 'not-solved', text, values: { stepError } });
  }
  return { trackOf, cycles: 0, duration, residual: 0, ...(model === 'full' ? { stepError } : {}), notes };
}
