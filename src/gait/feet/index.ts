export { type FootOptions, type FootPose, type FootSpace, footAt } from './foot-at.js';
export { type FootPlace, type FootPoint, type FootShape, footShapeOf, heelOf, toeOf } from './foot-shape.js';
export {
  type FootContact,
  type FootPlant,
  type FootTrack,
  type FootTrackOptions,
  type FootTracks,
  footTracks,
} from './foot-tracks.js';
export { type EventTime, type FootEvents, walkEvents } from './walk-events.js';
