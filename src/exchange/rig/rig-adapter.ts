import type { Outside, SegmentKind } from '../../curves/curve.js';
import type { SceneSpec } from '../scene.js';

/** One side of a key in the host's terms: width in frames, slope in value per frame, rising positive. */
export interface RigTangent {
  readonly frames: number;
  readonly slope: number;
}

/** A key in the host's terms. */
export interface RigKey {
  /** Frame of the host, fractions kept. */
  readonly frame: number;
  /** Value in the host's unit. */
  readonly value: number;
  readonly in: RigTangent;
  readonly out: RigTangent;
  /** How the curve goes on to the next key. */
  readonly next: SegmentKind;
  /**
   * Value that the curve arrives with, where it jumps at this key, and stays at before the first key where
   * it holds there. Only on a rig whose facts say `jumps`.
   */
  readonly arrives?: number;
}

/**
 * A channel's curve in the host's terms. One that repeats has its seam written out at both ends; one that
 * `travels` gains the difference of its last and first value each time.
 */
export interface RigCurve {
  readonly keys: readonly RigKey[];
  readonly before: Outside;
  readonly after: Outside;
}

/** A channel of a rig. */
export interface RigChannel {
  readonly name: string;
  /** What its values are. */
  readonly kind: 'length' | 'angle';
  /** Whether it must not be written. Default false. */
  readonly locked?: boolean;
}

/** What a host counts in: its scene's conventions and its unit of angle. */
export interface RigFacts extends SceneSpec {
  readonly angles: 'radians' | 'degrees';
  /** Whether curves can be laid over what is there. */
  readonly layers: boolean;
  /** Whether a key may arrive with one value and leave with another. Default false: such curves are refused. */
  readonly jumps?: boolean;
}

/** Replace what a channel has, or lay the curve over it. */
export type RigMode = 'replace' | 'add';

/** All that a host has to offer for motions to reach its rig; the conversions are the library's work. */
export interface RigAdapter {
  readonly facts: RigFacts;
  /** The rig's channels. */
  channels(): readonly RigChannel[];
  /** What a channel, or the layer over it, has now; nothing where it has no keys. */
  readKeys(channel: string, mode: RigMode): RigCurve | undefined;
  /** Gives a channel, or the layer over it, these keys and no others, before it returns; no curve takes them all away. */
  writeKeys(channel: string, curve: RigCurve | undefined, mode: RigMode): void;
  /**
   * What a channel, or the layer over it, has now, in the host's own form. With `putBack`, what was written
   * before a failure is taken back to the bit; without, by `readKeys` and `writeKeys`, to their rounding.
   */
  takeCopy?(channel: string, mode: RigMode): unknown;
  /** Gives a channel, or the layer over it, what `takeCopy` returned. */
  putBack?(channel: string, copy: unknown, mode: RigMode): void;
}
