/** One fit at a given number of keys: places by search, then every unknown polished. */
import type { Grid } from './grid.js';
import { holdLockedSpans, type Layout, makeLayout } from './layout.js';
import type { FitPlan } from './options.js';
import { expectedWorst, type Placement, type PlacementSearch } from './placement.js';
import type { Places } from './places.js';
import { Polisher } from './polish.js';
import type { SegmentCosts } from './segment-costs.js';

/** Everything that the attempts of one fit share. */
export interface Bench {
  readonly plan: FitPlan;
  readonly places: Places;
  readonly grid: Grid;
  readonly costs: SegmentCosts;
  readonly search: PlacementSearch;
  /** Whether single samples stand out, so that places were added beside them. */
  readonly detailed: boolean;
}

/** Most keys whose places are tried one frame to either side, each at the cost of a short polish. */
const IMPROVED_KEYS = 6;

/** How many of all tries are taken to the end where value and load both count. */
const LEVELLED_TRIES = 6;

/** How many of the best placements are polished where keys stand on frames, and how far each is taken. */
export const FINALISTS = 3;
const FIRST_STEPS = 8;
const LAST_STEPS = 40;

/** A layout with keys at the chosen places, values and slopes as the source has them, spans solved one by one. */
export function layoutAt(bench: Bench, chosen: readonly number[]): Layout {
  const { plan, places, costs } = bench;
  const layout = makeLayout(chosen.length, plan.cyclic, plan.period, plan.gain);
  const locked = layout.locked as (typeof places.locked)[number][];
  chosen.forEach((p, i) => {
    const key = places.locked[p];
    locked[i] = key;
    layout.time[i] = key?.time ?? places.time[p];
    layout.value[i] = key?.value ?? places.value[p];
    layout.arrives[i] = key ? (key.arrives ?? key.value) : places.value[p];
    layout.corner[i] = places.corner[p];
    layout.slopeIn[i] = key?.in.slope ?? places.slopeBefore[p];
    layout.slopeOut[i] = key?.out.slope ?? places.slope[p];
    layout.moves[i] = Number(!plan.frames && !places.forced[p]);
  });
  for (let k = 0; k < layout.segments; k++) {
    const right = (k + 1) % chosen.length;
    const length = right > k ? chosen[right] - chosen[k] : chosen[right] + places.count - chosen[k];
    costs.cost(chosen[k], length);
    const at = costs.at(chosen[k], length);
    layout.out[k] = costs.out[at];
    layout.in[k] = costs.in[at];
  }
  holdLockedSpans(layout);
  return layout;
}

type PolisherFor = (layout: Layout) => Polisher;

/** Makes the polisher that a layout needs, or finds the one that was used last still fit for it. */
function polisherFor(bench: Bench): PolisherFor {
  let last: Polisher | undefined;
  return (layout) => {
    if (!last?.suits(layout)) last = new Polisher(layout, bench.grid, bench.plan.load?.weight ?? 0);
    return last;
  };
}

interface Tried {
  readonly layout: Layout;
  readonly cost: number;
  readonly chosen: readonly number[];
}

function tryPlacement(bench: Bench, polisher: PolisherFor, chosen: readonly number[]): Tried {
  const layout = layoutAt(bench, chosen);
  return { layout, chosen, cost: polisher(layout).polish(layout, FIRST_STEPS, 1e-4) };
}

/** Whether every segment is long enough for the handles of locked keys at its ends. */
function hasRoom({ plan, places, costs }: Bench, chosen: readonly number[]): boolean {
  if (plan.locked.length === 0) return true;
  return chosen.every((p, k) => {
    const next = chosen[k + 1] ?? (plan.cyclic ? chosen[0] + places.count : undefined);
    return next === undefined || costs.cost(p, next - p) < Number.POSITIVE_INFINITY;
  });
}

/** Moves single keys to a neighbouring place for as long as that lowers the cost; returns all it tried. */
function improvePlaces(bench: Bench, polisher: PolisherFor, from: Tried): Tried[] {
  const { places, plan } = bench;
  const n = places.count;
  let best = from;
  const all: Tried[] = [];
  const seen = new Set([from.chosen.join()]);
  for (let round = 0; round < 2; round++) {
    const before = best.cost;
    for (let i = 0; i < best.chosen.length; i++) {
      for (const move of [-1, 1]) {
        const p = best.chosen[i];
        if (places.forced[p]) continue;
        let q = p + move;
        if (plan.cyclic) q = (q + n) % n;
        if (q < 0 || q >= n || best.chosen.includes(q)) continue;
        const chosen = best.chosen.map((x, k) => (k === i ? q : x)).sort((x, y) => x - y);
        const name = chosen.join();
        if (seen.has(name)) continue;
        seen.add(name);
        if (!hasRoom(bench, chosen)) continue;
        const tried = tryPlacement(bench, polisher, chosen);
        all.push(tried);
        if (tried.cost < best.cost) best = tried;
      }
    }
    if (!(best.cost < before * 0.98)) break;
  }
  return all;
}

/**
 * Tries that are left out: those whose cost after the first steps is this much above the best, and those whose load
 * and this share of their largest error are no better before levelling than the best is after it.
 * Empirical: `bench/curves-error-table.ts`; of 387 searches over its walks not one ended elsewhere, and twice
 * as many tries could be left out before one did.
 */
const FAR_BEHIND = 1.5;
const LEVELS_AT_MOST = 0.5;

/** Room for the difference between the grid that fits and the one that measures. */
const MEASURED = 1.1;

/** The best of several tries with a load term: polished to the end and levelled, value and load weighed as one. */
function bestWithLoad(
  bench: Bench,
  polisher: PolisherFor,
  tried: readonly Tried[],
  request: Request,
): Layout {
  const { tolerance } = request;
  const { weight, tolerance: loadTolerance = Number.POSITIVE_INFINITY } = bench.plan.load ?? { weight: 0 };
  // Where a tolerance says how small the value's error has to be, the load keeps the rest.
  const goal = tolerance === Number.POSITIVE_INFINITY ? 0 : LEVELLED * tolerance;
  let best = tried[0].layout;
  let least = Number.POSITIVE_INFINITY;
  for (const { layout, cost } of tried) {
    if (cost > FAR_BEHIND * tried[0].cost) break;
    const work = polisher(layout);
    work.polish(layout, LAST_STEPS, 1e-5);
    const load = Math.sqrt(work.load);
    const reach = LEVELS_AT_MOST * work.worst;
    let score = Math.max(goal, reach) + load;
    if (score >= least) continue;
    const lost = load > MEASURED * weight * loadTolerance || reach > MEASURED * tolerance;
    if (lost && request.brief) score = Math.max(goal, work.worst) + load;
    else score = work.levelWithLoad(layout, goal);
    if (score < least) {
      least = score;
      best = layout;
    }
  }
  return best;
}

/** How far from the tolerance least squares may end and levelling still be worth trying. */
const WITHIN_REACH = 6;

/**
 * How much smaller than expected of single segments the error of the polished whole may turn out.
 * Empirical: at most 3.6 on the three test shapes of the bench before levelling.
 */
const HOPE = 8;

/** Whether the best placement promises too little to be polished. */
export function hopeless(bench: Bench, placements: readonly Placement[], tolerance: number): boolean {
  const { plan, places, costs } = bench;
  return expectedWorst(costs, places, plan.cyclic, placements[0]) > HOPE * tolerance;
}

/** What one attempt is asked for. */
export interface Request {
  /** Placements of so many keys, best first; at least one. */
  readonly placements: readonly Placement[];
  readonly tolerance: number;
  /** Whether levelling is left out where it cannot bring the errors within what is asked. */
  readonly brief: boolean;
  /** Whether a layout, measured as the result will be, keeps every tolerance. */
  readonly accepts: (layout: Layout) => boolean;
}

/**
 * The best layout found. Where a tolerance in value is asked for and no load, the errors are levelled until they are
 * within it.
 */
export function fitPlacements(bench: Bench, request: Request): Layout {
  const { plan } = bench;
  const { placements, tolerance } = request;
  const keys = placements[0].chosen.length;
  const polisher = polisherFor(bench);
  const tried = placements.map(({ chosen }) => tryPlacement(bench, polisher, chosen));
  const byCost = (x: Tried, y: Tried): number => x.cost - y.cost;
  tried.sort(byCost);
  if (plan.frames && keys <= IMPROVED_KEYS) tried.push(...improvePlaces(bench, polisher, tried[0]));
  tried.sort(byCost);
  if (plan.load)
    return bestWithLoad(bench, polisher, tried.slice(0, keys <= IMPROVED_KEYS ? LEVELLED_TRIES : 1), request);
  const { layout } = tried[0];
  const work = polisher(layout);
  work.polish(layout, LAST_STEPS, 1e-3);
  if (tolerance === Number.POSITIVE_INFINITY) return layout;
  if (work.worst <= WITHIN_REACH * tolerance) {
    work.level(layout, LEVELLED * tolerance, tolerance, request.accepts);
  }
  return layout;
}

/**
 * Share of the tolerance from which on levelled layouts are measured: the error between the grid's points is a
 * little larger.
 */
const LEVELLED = 0.85;
