import type { RigAdapter } from '../../exchange/rig/rig-adapter.js';

/** A rig without a key, its adapter, and what the host itself says and does. */
export interface RigTrial {
  readonly adapter: RigAdapter;
  /**
   * What the host shows for a curve of the document, asked of the host and not of the adapter: metres or
   * radians along the document's own directions (height up, forward along the way, side to the left), so
   * many seconds after time 0. Where it is left out, the adapter's facts and `readKeys` are believed, and
   * wrong facts cannot be found.
   */
  play?(source: string, seconds: number): number;
  /** Locks a channel in the host. */
  lock?(channel: string): void;
  /** Makes the host fail half way through the next write to a channel. */
  spoil?(channel: string): void;
}

/** How to judge an adapter. */
export interface AdapterOptions {
  /** Curves of the document by the names of `rigSources`, and the channels they go to. */
  readonly mapping: Readonly<Record<string, string>>;
  /** Cases for each law, whole, in [1, 1e6]. Default 200. */
  readonly runs?: number;
  /** Seed of the cases, whole. Default 1. */
  readonly seed?: number;
  /** Farthest that values may be off, as a fraction of the largest in the curve, in (0, 0.1]. Default 1e-9. */
  readonly tolerance?: number;
  /** For a host that keeps samples: how many it keeps a frame, whole; it is judged at those. Default 0, curves. */
  readonly samplesPerFrame?: number;
  /** Whether the host goes on before and after a curve's keys. Default true. */
  readonly outside?: boolean;
}
