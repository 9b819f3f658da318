import { bodyProblems, resolveBody, STANDARD_GRAVITY } from '../gait/body.js';
import { STEP_EXPONENT, STEP_FACTOR } from '../gait/pace.js';
import { planWalk } from '../gait/plan-walk.js';
import type { BodySpec } from '../gait/walk.js';
import { numberProblem, refuseAny, requireRecord } from '../internal/check.js';
import { readPath } from './read-path.js';
import { refuse } from './refuse.js';
import { featureDistance, featuresOf, featuresOfSeries, type WalkFeatures } from './walk-features.js';
import type { ReadPath, WeighedPath } from './weighed.js';

/** A number with the interval that it lies in. */
export interface Estimate {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** Whose walk it is meant to be. */
export interface TimeScaleOptions {
  /** Leg length or stature; without either nothing can be told. */
  readonly body: BodySpec;
  /** Length of a step in m; needed where there is no forward path. */
  readonly stepLength?: number;
  /** Gravity in m/s² that it is meant to be under, > 0. Default 9.80665. */
  readonly gravity?: number;
  /** Steps in one cycle; whole, in [1, 64]. Default 2. */
  readonly steps?: number;
}

/** At which speed curves seem to be played, or why that cannot be told. */
export type TimeScale =
  | {
      readonly told: true;
      /** Speed of playing: 0.5 is half as fast as the motion would be. */
      readonly speed: Estimate;
      /** Gravity in m/s² at which the motion would be physical as it is timed. */
      readonly gravity: Estimate;
      /** Leg length in m of the body that would walk so under this gravity as it is timed. */
      readonly legLength: Estimate;
      /** What the estimate rests on: the step's length alone, or the surges and the shape of the path too. */
      readonly from: 'step' | 'path';
      /** The estimate in a plain sentence. */
      readonly text: string;
    }
  | { readonly told: false; readonly text: string };

/**
 * Scatter of the step factor: 1.02 to 1.16 between populations (see `stepLengthFor`) and as much again
 * between walkers, as the half-width of a 95 % interval in its logarithm.
 */
const STEP_SCATTER = 0.13;

/** 95 % half-width of the logarithm of the speed read off the path. Empirical: tests/weigh/time-scale.test.ts. */
const PATH_SCATTER = 0.2;

/** Largest distance of the path's features from any planned walk's at which they are believed. */
const BELIEVED = 12;

/** Dimensionless speeds that are tried. */
const SPEEDS = { min: 0.08, max: 1, count: 24 } as const;

/** How far apart, in logarithm, step and path may put the speed and still agree. */
const AGREE = 0.12;

/** Least rise and fall in leg lengths that has a shape. */
const LEAST_RISE = 1e-3;

/**
 * The speed at which curves of a walk seem to be played, or the gravity or body size at which they would be
 * physical as timed, each with a 95 % interval.
 *
 * The rise and fall alone carries no time. The step's length does, by the step-length law
 * s/L = 1.12 v*^0.43; so do the surges of the forward path, which at a given size shrink with the square of
 * the step rate, and the height's shape. Where law and path disagree, step and rate were set apart, and the
 * path is believed if some planned walk of that step has such a path.
 *
 * @param curves - one cycle of height, and of forward where there is one, in m over s
 * @param options - whose walk it is meant to be
 * @returns speed, gravity and leg length with their intervals, or `told: false` and why
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { estimateTimeScale, planWalk, rootMotion } from 'underfoot';
 *
 * const body = { legLength: 0.9 };
 * const { height, forward } = rootMotion(planWalk({ pace: 'ordinary', body }));
 * const sample = (s: typeof height) => {
 *   const times = Array.from({ length: 60 }, (_, i) => i / 24);
 *   const at = (t: number) => s.mean + (s.drift * t) / 2.5 + s.cos.reduce((sum, a, k) => {
 *     const angle = (2 * Math.PI * (k + 1) * t) / 2.5;
 *     return sum + a * Math.cos(angle) + s.sin[k] * Math.sin(angle);
 *   }, 0);
 *   return { times, values: times.map(at), period: 2.5, gain: s.drift };
 * };
 * // An ordinary stride of 1.094 s, drawn to take 2.5 s.
 * const scale = estimateTimeScale({ height: sample(height), forward: sample(forward) }, { body });
 * console.log(scale.text); // → This reads as ordinary walking played at 0.44 speed.
 * ```
 */
export function estimateTimeScale(
  curves: { readonly height: WeighedPath; readonly forward?: WeighedPath },
  options: TimeScaleOptions,
): TimeScale {
  const where = 'estimateTimeScale';
  requireRecord(where, 'curves', curves, ['height', 'forward', 'side', 'feet']);
  requireRecord(where, 'options', options, ['body', 'stepLength', 'gravity', 'steps']);
  const { gravity = STANDARD_GRAVITY, steps = 2, stepLength } = options;
  refuseAny(where, [
    ...bodyProblems(options.body),
    numberProblem('gravity', gravity, { above: 0, unit: 'm/s²' }),
    numberProblem('steps', steps, { min: 1, max: 64, whole: true }),
    stepLength === undefined ? undefined : numberProblem('stepLength', stepLength, { above: 0, unit: 'm' }),
  ]);
  const height = readPath(where, 'height', curves.height);
  const forward = curves.forward && readPath(where, 'forward', curves.forward);
  if (!height.cyclic) refuse(where, 'height.period', 'must be given: one cycle of the walk', 'undefined');
  const { legLength, stature } = options.body ?? {};
  if (legLength === undefined && stature === undefined) {
    return untold('Nothing tells how large the body is: give its leg length or stature.');
  }
  const leg = resolveBody(options.body).legLength;
  const stepTime = height.duration / steps;
  const travelled = forward ? Math.abs(forward.gain) / steps : 0;
  const step = stepLength ?? (travelled > 0 ? travelled : undefined);
  if (step === undefined) {
    return untold(
      'The rise and fall alone carries no time: give a forward path that travels, or the length of a step.',
    );
  }
  const byLaw = (step / (STEP_FACTOR * leg)) ** (1 / STEP_EXPONENT);
  if (!(byLaw < 1.2 && byLaw > 0.02)) {
    return untold(
      `Nobody with legs of ${leg.toFixed(2)} m walks in steps of ${step.toFixed(2)} m, so nothing can be told.`,
    );
  }
  /** Speed of playing if the walk's dimensionless speed is v. */
  const playedAt = (v: number): number => step / (v * Math.sqrt(gravity * leg)) / stepTime;
  const path = readSpeedOffPath(height, forward, { step, leg, gravity, steps });
  const agree = path === undefined || Math.abs(Math.log(path / byLaw)) < AGREE;
  const froude = agree ? byLaw : path;
  const half = path === undefined ? STEP_SCATTER / STEP_EXPONENT : PATH_SCATTER;
  const value = playedAt(froude);
  const speed = { value, low: value * Math.exp(-half), high: value * Math.exp(half) };
  const square = (x: number): number => gravity * x * x;
  return {
    told: true,
    speed,
    gravity: { value: square(speed.value), low: square(speed.low), high: square(speed.high) },
    legLength: legFor(step, step / stepTime, gravity),
    from: path === undefined ? 'step' : 'path',
    text: sentence(froude, speed),
  };
}

function untold(text: string): TimeScale {
  return { told: false, text };
}

/** Leg length of the body that takes this step at this speed: the step-length law solved for it. */
function legFor(step: number, speed: number, gravity: number): Estimate {
  const solve = (factor: number): number =>
    ((step * gravity ** (STEP_EXPONENT / 2)) / (factor * speed ** STEP_EXPONENT)) **
    (1 / (1 - STEP_EXPONENT / 2));
  const wide = Math.exp(STEP_SCATTER);
  return { value: solve(STEP_FACTOR), low: solve(STEP_FACTOR * wide), high: solve(STEP_FACTOR / wide) };
}

/** Dimensionless speed of the planned walk of this step whose path is most like this one; nothing where none is. */
function readSpeedOffPath(
  height: ReadPath,
  forward: ReadPath | undefined,
  { step, leg, gravity, steps }: { step: number; leg: number; gravity: number; steps: number },
): number | undefined {
  const jet = new Float64Array(3);
  const at = (path: ReadPath) => (phase: number) => {
    path.jet(path.start + phase * path.duration, jet);
    return jet[0] - path.gain * phase;
  };
  const way = Math.sign(forward?.gain ?? 1) || 1;
  const sway = forward && forward.gain !== 0 ? at(forward) : undefined;
  const found = featuresOf(at(height), sway && ((phase) => way * sway(phase)), steps);
  if (!(found.size > LEAST_RISE * leg * 0.5) || !found.sway) return undefined;
  const distance = (v: number): number => {
    const speed = v * Math.sqrt(gravity * leg);
    const walk = planWalk({ pace: { speed, strideLength: 2 * step }, body: { legLength: leg }, gravity });
    return featureDistance(
      found,
      comparable(featuresOfSeries(walk.centre.height, walk.centre.forward), found),
    );
  };
  const at1 = (i: number): number => SPEEDS.min * (SPEEDS.max / SPEEDS.min) ** (i / (SPEEDS.count - 1));
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < SPEEDS.count; i++) {
    const here = distance(at1(i));
    if (here < least) [best, least] = [i, here];
  }
  // Golden-section search between the neighbours, 14 steps: to 1/800 of the distance between them.
  const golden = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [at1(Math.max(0, best - 1)), at1(Math.min(SPEEDS.count - 1, best + 1))];
  let [x, y] = [b - golden * (b - a), a + golden * (b - a)];
  let [fx, fy] = [distance(x), distance(y)];
  for (let i = 0; i < 14; i++) {
    if (fx < fy) {
      [b, y, fy] = [y, x, fx];
      x = b - golden * (b - a);
      fx = distance(x);
    } else {
      [a, x, fx] = [x, y, fy];
      y = a + golden * (b - a);
      fy = distance(y);
    }
  }
  const v = fx < fy ? x : y;
  return Math.min(fx, fy) <= BELIEVED ? v : undefined;
}

/** The model's sway over the measured rise, so that a bob set by hand does not count as surges. */
function comparable(model: WalkFeatures, found: WalkFeatures): WalkFeatures {
  if (!model.sway) return model;
  const by = model.size / found.size;
  return { ...model, sway: [model.sway[0] * by, model.sway[1] * by] };
}

function sentence(froude: number, { value, low, high }: Estimate): string {
  const pace = froude < 0.36 ? 'slow' : froude < 0.5 ? 'ordinary' : 'brisk';
  if (low <= 1 && high >= 1)
    return `This reads as ${pace === 'ordinary' ? 'an' : 'a'} ${pace} walk in real time.`;
  return `This reads as ${pace} walking played at ${value.toFixed(2)} speed.`;
}
