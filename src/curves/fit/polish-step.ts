/** One step of a polish: the unknowns moved, spans kept inside their segments, keys kept in order. */
import type { Chain } from './chain.js';
import { holdLockedSpans, kindAfter, type Layout } from './layout.js';
import {
  LEFT_SLOPE,
  LEFT_TIME,
  LEFT_VALUE,
  LOCAL,
  RIGHT_SLOPE,
  RIGHT_TIME,
  RIGHT_VALUE,
  SPAN_IN,
  SPAN_OUT,
} from './normal-sums.js';

const MOST_SPAN = 1;

const move = (list: Float64Array, i: number, step: Float64Array, g: number): void => {
  if (g >= 0) list[i] -= step[g];
};

const moveSpan = (list: Float64Array, k: number, step: Float64Array, g: number, least: number): void => {
  if (g >= 0) list[k] = Math.min(MOST_SPAN, Math.max(least, list[k] - step[g]));
};

/** Takes a step from the layout `from`; spans stay at or above `least`. */
export function applyStep(
  layout: Layout,
  chain: Chain,
  step: Float64Array,
  from: Layout,
  least: number,
): void {
  const { index } = chain;
  const { count, segments } = layout;
  for (let k = 0; k < segments; k++) {
    const right = (k + 1) % count;
    const at = k * LOCAL;
    if (k === 0 && !layout.cyclic) {
      move(layout.value, 0, step, index[at + LEFT_VALUE]);
      move(layout.slopeOut, 0, step, index[at + LEFT_SLOPE]);
      move(layout.time, 0, step, index[at + LEFT_TIME]);
      if (index[at + LEFT_VALUE] >= 0) {
        layout.arrives[0] = layout.value[0];
        layout.slopeIn[0] = layout.slopeOut[0];
      }
    }
    moveSpan(layout.out, k, step, index[at + SPAN_OUT], least);
    moveSpan(layout.in, k, step, index[at + SPAN_IN], least);
    if (index[at + RIGHT_VALUE] < 0) continue;
    move(layout.value, right, step, index[at + RIGHT_VALUE]);
    layout.arrives[right] = layout.value[right];
    move(layout.slopeIn, right, step, index[at + RIGHT_SLOPE]);
    move(layout.time, right, step, index[at + RIGHT_TIME]);
    if (!layout.corner[right] || right >= segments) layout.slopeOut[right] = layout.slopeIn[right];
    else move(layout.slopeOut, right, step, index[right * LOCAL + LEFT_SLOPE]);
  }
  keepOrder(layout, from);
  holdLockedSpans(layout);
}

/**
 * Holds back keys that would come nearer to a neighbour than two thirds of their old distance, or than a locked
 * neighbour's handle is long.
 */
function keepOrder(layout: Layout, from: Layout): void {
  const { count, cyclic, period, time, locked } = layout;
  for (let i = 0; i < count; i++) {
    if (!layout.moves[i]) continue;
    const old = from.time[i];
    const before = i > 0 ? from.time[i - 1] : cyclic ? from.time[count - 1] - period : old;
    const after = i + 1 < count ? from.time[i + 1] : cyclic ? from.time[0] + period : old;
    const earlier = (i + count - 1) % count;
    const later = locked[(i + 1) % count];
    const out = kindAfter(layout, earlier) === 'curve' ? (locked[earlier]?.out.span ?? 0) : 0;
    const low = Math.max(old - (old - before) / 3, Math.min(old, before + out));
    const high = Math.min(old + (after - old) / 3, Math.max(old, after - (later?.in.span ?? 0)));
    time[i] = Math.min(high, Math.max(low, time[i]));
  }
}

/** Spans at a bound whose gradient points outwards take no part in the step. */
export function restBound(layout: Layout, chain: Chain, least: number): void {
  const { index, matrix, gradient } = chain;
  for (let k = 0; k < layout.segments; k++) {
    for (let side = 0; side < 2; side++) {
      const g = index[k * LOCAL + SPAN_OUT + side];
      if (g < 0) continue;
      const x = side === 0 ? layout.out[k] : layout.in[k];
      const outwards = (x <= least && gradient[g] > 0) || (x >= MOST_SPAN && gradient[g] < 0);
      if (!outwards) continue;
      for (let c = matrix.first[g]; c < g; c++) matrix.entries[matrix.base[g] + c] = 0;
      for (let r = g + 1; r < matrix.size; r++) {
        if (matrix.first[r] <= g) matrix.entries[matrix.base[r] + g] = 0;
      }
      gradient[g] = 0;
    }
  }
}

/** Unknowns without any influence get a unit diagonal, so that they stay. */
export function guardIdle(chain: Chain): void {
  const { matrix } = chain;
  for (let r = 0; r < matrix.size; r++) {
    if (matrix.entries[matrix.base[r] + r] <= 0) matrix.entries[matrix.base[r] + r] = 1;
  }
}
