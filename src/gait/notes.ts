import type { Note } from './note.js';
import type { Pace } from './walk.js';

/** Froude number at which people go over from walking to running (Kram, Domingo & Ferris 1997). */
export const RUN_TRANSITION_FROUDE = 0.5;

/** Dimensionless speeds between which the model is calibrated. */
export const MEASURED_SPEEDS = { min: 0.12, max: 0.75 } as const;

/** What is worth a note about a pace. */
export function paceNotes(pace: Pace): Note[] {
  const notes: Note[] = [];
  const { froude, dimensionlessSpeed } = pace;
  const { min, max } = MEASURED_SPEEDS;
  if (dimensionlessSpeed < min) {
    notes.push({
      code: 'slower-than-measured',
      text: `Dimensionless speed ${dimensionlessSpeed.toFixed(3)} is below ${min}, the slowest the model was calibrated for.`,
      values: { dimensionlessSpeed, limit: min },
    });
  }
  if (dimensionlessSpeed > max) {
    notes.push({
      code: 'faster-than-measured',
      text: `Dimensionless speed ${dimensionlessSpeed.toFixed(3)} is above ${max}, the fastest the model was calibrated for.`,
      values: { dimensionlessSpeed, limit: max },
    });
  }
  if (froude > RUN_TRANSITION_FROUDE) {
    notes.push({
      code: 'past-run-transition',
      text: `Froude number ${froude.toFixed(3)} is past ${RUN_TRANSITION_FROUDE}, where people start to run.`,
      values: { froude, limit: RUN_TRANSITION_FROUDE },
    });
  }
  return notes;
}
