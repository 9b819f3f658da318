import type { Side } from '../gait/walk.js';
import { requireRecord } from '../internal/check.js';
import type { PlateContact, PlateRecording } from './recording.js';
import { refuse } from './refuse.js';
import { measureStance, STEP_MEASURES, type StepMeasures } from './stance-measures.js';

/** One measured contact. */
export interface MeasuredStep extends StepMeasures {
  readonly foot: Side;
  /** Time of landing in s. */
  readonly land: number;
}

/** Every whole contact of a recording measured, with means and spreads. */
export interface StepReport {
  readonly steps: readonly MeasuredStep[];
  readonly mean: StepMeasures;
  /** Standard deviations over the steps; 0 where there is one step. */
  readonly spread: StepMeasures;
  /** Mean time from one landing to the next of the same foot, in s; 0 where none follows. */
  readonly strideTime: number;
}

/**
 * Peaks, trough, their times and impulses of every whole contact in a recording.
 *
 * Read off the recording's samples; extremes are as fine as they are. The first peak is sought in the first
 * half of the contact, the second in the second, the trough between the two.
 *
 * @param recording - what `readPlates` returned
 * @returns each step's measures, their means and standard deviations
 * @throws RangeError where no contact is whole, TypeError where it is not a recording
 *
 * @example
 * ```ts
 * import { measureSteps, planWalk, readPlates, writePlates } from 'underfoot';
 *
 * const recording = readPlates(writePlates(planWalk({ pace: 'ordinary' }), { strides: 4 }));
 * const { mean, steps } = measureSteps(recording);
 * console.log(steps.length, mean.firstPeak > mean.trough); // → 7 true
 * ```
 */
export function measureSteps(recording: PlateRecording): StepReport {
  requireRecording('measureSteps', recording);
  const { rate } = recording;
  const measure = (contact: PlateContact): StepMeasures => {
    const { vertical, forward } = recording[contact.foot];
    return measureStance(vertical, forward, rate, contact);
  };
  const steps = recording.contacts
    .filter(({ whole }) => whole)
    .map((contact) => ({ foot: contact.foot, land: contact.land, ...measure(contact) }));
  if (steps.length === 0) refuse('measureSteps', 'recording', 'must have a whole contact', 'none');
  const over = (value: (values: number[]) => number): StepMeasures =>
    Object.fromEntries(
      STEP_MEASURES.map((name) => [name, value(steps.map((step) => step[name]))]),
    ) as unknown as StepMeasures;
  return { steps, mean: over(meanOf), spread: over(deviationOf), strideTime: strideTimeOf(recording) };
}

/** Throws unless it is a recording. */
export function requireRecording(where: string, recording: unknown): PlateRecording {
  const { kind } = requireRecord(where, 'recording', recording);
  if (kind !== 'recording') refuse(where, 'recording.kind', 'must be "recording"', kind);
  return recording as PlateRecording;
}

/** Mean stride time in s over strides within a quarter of the middle one, so that a missed step adds none. */
export function strideTimeOf({ contacts }: PlateRecording): number {
  const times: number[] = [];
  for (const foot of ['left', 'right'] as const) {
    const lands = contacts
      .filter((contact) => contact.foot === foot && contact.land > 0)
      .map(({ land }) => land);
    for (let i = 1; i < lands.length; i++) times.push(lands[i] - lands[i - 1]);
  }
  if (times.length === 0) return 0;
  const middle = times.slice().sort((a, b) => a - b)[Math.floor((times.length - 1) / 2)];
  return meanOf(times.filter((time) => Math.abs(time - middle) <= 0.25 * middle));
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, x) => sum + x, 0) / values.length;
}

function deviationOf(values: readonly number[]): number {
  if (values.length < 2) return 0;
  const mean = meanOf(values);
  return Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (values.length - 1));
}
