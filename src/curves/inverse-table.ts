/**
 * A segment's parameter as a function of its time: thirty-two parts, each a quintic with value, slope and second
 * derivative right at both of its ends.
 *
 * For ordinary handles a quintic is about 1e-9 off, and its own derivative is the slope of the inverse to 1e-7 or
 * so: one Newton step with that slope, which divides by nothing, ends at the last digit. Whether it does is tried
 * when a part is filled. A part where it does not, beside a vertical tangent, keeps a cubic as a first guess for
 * the solver, and a last coefficient that is no number. Parts are filled when they are first asked for; until then
 * they are zeros.
 */
import type { Segment } from './segment.js';
import {
  RESIDUAL,
  solveTime,
  solveWork,
  WORK_A,
  WORK_B,
  WORK_C,
  WORK_S,
  WORK_SIZE,
  WORK_X,
} from './solve-time.js';

/** Parts of a segment, numbers per part and per segment. */
export const PARTS = 32;
export const COEFFICIENTS = 6;
export const TABLE = COEFFICIENTS * PARTS;

/** Time derivative, in segments per parameter, below which the inverse's slope is not to be trusted. */
const STALLED = 1e-3;

/**
 * Places inside a part at which the step is tried. A quintic's error goes as w³(1 − w)³; what a step leaves goes as
 * that error times its slope, largest at 0.35 and 0.65, and as its square, largest in the middle.
 */
const TRIED = [0.35, 0.5, 0.65];

/** Largest distance in time that one step from a part's quintic leaves, in fractions of the segment. */
function residualOf(table: Float64Array, k: number, { t1, t2, t3 }: Segment, part: number): number {
  const c1 = table[k + 1];
  const c2 = table[k + 2];
  const c3 = table[k + 3];
  const c4 = table[k + 4];
  const c5 = table[k + 5];
  let worst = 0;
  for (const w of TRIED) {
    const guess = table[k] + (c1 + (c2 + (c3 + (c4 + c5 * w) * w) * w) * w) * w;
    const gain = c1 + (2 * c2 + (3 * c3 + (4 * c4 + 5 * c5 * w) * w) * w) * w;
    const x = part + w;
    const s = guess - ((t1 + (t2 + t3 * guess) * guess) * guess - x) * gain;
    const miss = Math.abs((t1 + (t2 + t3 * s) * s) * s - x);
    if (!(miss <= worst)) worst = miss;
  }
  return worst / PARTS;
}

/** Where the answer stands in a cell; the time that was asked for stands before it. */
export const CELL_X = 0;
export const CELL_S = 1;
export const CELL_SIZE = 2;

const work = new Float64Array(WORK_SIZE);

/**
 * Writes the parameter of a curved segment at `cell[CELL_X]`, a time in parts since its left end, into
 * `cell[CELL_S]`, from 0 to 1. Numbers come and go in the cell so that none is put on the heap.
 *
 * One function, too long for engines to copy into what calls it, which has to stay short.
 *
 * @returns the cell
 */
export function lookUp(table: Float64Array, segment: Segment, cell: Float64Array): Float64Array {
  const x = cell[CELL_X];
  const a = segment.t3 / PARTS;
  const b = segment.t2 / PARTS;
  const c = segment.t1 / PARTS;
  let guess = x / PARTS;
  if (x > 0 && x < PARTS) {
    const part = x | 0;
    const w = x - part;
    const k = segment.base + COEFFICIENTS * part;
    if (table[k + 1] === 0) {
      const s0 = part === 0 ? 0 : solveTime(a, b, c, part / PARTS, part / PARTS);
      const s1 = part + 1 === PARTS ? 1 : solveTime(a, b, c, (part + 1) / PARTS, s0);
      const d0 = c + (2 * b + 3 * a * s0) * s0;
      const d1 = c + (2 * b + 3 * a * s1) * s1;
      const rise = s1 - s0;
      // Slopes and second derivatives of the inverse, per part.
      const m0 = d0 > STALLED ? 1 / (PARTS * d0) : rise;
      const m1 = d1 > STALLED ? 1 / (PARTS * d1) : rise;
      const n0 = -(2 * b + 6 * a * s0) * PARTS * m0 * m0 * m0;
      const n1 = -(2 * b + 6 * a * s1) * PARTS * m1 * m1 * m1;
      const r = rise - m0 - n0 / 2;
      const u = m1 - m0 - n0;
      const v = n1 - n0;
      table[k] = s0;
      table[k + 1] = m0;
      table[k + 2] = n0 / 2;
      table[k + 3] = 10 * r - 4 * u + v / 2;
      table[k + 4] = 7 * u - 15 * r - v;
      table[k + 5] = 6 * r - 3 * u + v / 2;
      if (!(d0 > STALLED && d1 > STALLED && residualOf(table, k, segment, part) <= RESIDUAL)) {
        table[k + 2] = 3 * rise - 2 * m0 - m1;
        table[k + 3] = m0 + m1 - 2 * rise;
        table[k + 4] = 0;
        table[k + 5] = Number.NaN;
      }
    }
    if (table[k + 5] > Number.NEGATIVE_INFINITY) {
      // To the letter what the sampler of one curve does: the same time has the same value however it is asked.
      const c1 = table[k + 1];
      const c2 = table[k + 2];
      const c3 = table[k + 3];
      const c5w = table[k + 5] * w;
      const d = table[k + 4] + c5w;
      const guess = table[k] + c1 * w + w * w * (c2 + c3 * w + w * w * d);
      const gain = c1 + w * (2 * c2 + w * (3 * c3 + w * (4 * d + c5w)));
      const s = guess - (segment.t1 * guess - x + guess * guess * (segment.t2 + segment.t3 * guess)) * gain;
      if (s > 0 && s < 1) {
        cell[CELL_S] = s;
        return cell;
      }
    }
    guess = table[k] + w * (table[k + 1] + w * (table[k + 2] + w * table[k + 3]));
  }
  work[WORK_A] = a;
  work[WORK_B] = b;
  work[WORK_C] = c;
  work[WORK_X] = x / PARTS;
  work[WORK_S] = guess;
  solveWork(work);
  cell[CELL_S] = work[WORK_S];
  return cell;
}
