export type { Problem } from '../internal/check.js';
export { checkWalkSpec } from './check-walk-spec.js';
export { type Energy, type EnergyOptions, type EnergyWork, energyOf } from './energy.js';
export * from './feet/index.js';
export { type KeyedMotion, type KeyMotionOptions, keyMotion } from './key-motion.js';
export {
  type KeyedError,
  type KeyedErrorPart,
  type KeyedRoot,
  type KeyedRunRoot,
  type KeyRootOptions,
  keyRoot,
} from './key-root.js';
export * from './manners/index.js';
export type { Note, NoteCode } from './note.js';
export { stepLengthFor } from './pace.js';
export { planWalk } from './plan-walk.js';
export * from './pose/index.js';
export {
  type ForceColumns,
  type ReactionAt,
  type ReactionOptions,
  type ReactionTable,
  reactionsAt,
  sampleReactions,
} from './reactions.js';
export { type MotionReader, readMotion } from './read-motion.js';
export { type RootMotion, type RootOptions, rootAt, rootMotion } from './root.js';
export * from './run/index.js';
export * from './run-shot/index.js';
export * from './shot/index.js';
export * from './shot-keys/index.js';
export { type SlowMotion, slowMotion } from './slow-motion.js';
export { type SnapOptions, snapToFrames } from './snap-to-frames.js';
export { stanceFractionFor } from './stance.js';
export {
  type TextbookColumns,
  type TextbookCurves,
  type TextbookOptions,
  type TextbookPace,
  type TextbookPoint,
  type TextbookPoints,
  textbookCurves,
} from './textbook-curves.js';
export {
  type Pose,
  type PoseMark,
  type TimingChart,
  type TimingChartOptions,
  timingChart,
} from './timing-chart.js';
export type {
  Body,
  BodySpec,
  CarryPlace,
  CarrySpec,
  Channels,
  Force,
  Lean,
  Motion,
  Pace,
  PaceName,
  PaceSpec,
  Pivot,
  Push,
  RootRelation,
  Side,
  Sides,
  Stance,
  UnevenSpec,
  Walk,
  WalkSpec,
} from './walk.js';
