export type { Problem } from '../internal/check';
export { checkCurve } from './check-curve';
export type { Curve, Key, Outside, SegmentKind, Tangent, Tracked } from './curve';
export { blendCurves } from './edit/blend';
export {
  boundsOf,
  type CurveBounds,
  type CurvePoint,
  findCrossings,
  findExtremes,
  findInflections,
} from './edit/features';
export { insertKey, joinCurves, splitCurve } from './edit/insert-key';
export { type RemoveResult, removeKey } from './edit/remove-key';
export { arcSpacing } from './edit/spacing';
export { evaluate, evaluateJet } from './evaluate';
export { type FitResult, fitCurve } from './fit/fit-curve';
export type { ErrorMeasure, FitError } from './fit/measure';
export type { FitOptions, FrameOptions, LoadOptions } from './fit/options';
export type { Samples } from './fit/samples';
export type { JetFunction, Source } from './fit/source';
export { type BakedSamples, type BakeOptions, bakeCurve } from './forms/bake';
export { fromHermite, type HermiteKey, type HermiteResult, toHermite } from './forms/hermite';
export {
  type FromOffsetsOptions,
  type FromOffsetsResult,
  fromOffsets,
  type Offset,
  type OffsetKey,
  toOffsets,
} from './forms/offsets';
export { type ThirdsResult, toThirds } from './forms/thirds';
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
export { convertFrameRate, type FrameRateOptions, type FrameRateResult } from './time/convert-frame-rate';
export { exactFrameRate, type FrameRate, frameAtTime, timeOfFrame } from './time/frame-rate';
export { cutLoop, type LoopResult, loopCurve, unrollCurve } from './time/loops';
export { retimeCurve, reverseCurve, shiftCurve, stretchCurve } from './time/move';
export type { NumberSink } from './track';
