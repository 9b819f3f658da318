/** The segments of a curve one by one, the one across a cycle's seam included. */
import type { Curve, Key } from './curve.js';

export interface Piece {
  readonly left: Key;
  readonly right: Key;
  /** Index of the key on the left. */
  readonly index: number;
  readonly start: number;
  readonly length: number;
  /** Added to the right key's value across the seam of a cycle that gains. */
  readonly lift: number;
}

/** All segments, in order; none for a single key that does not repeat. */
export function piecesOf(curve: Curve): Piece[] {
  const { keys, period, gain = 0 } = curve;
  const pieces: Piece[] = [];
  for (let i = 0; i + 1 < keys.length; i++) {
    const length = keys[i + 1].time - keys[i].time;
    pieces.push({ left: keys[i], right: keys[i + 1], index: i, start: keys[i].time, length, lift: 0 });
  }
  if (period === undefined) return pieces;
  const left = keys[keys.length - 1];
  const length = keys[0].time + period - left.time;
  pieces.push({ left, right: keys[0], index: keys.length - 1, start: left.time, length, lift: gain });
  return pieces;
}

/** Control values and times of a segment that is a curve, times relative to its start. */
export function controlsOf({ left, right, length, lift }: Piece): { time: number[]; value: number[] } {
  const end = (right.arrives ?? right.value) + lift;
  return {
    time: [0, left.out.span, length - right.in.span, length],
    value: [
      left.value,
      left.value + left.out.span * left.out.slope,
      end - right.in.span * right.in.slope,
      end,
    ],
  };
}
