import type { Side } from '../gait/walk.js';

/** Three numbers or columns along the axes x, y, z of the room. */
export type Triple<T> = readonly [T, T, T];

/** One plate's record in the axes of the room, before anything is known about the walker. */
export interface RawPlate {
  /** What the source calls it. */
  readonly name: string;
  /** Force in N; all zeros along an axis that was not recorded. */
  readonly force: Triple<Float64Array>;
  /** Centre of pressure in m, where recorded. */
  readonly pressure?: Triple<Float64Array>;
  /** The foot that the caller says steps on it. */
  readonly foot?: Side;
}

/** Every plate of a source, on one clock. */
export interface RawRecord {
  /** Samples per second. */
  readonly rate: number;
  /** Number of samples. */
  readonly count: number;
  readonly plates: readonly RawPlate[];
  readonly notes: readonly PlateNote[];
}

/** What a note about a recording is about; stable, to be matched by tools. */
export type PlateNoteCode =
  | 'axes-detected'
  | 'axes-uncertain'
  | 'sides-mirrored'
  | 'units-assumed'
  | 'force-turned-over'
  | 'origin-turned-over'
  | 'baseline-removed'
  | 'baseline-unknown'
  | 'body-weight-from-steps'
  | 'contacts-left-out'
  | 'feet-guessed';

/** Something done to or noticed in a recording, with its numbers; never an error. */
export interface PlateNote {
  readonly code: PlateNoteCode;
  /** One plain sentence. */
  readonly text: string;
  /** The numbers in the sentence, by name; SI units. */
  readonly values: Readonly<Record<string, number>>;
}

/** Most numbers that a source may hold, so that memory stays bounded: 160 MB of them. */
export const MOST_NUMBERS = 20_000_000;

/** Largest force in N and distance in m that is still taken for a measurement. */
export const LARGEST_READING = 1e7;
