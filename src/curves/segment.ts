/**
 * A segment prepared for evaluation: sixteen numbers in a row, twelve of them used of a `Float64Array`.
 *
 * Time and value are cubics in a parameter s, written as powers. A segment whose time is linear in s — a
 * line, a hold, and every curve with third-length spans — needs no solving, and is flagged.
 */
import type { Key } from './curve.js';
import { solveTime } from './solve-time.js';

/** Numbers per prepared segment. */
export const STRIDE = 16;

/** Offsets inside a prepared segment. The origin of time may lie before the part of the segment that is used. */
export const FROM = 0;
export const TO = 1;
export const ORIGIN = 2;
export const RATE = 3;
export const VALUE_0 = 4;
export const VALUE_1 = 5;
export const VALUE_2 = 6;
export const VALUE_3 = 7;
/** 1 where time is linear in the parameter. */
export const EVEN = 8;
export const TIME_1 = 9;
export const TIME_2 = 10;
export const TIME_3 = 11;

/** Departure from third-length spans, in fractions of the segment, that is taken for rounding. */
const THIRDS = 2 ** -46;

/** Time derivative below which the parameter is moved inwards before derivatives are taken. */
const STALLED = 1e-9;

/** How far it is moved. */
const NUDGE = 1e-4;

/**
 * Prepares the segment between two keys at `row[at…]`.
 *
 * @param start - time of its left end in s
 * @param length - its length in s, > 0
 * @param lift - added to the right key's value, for the segment that crosses a cycle's seam
 * @param drop - added to both values, for the same segment seen from the next cycle
 */
export function prepareSegment(
  row: Float64Array,
  at: number,
  left: Key,
  right: Key,
  start: number,
  length: number,
  lift: number,
  drop: number,
): void {
  const from = left.value + drop;
  const rise = (right.arrives ?? right.value) + lift - left.value;
  const kind = left.next ?? 'curve';
  row[at + FROM] = start;
  row[at + TO] = start + length;
  row[at + ORIGIN] = start;
  row[at + RATE] = 1 / length;
  row[at + VALUE_0] = from;
  row[at + TIME_3] = 0;
  row[at + TIME_2] = 0;
  row[at + TIME_1] = 1;
  row[at + VALUE_2] = 0;
  row[at + VALUE_3] = 0;
  row[at + EVEN] = 1;
  if (kind !== 'curve') {
    row[at + VALUE_1] = kind === 'line' ? rise : 0;
    return;
  }
  const p = left.out.span / length;
  const q = right.in.span / length;
  const y1 = p * length * left.out.slope;
  const y2 = rise - q * length * right.in.slope;
  row[at + VALUE_1] = 3 * y1;
  row[at + VALUE_2] = 3 * (y2 - 2 * y1);
  row[at + VALUE_3] = rise + 3 * (y1 - y2);
  if (Math.abs(p - 1 / 3) <= THIRDS && Math.abs(q - 1 / 3) <= THIRDS) return;
  const t1 = 3 * p;
  const t2 = 3 * (1 - q - 2 * p);
  const t3 = 3 * (p + q) - 2;
  row[at + TIME_1] = t1;
  row[at + TIME_2] = t2;
  row[at + TIME_3] = t3;
  row[at + EVEN] = 0;
}

/** Parameter of a prepared segment at time `t` (s). */
export function segmentParameter(row: Float64Array, at: number, t: number): number {
  const x = (t - row[at + ORIGIN]) * row[at + RATE];
  if (row[at + EVEN] === 1) return x;
  return solveTime(row[at + TIME_3], row[at + TIME_2], row[at + TIME_1], x, x);
}

/** Value of a prepared segment at parameter `s`, summed so that its products need not wait for each other. */
export function segmentValue(row: Float64Array, at: number, s: number): number {
  return row[at + VALUE_0] + row[at + VALUE_1] * s + s * s * (row[at + VALUE_2] + row[at + VALUE_3] * s);
}

/**
 * The slope with which the segment between two keys leaves the left one, or arrives at the right one: the key's own
 * where its handle has a length, otherwise that of the line to the nearest control point that is elsewhere.
 * Undefined where that line is vertical.
 *
 * @param rise - value of the right end less that of the left one
 */
export function endSlope(
  left: Key,
  right: Key,
  length: number,
  rise: number,
  side: 'left' | 'right',
): number | undefined {
  const kind = left.next ?? 'curve';
  if (kind !== 'curve') return kind === 'line' ? rise / length : 0;
  const [own, other] = side === 'left' ? [left.out, right.in] : [right.in, left.out];
  if (own.span > 0) return own.slope;
  const width = length - other.span;
  const height = rise - other.span * other.slope;
  if (width > STALLED * length) return height / width;
  return height === 0 ? rise / length : undefined;
}

/**
 * Writes value, first and second derivative at parameter `s` into `out[to…to + 2]`.
 *
 * At a vertical tangent, where the derivatives are infinite, they are those a ten-thousandth of the
 * parameter further in: large and finite.
 */
export function segmentJet(
  row: Float64Array,
  at: number,
  s: number,
  out: { [index: number]: number },
  to: number,
): void {
  out[to] = segmentValue(row, at, s);
  const rate = row[at + RATE];
  const v1 = row[at + VALUE_1];
  const v2 = row[at + VALUE_2];
  const v3 = row[at + VALUE_3];
  if (row[at + EVEN] === 1) {
    out[to + 1] = ((3 * v3 * s + 2 * v2) * s + v1) * rate;
    out[to + 2] = (6 * v3 * s + 2 * v2) * rate * rate;
    return;
  }
  const t1 = row[at + TIME_1];
  const t2 = row[at + TIME_2];
  const t3 = row[at + TIME_3];
  let u = s;
  let dx = (3 * t3 * u + 2 * t2) * u + t1;
  if (dx < STALLED) {
    u += u > 0.5 ? -NUDGE : NUDGE;
    dx = Math.max((3 * t3 * u + 2 * t2) * u + t1, STALLED);
  }
  const slope = ((3 * v3 * u + 2 * v2) * u + v1) / dx;
  out[to + 1] = slope * rate;
  out[to + 2] = ((6 * v3 * u + 2 * v2 - slope * (6 * t3 * u + 2 * t2)) / (dx * dx)) * rate * rate;
}
