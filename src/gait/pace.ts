import { isRecord, type Problem, positiveProblem, recordProblem, show } from '../internal/check.js';
import type { Body, Pace, PaceName, PaceSpec } from './walk.js';

/** Dimensionless speeds of the named paces: 0.86, 1.28 and 1.66 m/s at a leg of 0.90 m on Earth. */
export const PACE_SPEEDS: Readonly<Record<PaceName, number>> = {
  slow: 0.86 / Math.sqrt(9.80665 * 0.9),
  ordinary: 1.28 / Math.sqrt(9.80665 * 0.9),
  brisk: 1.66 / Math.sqrt(9.80665 * 0.9),
};

/**
 * Step length over leg length at a dimensionless speed of 1, over-ground walking. Populations differ:
 * 1.02 adults barefoot on plates (Schreiber & Moissenet 2019 data), 1.05 adults on a treadmill (Fukuchi
 * et al. 2018), 1.085 children (Schwartz et al. 2008), up to 1.16 adults in shoes over ground.
 */
export const STEP_FACTOR = 1.12;

/** Exponent of the step-length law (Schreiber & Moissenet 2019; Schwartz et al. 2008 give 0.428). */
export const STEP_EXPONENT = 0.43;

/** How far two ways of giving the same pace may differ, as a fraction: rounding, not disagreement. */
const AGREEMENT = 1e-9;

/** Paces are within this factor of 1 in each unit; far past any body, and far from overflow. */
const REACH = 1e6;

const FIELDS = ['speed', 'strideLength', 'strideRate', 'framesPerStep', 'fps'] as const;

/** All that is wrong with a pace. */
export function paceProblems(pace: unknown): Problem[] {
  if (typeof pace === 'string' && Object.hasOwn(PACE_SPEEDS, pace)) return [];
  if (!isRecord(pace)) {
    const rule = 'must be "slow", "ordinary", "brisk" or an object of numbers';
    return [{ field: 'pace', rule, got: show(pace), kind: typeof pace === 'string' ? 'range' : 'type' }];
  }
  const shape = recordProblem('pace', pace, FIELDS);
  if (shape) return [shape];
  const given = pace as PaceSpec;
  const units = { speed: 'm/s', strideLength: 'm', strideRate: 'Hz', framesPerStep: 'frames', fps: 'Hz' };
  const problems = FIELDS.filter((name) => given[name] !== undefined)
    .map((name) => positiveProblem(`pace.${name}`, given[name], units[name], REACH))
    .filter((problem) => problem !== undefined);
  if (problems.length > 0) return problems;
  if (given.framesPerStep !== undefined && given.fps === undefined) {
    return [positiveProblem('pace.fps', undefined, units.fps, REACH)!];
  }
  const rates = ratesOf(given);
  if (given.speed === undefined && given.strideLength === undefined && rates.length === 0) {
    const rule = 'must have speed, strideLength, strideRate or framesPerStep';
    return [{ field: 'pace', rule, got: show(pace), kind: 'range' }];
  }
  return agreementProblems(given, rates);
}

/** The stride time in s that a pace states outright; frames before rate, since frames divide exactly. */
function timeOf(pace: PaceSpec): number {
  const { framesPerStep, fps, strideRate } = pace;
  return framesPerStep !== undefined ? (2 * framesPerStep) / fps! : 1 / strideRate!;
}

/** Every stride rate that a pace states outright, in Hz. */
function ratesOf(pace: PaceSpec): number[] {
  const rates: number[] = [];
  if (pace.strideRate !== undefined) rates.push(pace.strideRate);
  if (pace.framesPerStep !== undefined && pace.fps !== undefined) {
    rates.push(pace.fps / (2 * pace.framesPerStep));
  }
  return rates;
}

function agreementProblems(pace: PaceSpec, rates: readonly number[]): Problem[] {
  const differ = (a: number, b: number): boolean => Math.abs(a - b) > AGREEMENT * Math.max(a, b);
  const got = FIELDS.filter((name) => pace[name] !== undefined)
    .map((name) => `${name} ${pace[name]}`)
    .join(', ');
  if (rates.length === 2 && differ(rates[0], rates[1])) {
    const rule = 'must have strideRate = fps / (2 × framesPerStep)';
    return [{ field: 'pace', rule, got, kind: 'range' }];
  }
  if (pace.speed !== undefined && pace.strideLength !== undefined && rates.length > 0) {
    if (differ(pace.speed, pace.strideLength * rates[0])) {
      const rule = 'must have speed = strideLength × strideRate when all three are given';
      return [{ field: 'pace', rule, got, kind: 'range' }];
    }
  }
  return [];
}

/**
 * Step length in m that a body takes of itself at a dimensionless speed, by the power law
 * s/L = factor · v*^0.43.
 *
 * @param dimensionlessSpeed - speed over √(gravity × leg length), ≥ 0
 * @param legLength - hip joint to floor in m, > 0
 * @param factor - step length over leg length at a dimensionless speed of 1, > 0
 *
 * @example
 * ```ts
 * import { stepLengthFor } from 'underfoot';
 *
 * console.log(stepLengthFor(0.43, 0.9).toFixed(2)); // → 0.70
 * ```
 */
export function stepLengthFor(dimensionlessSpeed: number, legLength: number, factor = STEP_FACTOR): number {
  return stepBy(dimensionlessSpeed, legLength, factor, STEP_EXPONENT);
}

function stepBy(dimensionlessSpeed: number, legLength: number, factor: number, exponent: number): number {
  return factor * legLength * dimensionlessSpeed ** exponent;
}

/**
 * The whole pace from what was given of it; what is missing comes from the step-length law
 * s/L = factor · v*^exponent, a walk's by default. Expects a pace without problems.
 */
export function resolvePace(
  pace: PaceName | PaceSpec,
  body: Body,
  gravity: number,
  factor: number,
  exponent = STEP_EXPONENT,
): Pace {
  const unit = Math.sqrt(gravity * body.legLength);
  if (typeof pace === 'string') {
    const v = PACE_SPEEDS[pace];
    return completePace(v * unit, 2 * stepBy(v, body.legLength, factor, exponent), body, gravity);
  }
  const { speed, strideLength } = pace;
  const rate = ratesOf(pace)[0];
  const complete = (v: number, length: number, time?: number): Pace =>
    completePace(v, length, body, gravity, time);
  if (strideLength !== undefined) {
    if (rate !== undefined) return complete(strideLength * rate, strideLength, timeOf(pace));
    if (speed !== undefined) return complete(speed, strideLength);
    const v = (strideLength / (2 * factor * body.legLength)) ** (1 / exponent);
    return complete(v * unit, strideLength);
  }
  if (rate !== undefined) {
    if (speed !== undefined) return complete(speed, speed / rate, timeOf(pace));
    // v* √(gL) = factor · L · v*^exponent · 2 rate, solved for v*.
    const v = (2 * rate * factor * Math.sqrt(body.legLength / gravity)) ** (1 / (1 - exponent));
    return complete(v * unit, (v * unit) / rate, timeOf(pace));
  }
  const v = speed! / unit;
  return complete(speed!, 2 * stepBy(v, body.legLength, factor, exponent));
}

/** Every number of a pace from its speed, stride length and, where it was given, exact stride time. */
export function completePace(
  speed: number,
  strideLength: number,
  body: Body,
  gravity: number,
  strideTime = strideLength / speed,
): Pace {
  const froude = (speed * speed) / (gravity * body.legLength);
  return {
    speed,
    strideLength,
    strideTime,
    strideRate: 1 / strideTime,
    stepLength: strideLength / 2,
    stepTime: strideTime / 2,
    dimensionlessSpeed: Math.sqrt(froude),
    froude,
  };
}
