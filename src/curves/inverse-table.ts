/**
 * First guesses for the time solver: a segment's parameter as a function of its time, as thirty-two cubics.
 *
 * With both ends of each part and their slopes right, a guess is about 1e-6 off for ordinary handles, and
 * one third-order step ends it. Where the tangent is vertical a guess is poor, and the solver goes on from there.
 */
import { EVEN, STRIDE, TIME_1, TIME_2, TIME_3 } from './segment.js';
import { solveTime } from './solve-time.js';

/** Parts of a segment, numbers per part and per segment. */
export const PARTS = 32;
export const COEFFICIENTS = 4;
export const TABLE = COEFFICIENTS * PARTS;

/** Time derivative below which the inverse's slope is not to be trusted. */
const STALLED = 1e-3;

/** A table for so many segments, and one more part, which a time that is rounded up to the end may ask for. */
export function makeInverseTable(segments: number): Float64Array {
  return new Float64Array(segments * TABLE + COEFFICIENTS);
}

/** Fills in the part of the table that belongs to the segment prepared at `row[at…]`; an even one needs none. */
export function fillInverseTable(table: Float64Array, row: Float64Array, at: number): void {
  if (row[at + EVEN] === 1) return;
  const a = row[at + TIME_3];
  const b = row[at + TIME_2];
  const c = row[at + TIME_1];
  let to = (at / STRIDE) * TABLE;
  let s0 = 0;
  let m0 = c > STALLED ? 1 / (PARTS * c) : 0;
  for (let k = 1; k <= PARTS; k++) {
    const s1 = k === PARTS ? 1 : solveTime(a, b, c, k / PARTS, s0 + m0);
    const rise = s1 - s0;
    const slope = c + 2 * b * s1 + 3 * a * s1 * s1;
    const m1 = slope > STALLED ? 1 / (PARTS * slope) : rise;
    if (m0 === 0) m0 = rise;
    table[to] = s0;
    table[to + 1] = m0;
    table[to + 2] = 3 * rise - 2 * m0 - m1;
    table[to + 3] = m0 + m1 - 2 * rise;
    to += COEFFICIENTS;
    s0 = s1;
    m0 = slope > STALLED ? m1 : 0;
  }
}
