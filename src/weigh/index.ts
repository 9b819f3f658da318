export { type AverageOptions, type AverageStride, averageStride } from './average-stride.js';
export { type MeasuredStep, measureSteps, type StepMeasures, type StepReport } from './measure-steps.js';
export type { ColumnRef, PlateColumns, PlateOptions, SignedAxis, TableColumns } from './plate-options.js';
export type { PlateNote, PlateNoteCode } from './raw-plate.js';
export { readPlates } from './read-plates.js';
export type { FootContact, PlateRecording, PressureColumns, WeightSource } from './recording.js';
export { type WritePlateOptions, writePlates } from './write-plates.js';
