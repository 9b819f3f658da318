export { type BounceFollower, type BounceOptions, type BounceState, followBounce } from './bounce.js';
export type { BouncePart, DampedBy, Stop } from './bounce-part.js';
export { CARRIERS } from './carrier.js';
export { type ClothFollower, type ClothOptions, followCloth } from './cloth.js';
export type { ClothPart, Obstacle, ObstaclePoint } from './cloth-part.js';
export {
  type CarrierName,
  type CarrierSpec,
  CHANNELS,
  type Channel,
  type Driver,
  type PathDriver,
  type SampledDriver,
} from './driver.js';
export type { FollowerNote, FollowerNoteCode, KeyOptions, Space } from './follower.js';
export { type FollowerTrack, type SampledTrack, trackValue } from './follower-track.js';
export { createFollower, type LiveFollower, type LiveOptions } from './live.js';
export { createDriver, type LiveDriver, type LiveDriverOptions } from './live-driver.js';
export {
  BOUNCES,
  type BouncePresetName,
  bellyOf,
  type Preset,
  STRANDS,
  type StrandPresetName,
} from './presets.js';
export {
  followStrand,
  type LinkTracks,
  type StrandFollower,
  type StrandModel,
  type StrandOptions,
} from './strand.js';
export type { RestAngles, StrandPart } from './strand-part.js';
export type { StrandState } from './strand-run.js';
export {
  type SpringInWords,
  type SpringNumbers,
  springFromWords,
  type TradeWords,
  wordsFromSpring,
} from './words.js';
