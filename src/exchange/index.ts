export type {
  DocumentFollower,
  DocumentFoot,
  DocumentForces,
  DocumentMark,
  DocumentPlant,
  DocumentRoot,
  DocumentTurns,
  FollowerCarrier,
  FollowerPart,
  MotionDocument,
} from './document.js';
export { DOCUMENT_FORMAT, DOCUMENT_VERSION } from './document.js';
export { type FollowerCurvesOptions, followerCurves } from './document-followers.js';
export { MOTION_DOCUMENT_SCHEMA } from './document-schema.js';
export type { GivenKeys, GivenRoot, GivenTurns } from './given-keys.js';
export { type GlbOptions, type GlbResult, toGlb } from './gltf/to-glb.js';
export type { JsonSchema } from './json-schema.js';
export { LIBRARY_VERSION } from './library-version.js';
export { type PageOptions, toPage } from './page/to-page.js';
export {
  DARK_GROUND,
  DARK_STROKES,
  GROUND,
  type Ground,
  type Role,
  SERIES,
  STROKES,
  type Stroke,
} from './palette.js';
export { checkDocument, type ReadDocumentOptions, readDocument } from './read-document.js';
export {
  type ApplyOptions,
  applyToRig,
  type RigChange,
  type RigMapping,
  type RigReport,
  type RigTarget,
} from './rig/apply-to-rig.js';
export type {
  RigAdapter,
  RigChannel,
  RigCurve,
  RigFacts,
  RigKey,
  RigMode,
  RigTangent,
} from './rig/rig-adapter.js';
export { rigValue } from './rig/rig-curve.js';
export { type RigSource, rigSources } from './rig/rig-sources.js';
export type { Scene, SceneAxis, SceneSpec, UpAxis } from './scene.js';
export { type AxisOf, sceneAxes } from './scene-axes.js';
export { type AgainstOptions, chartAgainst } from './svg/chart-against.js';
export { chartFollower } from './svg/chart-follower.js';
export { chartForces } from './svg/chart-forces.js';
export { chartPaces, type PacesOptions } from './svg/chart-paces.js';
export { chartRoot } from './svg/chart-root.js';
export { chartTextbook, type TextbookChartOptions } from './svg/chart-textbook.js';
export { chartTiming } from './svg/chart-timing.js';
export type { StrideSource } from './svg/strides-of.js';
export { toCsv } from './to-csv.js';
export { type DocumentOptions, toDocument } from './to-document.js';
export { toUsd, type UsdOptions } from './usd/to-usd.js';
