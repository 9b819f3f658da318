export type { Problem } from '../internal/check';
export { checkCurve } from './check-curve';
export type { Curve, Key, Outside, SegmentKind, Tangent, Tracked } from './curve';
export { evaluate, evaluateJet } from './evaluate';
export { type FitResult, fitCurve } from './fit/fit-curve';
export type { ErrorMeasure, FitError } from './fit/measure';
export type { FitOptions, FrameOptions, LoadOptions } from './fit/options';
export type { Samples } from './fit/samples';
export type { JetFunction, Source } from './fit/source';
export { createSampler, type Sampler } from './sampler';
export {
  evaluateSeries,
  integrateTwice,
  type Jet,
  type Series,
  sampleSeries,
  scaleSeries,
  seriesValue,
} from './series';
export type { NumberSink } from './track';
