import type { Curve } from '../curves/curve.js';
import type { Series } from '../curves/series.js';
import type { Channels, Motion } from '../gait/walk.js';

/** Paths of the carrier in m, as curves or exact series; a channel left out stays still. */
export interface PathDriver {
  readonly height?: Curve | Series;
  readonly forward?: Curve | Series;
  /** Positive to the character's left. */
  readonly side?: Curve | Series;
  /** Gravity in m/s², ≥ 0. Default 9.80665. */
  readonly gravity?: number;
}

/** Positions of the carrier in m at even times; a channel left out stays still. */
export interface SampledDriver {
  /** Time between samples in s, > 0. */
  readonly every: number;
  /** Time of the first sample in s. Default 0. */
  readonly start?: number;
  readonly height?: ArrayLike<number>;
  readonly forward?: ArrayLike<number>;
  readonly side?: ArrayLike<number>;
  /** Whether the sample after the last is the first again. */
  readonly repeats: boolean;
  /**
   * Where it does not repeat: the first sample after each cut or teleport, counted from 0, rising. The jump
   * gives no kick: either side of it the carrier moves on unaccelerated. Default none.
   */
  readonly cuts?: readonly number[];
  /** What `forward` gains over one period in m, where it repeats. Default 0. */
  readonly gain?: number;
  /** Gravity in m/s², ≥ 0. Default 9.80665. */
  readonly gravity?: number;
}

/**
 * What a follower hangs from: a planned motion (its root is what moves), paths of its own, or samples.
 * Its acceleration and gravity together are the weight that the part feels.
 */
export type Driver = Motion | PathDriver | SampledDriver;

/** The parts of the body between root and follower that are known by name. */
export type CarrierName = 'centreOfMass' | 'hips' | 'chest' | 'head';

/** What lies between the root and the part, by numbers. */
export interface CarrierSpec {
  /** Motion of the carrier per motion of the root; one number for all channels, or by channel. Default 1. */
  readonly gain?: number | Partial<Channels<number>>;
  /** How much later the carrier moves than the root, in s, ≥ 0. Default 0. */
  readonly delay?: number;
}

/** The names of the three channels, in the order in which arrays hold them. */
export const CHANNELS = ['height', 'forward', 'side'] as const;

/** One of the three directions: above the floor, along travel, to the character's left. */
export type Channel = (typeof CHANNELS)[number];
