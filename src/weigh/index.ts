export { type AverageOptions, type AverageStride, averageStride } from './average-stride.js';
export { type CentreOptions, centreFromPlates, type MeasuredCentre } from './centre-from-plates.js';
export {
  type CompareOptions,
  compareReactions,
  type MeasurePair,
  type ReactionComparison,
  type WorstPlace,
} from './compare-reactions.js';
export { estimateGravity, type FlightGravity, type FlightOptions } from './estimate-gravity.js';
export {
  type Estimate,
  estimateTimeScale,
  type TimeScale,
  type TimeScaleOptions,
} from './estimate-time-scale.js';
export { type MeasuredStep, measureSteps, type StepReport } from './measure-steps.js';
export type { ColumnRef, PlateColumns, PlateOptions, SignedAxis, TableColumns } from './plate-options.js';
export type { PlateNote, PlateNoteCode } from './raw-plate.js';
export { readPlates } from './read-plates.js';
export type { PlateContact, PlateRecording, PressureColumns, WeightSource } from './recording.js';
export { type Repair, type RepairCost, type RepairOptions, repair } from './repair.js';
export type { StepMeasures } from './stance-measures.js';
export { type WalkFit, type WalkFitOptions, walkFromPlates } from './walk-from-plates.js';
export { weighCurves } from './weigh-curves.js';
export type {
  Finding,
  FindingCode,
  Quantity,
  SampledPath,
  WeighedCurves,
  WeighedFoot,
  WeighedFrame,
  WeighedPath,
  WeighOptions,
  WeighReport,
} from './weighed.js';
export { type WritePlateOptions, writePlates } from './write-plates.js';
