export { checkShotSpec } from './check-shot-spec.js';
export { type FootSpans, footSpans, type Swing } from './foot-spans.js';
export { planShot } from './plan-shot.js';
export type {
  CentreLine,
  Gait,
  HandOver,
  Layer,
  LineSegment,
  PieceTrack,
  PlannedStretch,
  Plant,
  Roll,
  Shot,
  ShotBase,
  ShotStep,
} from './shot.js';
export { type ShotPathAt, type ShotPathOptions, shotPathAt } from './shot-path-at.js';
export type {
  ChosenContact,
  ContactDials,
  ShotEnd,
  ShotSpec,
  ShotStretch,
  StairsSpec,
  StretchExtent,
  TurnSpec,
  VariationSpec,
} from './shot-spec.js';
