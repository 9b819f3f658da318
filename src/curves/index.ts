export type { Problem } from '../internal/check.js';
export { checkCurve } from './check-curve.js';
export type { Curve, Key, Outside, SegmentKind, Tangent, Tracked } from './curve.js';
export { blendCurves } from './edit/blend.js';
export {
  boundsOf,
  type CurveBounds,
  type CurvePoint,
  findCrossings,
  findExtremes,
  findInflections,
} from './edit/features.js';
export { insertKey, joinCurves, splitCurve } from './edit/insert-key.js';
export { type RemoveResult, removeKey } from './edit/remove-key.js';
export { arcSpacing } from './edit/spacing.js';
export { evaluate, evaluateJet } from './evaluate.js';
export { type FitResult, fitCurve } from './fit/fit-curve.js';
export type { ErrorMeasure, FitError } from './fit/measure.js';
export type { FitOptions, FrameOptions, LoadOptions } from './fit/options.js';
export type { Samples } from './fit/samples.js';
export type { JetFunction, Source } from './fit/source.js';
export { type BakedSamples, type BakeOptions, bakeCurve } from './forms/bake.js';
export { fromHermite, type HermiteKey, type HermiteResult, toHermite } from './forms/hermite.js';
export {
  type FromOffsetsOptions,
  type FromOffsetsResult,
  fromOffsets,
  type Offset,
  type OffsetKey,
  toOffsets,
} from './forms/offsets.js';
export { type ThirdsOptions, type ThirdsResult, toThirds } from './forms/thirds.js';
export { createSampler, type Sampler } from './sampler.js';
export {
  evaluateSeries,
  integrateTwice,
  type Jet,
  type Series,
  sampleSeries,
  scaleSeries,
  seriesValue,
} from './series.js';
export { convertFrameRate, type FrameRateOptions, type FrameRateResult } from './time/convert-frame-rate.js';
export { exactFrameRate, type FrameRate, frameAtTime, timeOfFrame } from './time/frame-rate.js';
export { cutLoop, type LoopResult, loopCurve, unrollCurve } from './time/loops.js';
export { retimeCurve, reverseCurve, shiftCurve, stretchCurve } from './time/move.js';
export type { NumberSink } from './track.js';
