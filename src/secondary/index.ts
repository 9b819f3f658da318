export { type BounceFollower, type BounceOptions, type BounceState, followBounce } from './bounce.js';
export type { BouncePart, DampedBy, Stop } from './bounce-part.js';
export { CARRIERS } from './carrier.js';
export type { CarrierName, CarrierSpec, Channel, Driver, PathDriver, SampledDriver } from './driver.js';
export type { FollowerNote, FollowerNoteCode, KeyOptions, Space } from './follower.js';
export { type FollowerTrack, type SampledTrack, trackValue } from './follower-track.js';
