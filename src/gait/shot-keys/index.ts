export type { ShotPoseMark, ShotTimingChart } from './chart-shot.js';
export type { KeyedShotMotion } from './key-shot-motion.js';
export type { KeyedShotRoot, ShotChannels } from './key-shot-root.js';
export type { KeyShotMotionOptions, KeyShotRootOptions, ShotFootTrackOptions } from './requests.js';
export type { ShotFootPlant, ShotFootTrack, ShotFootTracks } from './shot-foot-tracks.js';
