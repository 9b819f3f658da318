/** How far the present coefficients are from the measured walkers. */
import { energyOf } from '../../src/gait/index.js';
import type { StanceCurves, Trial } from './adults.js';
import { type CentreOver, centreOver } from './centre.js';
import type { SpeedGroup } from './children.js';
import { findPeaks, type Peaks } from './peaks.js';
import { footOverStance, planAt, planSpeed, planTrial } from './predict.js';
import type { MeasuredStep } from './timed.js';

export const COMPONENTS = ['vertical', 'forward', 'side'] as const;
export type Component = (typeof COMPONENTS)[number];

/** Root mean square differences in BW over one measured step. */
export interface StepError {
  readonly condition: Trial['condition'];
  readonly rms: Readonly<Record<Component, number>>;
}

const rmsOf = (a: readonly number[], b: readonly number[]): number =>
  Math.hypot(...a.map((x, i) => x - b[i])) / Math.sqrt(a.length);

function errorOf(condition: Trial['condition'], model: StanceCurves, step: StanceCurves): StepError {
  const [vertical, forward, side] = COMPONENTS.map((name) => rmsOf(model[name], step[name]));
  return { condition, rms: { vertical, forward, side } };
}

/** The model beside each measured step, told the trial's speed, step time, mass and stature. */
export function compareSteps(trials: readonly Trial[]): StepError[] {
  return trials.flatMap((trial) => {
    const model = footOverStance(planTrial(trial), 100);
    return trial.steps.map((step) => errorOf(trial.condition, model, step));
  });
}

/** The mean curve of all steps of the same condition beside each of them: what a table of norms leaves. */
export function compareMeanCurves(trials: readonly Trial[]): StepError[] {
  return trials.flatMap(({ condition, steps }) => {
    const alike = trials.filter((trial) => trial.condition === condition).flatMap((trial) => trial.steps);
    const mean = (name: Component): number[] =>
      alike[0][name].map((_, i) => alike.reduce((sum, step) => sum + step[name][i], 0) / alike.length);
    const norm = { vertical: mean('vertical'), forward: mean('forward'), side: mean('side') };
    return steps.map((step) => errorOf(condition, norm, step));
  });
}

/** A group of the published table beside the model at its speed and step length. */
export interface GroupError {
  readonly group: SpeedGroup;
  readonly peaks: Peaks;
  readonly stance: number;
  readonly centre: CentreOver;
}

export function compareGroups(groups: readonly SpeedGroup[]): GroupError[] {
  return groups.map((group) => {
    const walk = planAt(group.speed, group.stepLength);
    const peaks = findPeaks(footOverStance(walk, 2000));
    return { group, peaks, stance: walk.stance.right.fraction, centre: centreOver(walk) };
  });
}

/** Rise of the pelvis and stance of one trial, measured and by the model. */
export interface TrialError {
  readonly condition: Trial['condition'];
  /** Dimensionless. */
  readonly speed: number;
  readonly pelvisRise: number;
  /** Rise and fall of the model's centre of mass in m; of its root. */
  readonly centreRise: number;
  readonly rootRise: number;
  readonly stance: number;
  readonly modelStance: number;
}

export function compareTrials(trials: readonly Trial[]): TrialError[] {
  return trials.map((trial) => {
    const walk = planTrial(trial);
    const centreRise = centreOver(walk).bob;
    return {
      condition: trial.condition,
      speed: walk.pace.dimensionlessSpeed,
      pelvisRise: trial.pelvisRise,
      centreRise,
      rootRise: centreRise * walk.root.rise,
      stance: (trial.stepTime + trial.doubleSupport) / (2 * trial.stepTime),
      modelStance: walk.stance.right.fraction,
    };
  });
}

/**
 * Least squares of pelvis rise = (base + growth · v*) · rise of the centre of mass, both measured: what a
 * pelvis does beside its own body, with no model in between.
 */
export function fitRootRise(
  errors: readonly TrialError[],
  steps: readonly MeasuredStep[],
): { base: number; growth: number } {
  const sum = (f: (rise: number, speed: number, pelvis: number) => number): number =>
    errors.reduce((all, { speed, pelvisRise }, i) => all + f(steps[i].rise, speed, pelvisRise), 0);
  const aa = sum((z) => z * z);
  const ab = sum((z, v) => z * z * v);
  const bb = sum((z, v) => (z * v) ** 2);
  const ay = sum((z, _, y) => z * y);
  const by = sum((z, v, y) => z * v * y);
  const whole = aa * bb - ab * ab;
  return { base: (ay * bb - by * ab) / whole, growth: (by * aa - ay * ab) / whole };
}

/** Energy at one speed in m/s. */
export interface EnergyRow {
  readonly speed: number;
  /** Per cent. */
  readonly recovery: number;
  /** Forward over vertical work. */
  readonly ratio: number;
  readonly centre: CentreOver;
}

export function energyAt(speed: number): EnergyRow {
  const walk = planSpeed(speed);
  const { recovery, work } = energyOf(walk);
  return { speed, recovery: 100 * recovery, ratio: work.forward / work.vertical, centre: centreOver(walk) };
}

/** Speed in m/s at which forward work overtakes vertical, by halving. */
export function findCrossing(): number {
  let [low, high] = [0.5, 2];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (energyAt(middle).ratio > 1) high = middle;
    else low = middle;
  }
  return low;
}
