/**
 * First guesses for the time solver: a segment's parameter as a function of its time, as sixteen cubics.
 *
 * With both ends of each part and their slopes right, a guess is about 1e-5 off for ordinary handles, and
 * one Halley step ends it. Where the tangent is vertical a guess is poor, and the solver goes on from there.
 */
import { EVEN, STRIDE, TIME_1, TIME_2, TIME_3 } from './segment.js';
import { solveTime } from './solve-time.js';

/** Parts of a segment, and numbers per segment. */
export const PARTS = 16;
export const TABLE = 4 * PARTS;

/** Time derivative below which the inverse's slope is not to be trusted. */
const STALLED = 1e-3;

/** The table of every segment in a row; segments that need none keep zeros. */
export function makeInverseTable(row: Float64Array, segments: number): Float64Array {
  const table = new Float64Array(segments * TABLE);
  const s = new Float64Array(PARTS + 1);
  const slope = new Float64Array(PARTS + 1);
  for (let i = 0; i < segments; i++) {
    const at = i * STRIDE;
    if (row[at + EVEN] === 1) continue;
    const [a, b, c] = [row[at + TIME_3], row[at + TIME_2], row[at + TIME_1]];
    for (let k = 0; k <= PARTS; k++) {
      s[k] = k === 0 ? 0 : solveTime(a, b, c, k / PARTS, s[k - 1] + 1 / PARTS);
      slope[k] = (3 * a * s[k] + 2 * b) * s[k] + c;
    }
    for (let k = 0; k < PARTS; k++) {
      const rise = s[k + 1] - s[k];
      const m0 = slope[k] > STALLED ? 1 / (PARTS * slope[k]) : rise;
      const m1 = slope[k + 1] > STALLED ? 1 / (PARTS * slope[k + 1]) : rise;
      const to = i * TABLE + 4 * k;
      table[to] = s[k];
      table[to + 1] = m0;
      table[to + 2] = 3 * rise - 2 * m0 - m1;
      table[to + 3] = m0 + m1 - 2 * rise;
    }
  }
  return table;
}
