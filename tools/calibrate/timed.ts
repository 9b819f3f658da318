import { join } from 'node:path';
import { STANDARD_GRAVITY } from '../../src/gait/body.js';
import { projectHarmonics } from '../../src/gait/fourier.js';
import type { Trial } from './adults.js';
import { numberIn, type Row, readCsv } from './read-csv.js';

/** What one step of both feet's measured force says, with no model in between. */
export interface MeasuredStep {
  /** Mean load over the step in BW: 1 for a steady walk. */
  readonly meanLoad: number;
  /** Fraction κ of a stiff-legged walk's bob, from the load's first harmonic: c₁ / (π²/4 · Fr). */
  readonly bobKept: number;
  /** Rise and fall of the centre of mass in m, the load integrated twice. */
  readonly rise: number;
  /** Forward over vertical work, both as sums of rises. */
  readonly workRatio: number;
  /** Pendular recovery, in [0, 1]. */
  readonly recovery: number;
}

/** Samples over the step, and the harmonics kept: the force was low-passed at 15 Hz. */
const SAMPLES = 64;
const HARMONICS = 12;

/**
 * The adults' force against time (`timed-100hz.csv` and the contact times of `stances.csv`). Both plates
 * together carry the whole body from the end of the first double support to the end of the second: one step.
 */
export function readTimed(folder: string, trials: readonly Trial[]): MeasuredStep[] {
  const rows = new Map<string, Row[]>();
  for (const row of readCsv(join(folder, 'timed-100hz.csv'))) {
    const list = rows.get(row.trial);
    if (list) list.push(row);
    else rows.set(row.trial, [row]);
  }
  const contacts = readCsv(join(folder, 'stances.csv')).filter(({ order }) => order === '1');
  return trials.map((trial) => {
    const contact = contacts.find((row) => row.trial === trial.name)!;
    return measureStep(trial, rows.get(trial.name)!, numberIn(contact, 't_on') + trial.doubleSupport);
  });
}

function measureStep(trial: Trial, rows: readonly Row[], from: number): MeasuredStep {
  const time = rows.map((row) => numberIn(row, 't_s'));
  const total = (name: string): number[] =>
    rows.map((row) => Number(row[`first_${name}`]) + Number(row[`second_${name}`]));
  const over = (values: readonly number[]): Float64Array =>
    Float64Array.from({ length: SAMPLES }, (_, i) =>
      between(time, values, from + (i / SAMPLES) * trial.stepTime),
    );
  const vertical = over(total('v_BW'));
  const load = projectHarmonics(vertical, HARMONICS);
  const shear = projectHarmonics(over(total('fore_BW')), HARMONICS);
  const omega = (2 * Math.PI) / trial.stepTime;
  const g = STANDARD_GRAVITY;
  const [height, lift, drive]: number[][] = [[], [], []];
  for (let i = 0; i < SAMPLES; i++) {
    let [z, up, along] = [0, 0, trial.speed];
    for (let k = 1; k <= HARMONICS; k++) {
      const w = k * omega;
      const [c, s] = [Math.cos((2 * Math.PI * k * i) / SAMPLES), Math.sin((2 * Math.PI * k * i) / SAMPLES)];
      z -= (g * (load.cos[k - 1] * c + load.sin[k - 1] * s)) / w ** 2;
      up += (g * (load.cos[k - 1] * s - load.sin[k - 1] * c)) / w;
      along += (g * (shear.cos[k - 1] * s - shear.sin[k - 1] * c)) / w;
    }
    height.push(z);
    lift.push(g * z + up ** 2 / 2);
    drive.push(along ** 2 / 2);
  }
  const [up, along] = [risesOf(lift), risesOf(drive)];
  const froude = trial.speed ** 2 / (g * 0.53 * trial.stature);
  return {
    meanLoad: vertical.reduce((sum, n) => sum + n, 0) / SAMPLES,
    bobKept: Math.hypot(load.cos[0], load.sin[0]) / ((Math.PI ** 2 / 4) * froude),
    rise: Math.max(...height) - Math.min(...height),
    workRatio: along / up,
    recovery: 1 - risesOf(lift.map((e, i) => e + drive[i])) / (up + along),
  };
}

const risesOf = (values: readonly number[]): number =>
  values.reduce((sum, x, i) => sum + Math.max(0, x - values[(i + values.length - 1) % values.length]), 0);

function between(time: readonly number[], values: readonly number[], t: number): number {
  let i = 0;
  while (i < time.length - 2 && time[i + 1] < t) i++;
  return values[i] + ((t - time[i]) / (time[i + 1] - time[i])) * (values[i + 1] - values[i]);
}
