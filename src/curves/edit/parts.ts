/** The stretches of a curve inside its own range, each one cubic in time and value, to be searched. */
import type { Curve, Key } from '../curve.js';
import { controlsOf, type Piece, piecesOf } from '../pieces.js';

/** Coefficients of a cubic, constant term first. */
export type Cubic = readonly [number, number, number, number];

/** A segment, or the part of the segment across a cycle's seam that lies in the cycle. */
export interface Part {
  readonly time: Cubic;
  readonly value: Cubic;
  /** First and last parameter. */
  readonly from: number;
  readonly to: number;
  /** Times and values at these two, without the rounding of a cubic. */
  readonly starts: { readonly time: number; readonly value: number };
  readonly ends: { readonly time: number; readonly value: number };
  /** Size of the numbers that the values are sums of, for telling them from rounding. */
  readonly size: number;
  /** The key at its beginning; undefined where it begins inside a segment. */
  readonly key?: Key;
}

const powers = ([p0, p1, p2, p3]: readonly number[]): Cubic => [
  p0,
  3 * (p1 - p0),
  3 * (p0 - 2 * p1 + p2),
  p3 - p0 + 3 * (p1 - p2),
];

export const cubicAt = ([c0, c1, c2, c3]: Cubic, s: number): number => ((c3 * s + c2) * s + c1) * s + c0;

/** Value of a part at a parameter, exact at its two ends. */
export function valueAt(part: Part, s: number): number {
  if (s === part.from) return part.starts.value;
  return s === part.to ? part.ends.value : cubicAt(part.value, s);
}

/** Time of a part at a parameter, in s; exact at its two ends. */
export function timeAt(part: Part, s: number): number {
  if (s === part.from) return part.starts.time;
  return s === part.to ? part.ends.time : cubicAt(part.time, s);
}

function partOf(piece: Piece, later: number, higher: number): Part {
  const { left, right, length, lift } = piece;
  const kind = left.next ?? 'curve';
  const controls = controlsOf(piece);
  const first = controls.value[0] + higher;
  const last = (kind === 'hold' ? controls.value[0] : (right.arrives ?? right.value) + lift) + higher;
  const value = kind === 'curve' ? powers(controls.value) : [controls.value[0], last - first, 0, 0];
  const time = kind === 'curve' ? powers(controls.time) : [0, length, 0, 0];
  return {
    time: [time[0] + piece.start + later, time[1], time[2], time[3]],
    value: [value[0] + higher, value[1], value[2], value[3]],
    from: 0,
    to: 1,
    starts: { time: piece.start + later, value: first },
    ends: { time: piece.start + length + later, value: last },
    size: Math.max(...(kind === 'curve' ? controls.value : [first, last]).map(Math.abs)),
    key: left,
  };
}

/** Parameter at which a segment reaches a time, by 60 halvings: one more than the bits of a double. */
function parameterAt(time: Cubic, t: number): number {
  let low = 0;
  let high = 1;
  for (let step = 0; step < 60; step++) {
    const middle = 0.5 * (low + high);
    if (cubicAt(time, middle) < t) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/**
 * All parts of a curve from its first key to its last, or from the start of its cycle to the end: the
 * segment across the seam is cut there, and what lies past it stands first, less the gain.
 */
export function partsOf(curve: Curve): Part[] {
  const { keys, start, period, gain = 0 } = curve;
  const pieces = piecesOf(curve);
  if (period === undefined || keys[0].time === start) return pieces.map((piece) => partOf(piece, 0, 0));
  const seam = pieces[pieces.length - 1];
  const after = partOf(seam, 0, 0);
  const cut = parameterAt([0, after.time[1], after.time[2], after.time[3]], start + period - seam.start);
  const before = partOf(seam, -period, -gain);
  const value = cubicAt(after.value, cut);
  return [
    { ...before, from: cut, starts: { time: start, value: value - gain }, key: undefined },
    ...pieces.slice(0, -1).map((piece) => partOf(piece, 0, 0)),
    { ...after, to: cut, ends: { time: start + period, value } },
  ];
}

/** Roots of a + b s + c s² in (from, to) at which the sign changes, without cancellation (Higham 2002, section 1.8). */
export function signChanges(a: number, b: number, c: number, from: number, to: number): number[] {
  const size = Math.max(Math.abs(a), Math.abs(b), Math.abs(c));
  if (!(size > 0)) return [];
  const [k0, k1, k2] = [a / size, b / size, c / size];
  const inside = (s: number): boolean => s > from && s < to;
  if (Math.abs(k2) < 1e-15) return [-k0 / k1].filter(inside);
  const disc = k1 * k1 - 4 * k0 * k2;
  if (!(disc > 0)) return [];
  const q = -0.5 * (k1 + (k1 < 0 ? -1 : 1) * Math.sqrt(disc));
  return [q / k2, k0 / q].filter(inside).sort((x, y) => x - y);
}

/** Places inside a part where the value turns. */
export const turnsOf = ({ value: [, b, c, d], from, to }: Part): number[] =>
  signChanges(b, 2 * c, 3 * d, from, to);
