/**
 * Levenberg–Marquardt over every free value, slope, span and, where keys may move, key time.
 * Spans stay inside their segment: a step that would leave is cut back, and the bound unknown rests.
 */
import { Chain } from './chain.js';
import type { Grid } from './grid.js';
import { cloneLayout, copyLayout, type Layout } from './layout.js';

/**
 * Least span as a fraction of its segment: below it the second derivative at the key grows without bound,
 * in a place so short that the grid may miss it. With a load the limit is where the grid still sees it.
 */
const LEAST_SPAN = 0.02;
const LEAST_LOADED_SPAN = 0.15;

const MOST_SPAN = 1;

export interface PolishOptions {
  readonly loadWeight: number;
  /** Bound on the number of steps tried. */
  readonly steps: number;
  /** Relative fall of the cost under which it stops. */
  readonly settle: number;
}

function applyStep(layout: Layout, chain: Chain, step: Float64Array, from: Layout, least: number): void {
  const { index } = chain;
  const { count, segments } = layout;
  const move = (array: Float64Array, i: number, g: number): void => {
    if (g >= 0) array[i] -= step[g];
  };
  for (let k = 0; k < segments; k++) {
    const right = (k + 1) % count;
    const at = k * 8;
    if (k === 0 && !layout.cyclic) {
      move(layout.value, 0, index[at]);
      move(layout.slopeOut, 0, index[at + 1]);
      move(layout.time, 0, index[at + 2]);
      if (index[at] >= 0) {
        layout.arrives[0] = layout.value[0];
        layout.slopeIn[0] = layout.slopeOut[0];
      }
    }
    const span = (array: Float64Array, g: number): void => {
      if (g >= 0) array[k] = Math.min(MOST_SPAN, Math.max(least, array[k] - step[g]));
    };
    span(layout.out, index[at + 3]);
    span(layout.in, index[at + 4]);
    if (index[at + 5] < 0) continue;
    move(layout.value, right, index[at + 5]);
    layout.arrives[right] = layout.value[right];
    move(layout.slopeIn, right, index[at + 6]);
    move(layout.time, right, index[at + 7]);
    if (!layout.corner[right] || right >= segments) layout.slopeOut[right] = layout.slopeIn[right];
    else move(layout.slopeOut, right, index[right * 8 + 1]);
  }
  keepOrder(layout, from);
}

/** Holds back keys that would come nearer to a neighbour than a third of their old distance. */
function keepOrder(layout: Layout, from: Layout): void {
  const { count, cyclic, period, time } = layout;
  for (let i = 0; i < count; i++) {
    if (!layout.moves[i]) continue;
    const old = from.time[i];
    const before = i > 0 ? from.time[i - 1] : cyclic ? from.time[count - 1] - period : old;
    const after = i + 1 < count ? from.time[i + 1] : cyclic ? from.time[0] + period : old;
    time[i] = Math.min(old + (after - old) / 3, Math.max(old - (old - before) / 3, time[i]));
  }
}

/** Spans at a bound whose gradient points outwards take no part in the step. */
function restBound(layout: Layout, chain: Chain, least: number): void {
  const { index, matrix, gradient } = chain;
  for (let k = 0; k < layout.segments; k++) {
    for (let side = 0; side < 2; side++) {
      const g = index[k * 8 + 3 + side];
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
function guardIdle(chain: Chain): void {
  const { matrix } = chain;
  for (let r = 0; r < matrix.size; r++) {
    if (matrix.entries[matrix.base[r] + r] <= 0) matrix.entries[matrix.base[r] + r] = 1;
  }
}

/**
 * Improves a layout in place and returns its cost: the mean of squared residuals, the load's weighted.
 * Levenberg 1944; Marquardt 1963; damping as in Madsen, Nielsen & Tingleff 2004, section 3.2, simplified.
 */
export function polish(layout: Layout, grid: Grid, options: PolishOptions): number {
  const chain = new Chain(layout, grid, options.loadWeight);
  let cost = chain.assemble(layout);
  if (chain.size === 0 || cost <= grid.floor) return cost;
  const kept = cloneLayout(layout);
  const step = new Float64Array(chain.size);
  const least = options.loadWeight > 0 ? LEAST_LOADED_SPAN : LEAST_SPAN;
  let damping = 1e-3;
  let fresh = true;
  for (let tried = 0; tried < options.steps; tried++) {
    if (fresh) {
      restBound(layout, chain, least);
      guardIdle(chain);
    }
    if (!chain.matrix.solve(damping, chain.gradient, step)) {
      damping = Math.max(damping * 10, 1e-8);
      fresh = false;
      continue;
    }
    applyStep(layout, chain, step, kept, least);
    const next = chain.assemble(layout);
    if (next < cost) {
      const fall = (cost - next) / cost;
      copyLayout(layout, kept);
      cost = next;
      damping = Math.max(damping / 8, 1e-12);
      fresh = true;
      if (fall < options.settle || cost <= grid.floor) break;
    } else {
      copyLayout(kept, layout);
      damping *= 6;
      if (damping > 1e8 || next === cost) break;
      chain.assemble(layout);
      fresh = true;
    }
  }
  return cost;
}

/** Rounds of reweighting, the exponent they aim at, and the steps taken in each. */
const ROUNDS = 8;
const STEPS_PER_ROUND = 4;

/** Power of the residual that each round minimises: rising from 3 to 10. */
const powerOf = (round: number): number => 3 + round;

const largest = (list: Float64Array): number => {
  let most = 0;
  for (const x of list) most = Math.max(most, Math.abs(x));
  return most;
};

/** Largest error in value of a layout on the grid. */
export function worstOf(layout: Layout, grid: Grid): number {
  const chain = new Chain(layout, grid, 0);
  chain.assemble(layout);
  return largest(chain.misses);
}

/**
 * Lowers the largest error in value of a layout that least squares has polished, in place, by iteratively
 * reweighted least squares on a rising power of the residual; returns that error on the grid.
 * Lawson 1961; Osborne 1985, Finite Algorithms in Optimization and Data Analysis, ch. 3. It stops at `goal`,
 * or where the rounds left will not bring it down to `most` at their present rate.
 */
export function levelErrors(layout: Layout, grid: Grid, goal: number, most: number): number {
  const weight = grid.weight.slice();
  const weighted: Grid = { ...grid, weight };
  const probe = new Chain(layout, weighted, 0);
  probe.assemble(layout);
  const best = cloneLayout(layout);
  let least = largest(probe.misses);
  for (let round = 0; round < ROUNDS && least > goal; round++) {
    const now = largest(probe.misses);
    if (now === 0) break;
    const half = (powerOf(round) - 2) / 2;
    for (let j = 0; j < grid.count; j++) {
      weight[j] = grid.weight[j] * ((probe.misses[j] / now) ** 2 + 1e-3) ** half;
    }
    polish(layout, weighted, { loadWeight: 0, steps: STEPS_PER_ROUND, settle: 1e-3 });
    probe.assemble(layout);
    const worst = largest(probe.misses);
    const gained = Math.max(0, least - worst);
    if (round > 0 && least - gained * (ROUNDS - round) > most) break;
    if (worst < least) {
      least = worst;
      copyLayout(layout, best);
    } else if (worst > 2 * least) break;
  }
  copyLayout(best, layout);
  return least;
}

/** Rounds of levelling with a load term, steps in each, and how far its mean square may grow. */
const LOADED_ROUNDS = 7;
const LOADED_STEPS = 3;
const LOAD_GROWTH = 1.35;

/**
 * Lowers the largest error in value of a polished layout towards `goal`, in place, while the mean square of the load's
 * error grows by no more than a third; returns the largest error in value (the goal, where it is under
 * it) plus the rms error of the load in the same unit. Empirical: `bench/curves-error-table.ts`, where least
 * squares leave the load twice as good as asked and the value a fifth too large.
 */
export function levelWithLoad(layout: Layout, grid: Grid, loadWeight: number, goal: number): number {
  const weight = grid.weight.slice();
  const weighted: Grid = { ...grid, weight };
  const probe = new Chain(layout, weighted, loadWeight);
  probe.assemble(layout);
  const best = cloneLayout(layout);
  const mostLoad = LOAD_GROWTH * probe.load;
  let bestLoad = probe.load;
  let least = largest(probe.misses);
  for (let round = 0; round < LOADED_ROUNDS && least > goal; round++) {
    const now = largest(probe.misses);
    for (let j = 0; j < grid.count; j++) {
      weight[j] *= 0.5 + 3 * (probe.misses[j] / now) ** 2;
    }
    polish(layout, weighted, { loadWeight, steps: LOADED_STEPS, settle: 1e-3 });
    probe.assemble(layout);
    if (probe.load > mostLoad) break;
    const worst = largest(probe.misses);
    if (worst < least) {
      least = worst;
      bestLoad = probe.load;
      copyLayout(layout, best);
    }
  }
  copyLayout(best, layout);
  return Math.max(least, goal) + Math.sqrt(bestLoad);
}
