/**
 * The curve model: sparse keys joined by Bézier segments that are functions of time.
 *
 * A tangent is a width in seconds and a slope in value per second, rising positive on both sides of its
 * key. That is the pair which an OpenUSD spline stores, so handing a curve over is lossless; where every
 * span is a third of its segment the curve is a cubic Hermite one and glTF takes it without loss.
 */

/** One side of a key: where its Bézier handle stands. Unused on a side where the segment is a line or held. */
export interface Tangent {
  /**
   * Width of the handle in s, ≥ 0. With p and q the two widths of a segment as fractions of it, time never
   * runs backwards where p + q − 1 ≤ √(p q): always where neither is longer than the segment.
   */
  readonly span: number;
  /** Slope in value per second; rising is positive on both sides. */
  readonly slope: number;
}

/**
 * How the curve runs from a key to the next one: as a Bézier segment between their tangents, straight, or keeping its
 * value until it jumps at the next key.
 */
export type SegmentKind = 'curve' | 'line' | 'hold';

/** One key. */
export interface Key {
  /** Time in s. */
  readonly time: number;
  /** Value, in the curve's own unit. */
  readonly value: number;
  /** Tangent on the left, of the segment that arrives; unused at the first of several keys of an open curve. */
  readonly in: Tangent;
  /** Tangent on the right, of the segment that leaves; unused at the last of several keys of an open curve. */
  readonly out: Tangent;
  /** The segment that follows; `curve` where it is left out. */
  readonly next?: SegmentKind;
  /** A locked key is kept bit-identical by every function that fits, refits or repairs. */
  readonly locked?: boolean;
  /** Value reached from the left where the curve jumps at this key; `value` where left out. */
  readonly arrives?: number;
  /** Whatever the caller wants to keep with the key; carried along and never read. */
  readonly meta?: Readonly<Record<string, unknown>>;
}

/**
 * What a curve does outside its keys: stay at the end value, go on along the end slope, repeat, or
 * repeat and carry the gained distance on.
 */
export type Outside = 'holds' | 'straight' | 'loops' | 'travels';

/** What a curve of a character's motion is the path of. */
export type Tracked = 'centreOfMass' | 'root';

/** Sparse keys, what happens between them and outside them. Plain data that survives JSON. */
export interface Curve {
  /** Keys in rising order of time, at least one; a cyclic curve has no second key at its seam, where the cycle ends. */
  readonly keys: readonly Key[];
  /** Where the curve begins, in s, no later than its first key; the start of the cycle for a cyclic curve. */
  readonly start: number;
  /** Length of the cycle in s; only and always present where the curve is cyclic, whatever it does outside. */
  readonly period?: number;
  /** What the value gains over one period; carried on where the curve `travels`, dropped where it `loops`. 0 if left out. */
  readonly gain?: number;
  /** Behaviour before the first key. */
  readonly before: Outside;
  /** Behaviour after the last key. */
  readonly after: Outside;
  /** What the curve is the path of, where that is known. */
  readonly of?: Tracked;
  /** Whatever the caller wants to keep with the curve; carried along and never read. */
  readonly meta?: Readonly<Record<string, unknown>>;
}
