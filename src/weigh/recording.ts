import type { ForceColumns } from '../gait/reactions.js';
import type { Side, Sides } from '../gait/walk.js';
import type { PlateNote } from './raw-plate.js';

/** One time that a foot is on a plate. */
export interface PlateContact {
  readonly foot: Side;
  /** Place of the plate in the source, from 0. */
  readonly plate: number;
  /** Time of landing in s. */
  readonly land: number;
  /** Time of lifting in s. */
  readonly lift: number;
  /** Whether landing and lifting are both on the record and the contact is one foot's. */
  readonly whole: boolean;
}

/** Where a body weight was taken from: the caller, whole strides, or single steps. */
export type WeightSource = 'stated' | 'strides' | 'steps';

/** Centre of pressure in m along and across the walk, 0 while the foot is off. */
export interface PressureColumns {
  readonly forward: readonly number[];
  readonly side: readonly number[];
}

/** Measured forces of the floor on both feet. Read-only data that survives JSON. */
export interface PlateRecording {
  readonly kind: 'recording';
  /** Samples per second. */
  readonly rate: number;
  /** Times in s, from 0. */
  readonly time: readonly number[];
  /** Forces in BW, 0 while the foot is off. */
  readonly left: ForceColumns;
  readonly right: ForceColumns;
  /** Both feet together. */
  readonly total: ForceColumns;
  /** Centres of pressure, where the source has them. */
  readonly pressure?: Sides<PressureColumns>;
  /** Newtons in one body weight. */
  readonly newtonsPerBodyWeight: number;
  readonly bodyWeightFrom: WeightSource;
  /** Gravity in m/s². */
  readonly gravity: number;
  /** Every contact, by its landing. */
  readonly contacts: readonly PlateContact[];
  /** Frequency in Hz at which the low-pass halves the power, or `false`. */
  readonly lowPass: number | false;
  /** What was detected, assumed or changed on the way. */
  readonly notes: readonly PlateNote[];
}
