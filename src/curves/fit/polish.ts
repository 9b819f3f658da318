/**
 * Levenberg–Marquardt over every free value, slope, span and, where keys may move, key time.
 * Spans stay inside their segment: a step that would leave is cut back, and the bound unknown rests.
 */
import { Chain } from './chain.js';
import { type Grid, reweighted } from './grid.js';
import { cloneLayout, copyLayout, type Layout } from './layout.js';
import { applyStep, guardIdle, restBound } from './polish-step.js';

/**
 * Least span as a fraction of its segment: below it the second derivative at the key grows without bound,
 * in a place so short that the grid may miss it. With a load the limit is where the grid still sees it.
 */
const LEAST_SPAN = 0.02;
const LEAST_LOADED_SPAN = 0.15;

/** Rounds of reweighting, the exponent they aim at, and the steps taken in each. */
const ROUNDS = 8;
const STEPS_PER_ROUND = 4;

/** Power of the residual that each round minimises: rising from 3 to 10. */
const powerOf = (round: number): number => 3 + round;

/** Rounds of levelling with a load term, steps in each, and how far its mean square may grow. */
const LOADED_ROUNDS = 7;
const LOADED_STEPS = 3;
const LOAD_GROWTH = 1.35;

/** Relative fall of the cost under which a round of reweighting stops. */
const ROUND_SETTLES = 1e-3;

function largest(list: Float64Array): number {
  let most = 0;
  for (let i = 0; i < list.length; i++) {
    const size = Math.abs(list[i]);
    if (size > most) most = size;
  }
  return most;
}

/** Polishes layouts of one shape: its equations and workspace are made once. */
export class Polisher {
  private readonly chain: Chain;
  private readonly shape: Layout;
  private readonly kept: Layout;
  private readonly best: Layout;
  private readonly step: Float64Array;
  private readonly weighted: Grid;
  private readonly least: number;

  /** `loadWeight`: value units per unit of second derivative; 0 leaves the load out. */
  constructor(
    layout: Layout,
    private readonly grid: Grid,
    loadWeight: number,
  ) {
    this.shape = layout;
    this.weighted = reweighted(grid);
    this.chain = new Chain(layout, this.weighted, loadWeight);
    this.kept = cloneLayout(layout);
    this.best = cloneLayout(layout);
    this.step = new Float64Array(this.chain.size);
    this.least = loadWeight > 0 ? LEAST_LOADED_SPAN : LEAST_SPAN;
  }

  /** Whether a layout has the same unknowns. */
  suits({ count, locked, corner, moves }: Layout): boolean {
    const { shape } = this;
    if (count !== shape.count) return false;
    for (let i = 0; i < count; i++) {
      const same =
        locked[i] === shape.locked[i] && corner[i] === shape.corner[i] && moves[i] === shape.moves[i];
      if (!same) return false;
    }
    return true;
  }

  /** Largest error in value on the grid of the layout polished last. */
  get worst(): number {
    return largest(this.chain.misses);
  }

  /** The load's part of that layout's cost: its mean square, weighted. */
  get load(): number {
    return this.chain.load;
  }

  /**
   * Improves a layout in place and returns its cost: the mean of squared residuals, the load's weighted. At most
   * `steps` steps; it stops where the cost falls by less than `settle` of itself.
   * Levenberg 1944; Marquardt 1963; damping as in Madsen, Nielsen & Tingleff 2004, section 3.2, simplified.
   */
  polish(layout: Layout, steps: number, settle: number): number {
    this.weighted.weight.set(this.grid.weight);
    return this.descend(layout, steps, settle);
  }

  private descend(layout: Layout, steps: number, settle: number): number {
    const { chain, kept, step, least, grid } = this;
    let cost = chain.assemble(layout);
    if (chain.size === 0 || cost <= grid.floor) return cost;
    copyLayout(layout, kept);
    let damping = 1e-3;
    let fresh = true;
    for (let tried = 0; tried < steps; tried++) {
      if (fresh) {
        restBound(layout, chain, least);
        guardIdle(chain);
        chain.keep();
        fresh = false;
      }
      if (!chain.matrix.solve(damping, chain.gradient, step)) {
        damping = Math.max(damping * 10, 1e-8);
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
        if (fall < settle || cost <= grid.floor) break;
      } else {
        copyLayout(kept, layout);
        chain.restore();
        damping *= 6;
        if (damping > 1e8 || next === cost) break;
      }
    }
    return cost;
  }

  /**
   * Lowers the largest error in value of the layout polished last, in place, by iteratively reweighted least
   * squares on a rising power of the residual; returns that error on the grid.
   * Lawson 1961; Osborne 1985, Finite Algorithms in Optimization and Data Analysis, ch. 3. It stops within `goal` at
   * the first layout that `accepts` takes, or where the rounds left will not bring it down to `most` at their
   * present rate. The layouts passed do not depend on goal, most or acceptance: what a strict request comes to, a
   * wide one passes or has stopped before.
   */
  level(layout: Layout, goal: number, most: number, accepts: (layout: Layout) => boolean): number {
    const { grid, best, chain } = this;
    const { weight } = this.weighted;
    const { misses } = chain;
    copyLayout(layout, best);
    let now = this.worst;
    let least = now;
    let done = least <= goal && accepts(layout);
    for (let round = 0; round < ROUNDS && !done; round++) {
      if (now === 0) break;
      const half = (powerOf(round) - 2) / 2;
      for (let j = 0; j < grid.count; j++) {
        weight[j] = grid.weight[j] * ((misses[j] / now) ** 2 + 1e-3) ** half;
      }
      this.descend(layout, STEPS_PER_ROUND, ROUND_SETTLES);
      now = this.worst;
      const gained = Math.max(0, least - now);
      if (round > 0 && least - gained * (ROUNDS - round) > most) break;
      if (now < least) {
        least = now;
        copyLayout(layout, best);
        done = least <= goal && accepts(layout);
      } else if (now > 2 * least) break;
    }
    copyLayout(best, layout);
    return least;
  }

  /**
   * Lowers the largest error in value of the layout polished last towards `goal`, in place, while the mean square of
   * the load's error grows by no more than a third; returns the largest error in value (the goal, where it is
   * under it) plus the rms error of the load in the same unit. Empirical: `bench/curves-error-table.ts`,
   * where least squares leave the load twice as good as asked and the value a fifth too large.
   */
  levelWithLoad(layout: Layout, goal: number): number {
    const { grid, best, chain } = this;
    const { weight } = this.weighted;
    const { misses } = chain;
    copyLayout(layout, best);
    const mostLoad = LOAD_GROWTH * chain.load;
    let bestLoad = chain.load;
    let now = this.worst;
    let least = now;
    for (let round = 0; round < LOADED_ROUNDS && least > goal; round++) {
      for (let j = 0; j < grid.count; j++) weight[j] *= 0.5 + 3 * (misses[j] / now) ** 2;
      this.descend(layout, LOADED_STEPS, ROUND_SETTLES);
      if (chain.load > mostLoad) break;
      now = this.worst;
      if (now < least) {
        least = now;
        bestLoad = chain.load;
        copyLayout(layout, best);
      }
    }
    copyLayout(best, layout);
    return Math.max(least, goal) + Math.sqrt(bestLoad);
  }
}
