/**
 * Sums of weighted rows multiplied out with themselves: the normal equations of one segment. Written out, with the
 * sums in local numbers, since this is much of a fit's time and every access to a typed array is checked.
 */

/** A segment's unknowns; the times come last, since they are left out where keys stand still. */
export const LEFT_VALUE = 0;
export const LEFT_SLOPE = 1;
export const SPAN_OUT = 2;
export const SPAN_IN = 3;
export const RIGHT_VALUE = 4;
export const RIGHT_SLOPE = 5;
export const LEFT_TIME = 6;
export const RIGHT_TIME = 7;

/** Number of them. */
export const LOCAL = 8;

/** Numbers in a row: weight, residual, and its derivative with respect to each unknown. */
export const ROW = 2 + LOCAL;

/** Adds the rows up to `end` to the lower half of `local` and to `side`, for all unknowns but the times. */
export function addRows(rows: Float64Array, end: number, local: Float64Array, side: Float64Array): void {
  let e0 = 0;
  let e1 = 0;
  let e2 = 0;
  let e3 = 0;
  let e4 = 0;
  let e5 = 0;
  let s00 = 0;
  let s10 = 0;
  let s11 = 0;
  let s20 = 0;
  let s21 = 0;
  let s22 = 0;
  let s30 = 0;
  let s31 = 0;
  let s32 = 0;
  let s33 = 0;
  let s40 = 0;
  let s41 = 0;
  let s42 = 0;
  let s43 = 0;
  let s44 = 0;
  let s50 = 0;
  let s51 = 0;
  let s52 = 0;
  let s53 = 0;
  let s54 = 0;
  let s55 = 0;
  for (let at = 0; at < end; at += ROW) {
    const w = rows[at];
    const miss = rows[at + 1];
    const r0 = rows[at + 2];
    const r1 = rows[at + 3];
    const r2 = rows[at + 4];
    const r3 = rows[at + 5];
    const r4 = rows[at + 6];
    const r5 = rows[at + 7];
    const g0 = w * r0;
    e0 += g0 * miss;
    s00 += g0 * r0;
    const g1 = w * r1;
    e1 += g1 * miss;
    s10 += g1 * r0;
    s11 += g1 * r1;
    const g2 = w * r2;
    e2 += g2 * miss;
    s20 += g2 * r0;
    s21 += g2 * r1;
    s22 += g2 * r2;
    const g3 = w * r3;
    e3 += g3 * miss;
    s30 += g3 * r0;
    s31 += g3 * r1;
    s32 += g3 * r2;
    s33 += g3 * r3;
    const g4 = w * r4;
    e4 += g4 * miss;
    s40 += g4 * r0;
    s41 += g4 * r1;
    s42 += g4 * r2;
    s43 += g4 * r3;
    s44 += g4 * r4;
    const g5 = w * r5;
    e5 += g5 * miss;
    s50 += g5 * r0;
    s51 += g5 * r1;
    s52 += g5 * r2;
    s53 += g5 * r3;
    s54 += g5 * r4;
    s55 += g5 * r5;
  }
  side[0] += e0;
  side[1] += e1;
  side[2] += e2;
  side[3] += e3;
  side[4] += e4;
  side[5] += e5;
  local[0] += s00;
  local[8] += s10;
  local[9] += s11;
  local[16] += s20;
  local[17] += s21;
  local[18] += s22;
  local[24] += s30;
  local[25] += s31;
  local[26] += s32;
  local[27] += s33;
  local[32] += s40;
  local[33] += s41;
  local[34] += s42;
  local[35] += s43;
  local[36] += s44;
  local[40] += s50;
  local[41] += s51;
  local[42] += s52;
  local[43] += s53;
  local[44] += s54;
  local[45] += s55;
}

/** As `addRows`, what it leaves out: everything that a time takes part in. */
export function addTimeRows(rows: Float64Array, end: number, local: Float64Array, side: Float64Array): void {
  let e6 = 0;
  let e7 = 0;
  let s60 = 0;
  let s61 = 0;
  let s62 = 0;
  let s63 = 0;
  let s64 = 0;
  let s65 = 0;
  let s66 = 0;
  let s70 = 0;
  let s71 = 0;
  let s72 = 0;
  let s73 = 0;
  let s74 = 0;
  let s75 = 0;
  let s76 = 0;
  let s77 = 0;
  for (let at = 0; at < end; at += ROW) {
    const w = rows[at];
    const r6 = rows[at + 8];
    const r7 = rows[at + 9];
    const g6 = w * r6;
    e6 += g6 * rows[at + 1];
    s60 += g6 * rows[at + 2];
    s61 += g6 * rows[at + 3];
    s62 += g6 * rows[at + 4];
    s63 += g6 * rows[at + 5];
    s64 += g6 * rows[at + 6];
    s65 += g6 * rows[at + 7];
    s66 += g6 * r6;
    const g7 = w * r7;
    e7 += g7 * rows[at + 1];
    s70 += g7 * rows[at + 2];
    s71 += g7 * rows[at + 3];
    s72 += g7 * rows[at + 4];
    s73 += g7 * rows[at + 5];
    s74 += g7 * rows[at + 6];
    s75 += g7 * rows[at + 7];
    s76 += g7 * r6;
    s77 += g7 * r7;
  }
  side[6] += e6;
  side[7] += e7;
  local[48] += s60;
  local[49] += s61;
  local[50] += s62;
  local[51] += s63;
  local[52] += s64;
  local[53] += s65;
  local[54] += s66;
  local[56] += s70;
  local[57] += s71;
  local[58] += s72;
  local[59] += s73;
  local[60] += s74;
  local[61] += s75;
  local[62] += s76;
  local[63] += s77;
}
