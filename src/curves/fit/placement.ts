/** The best places for a given number of keys, by dynamic programming over the cost of single segments. */
import type { Places } from './places.js';
import type { SegmentCosts } from './segment-costs.js';

/** A choice of places, rising, and what it is expected to cost. */
export interface Placement {
  readonly chosen: readonly number[];
  readonly cost: number;
}

/** Distance from each place to the next forced one, which no segment may jump over. */
function reachOf(places: Places, cyclic: boolean): Int32Array {
  const { count, forced } = places;
  const reach = new Int32Array(count);
  const laps = cyclic ? 2 * count : count;
  let next = cyclic ? laps + count : count - 1;
  for (let i = laps - 1; i >= 0; i--) {
    const at = i % count;
    if (i < count) reach[at] = Math.min(count, next - i);
    if (forced[at]) next = i;
  }
  return reach;
}

/** What even spacing costs: an upper bound on the best, used to leave hopeless segments out. */
function evenCost(
  costs: SegmentCosts,
  from: number,
  span: number,
  edges: number,
  reach: Int32Array,
  n: number,
): number {
  let total = 0;
  let i = 0;
  for (let k = 0; k < edges; k++) {
    const to = Math.round((span * (k + 1)) / edges);
    if (to - i > reach[(from + i) % n]) return Number.POSITIVE_INFINITY;
    total += costs.cost((from + i) % n, to - i);
    i = to;
  }
  return total;
}

function bestPath(
  costs: SegmentCosts,
  places: Places,
  reach: Int32Array,
  from: number,
  span: number,
  edges: number,
  enough: number,
): Placement | undefined {
  const n = places.count;
  const bound = Math.min(enough, evenCost(costs, from, span, edges, reach, n)) * (1 + 1e-9);
  let now = new Float64Array(span + 1).fill(Number.POSITIVE_INFINITY);
  now[0] = 0;
  const back = new Int16Array(edges * (span + 1));
  for (let k = 0; k < edges; k++) {
    const next = new Float64Array(span + 1).fill(Number.POSITIVE_INFINITY);
    const left = edges - k - 1;
    for (let i = k; i < span; i++) {
      const base = now[i];
      if (!(base <= bound)) continue;
      const place = (from + i) % n;
      const longest = Math.min(reach[place], span - left - i);
      const shortest = left === 0 ? span - i : 1;
      let misses = 0;
      for (let length = shortest; length <= longest; length++) {
        const total = base + costs.cost(place, length);
        if (total > bound) {
          if (++misses > 1) break;
          continue;
        }
        if (total < next[i + length]) {
          next[i + length] = total;
          back[k * (span + 1) + i + length] = length;
        }
      }
    }
    now = next;
  }
  if (!Number.isFinite(now[span])) return undefined;
  const chosen: number[] = [];
  let i = span;
  for (let k = edges - 1; k >= 0; k--) {
    i -= back[k * (span + 1) + i];
    chosen.push((from + i) % n);
  }
  chosen.sort((a, b) => a - b);
  return { chosen, cost: now[span] };
}

/** The largest error in value that the segments of a placement are expected to have. */
export function expectedWorst(
  costs: SegmentCosts,
  places: Places,
  cyclic: boolean,
  { chosen }: Placement,
): number {
  let worst = 0;
  const segments = cyclic ? chosen.length : chosen.length - 1;
  for (let k = 0; k < segments; k++) {
    const right = chosen[(k + 1) % chosen.length];
    const length = right > chosen[k] ? right - chosen[k] : right + places.count - chosen[k];
    worst = Math.max(worst, costs.worst[costs.at(chosen[k], length)]);
  }
  return worst;
}

/** Most starting places tried on a cycle. */
const MOST_STARTS = 48;

/**
 * The best `wanted` placements of `keys` keys, best first: one on an open range, on a cycle the best through each
 * starting place. Empty where the forced places do not fit into so few keys.
 */
export function bestPlacements(
  costs: SegmentCosts,
  places: Places,
  cyclic: boolean,
  keys: number,
  wanted: number,
): Placement[] {
  const n = places.count;
  const reach = reachOf(places, cyclic);
  if (!cyclic) {
    if (keys < 2 || keys > n) return [];
    const path = bestPath(costs, places, reach, 0, n - 1, keys - 1, Number.POSITIVE_INFINITY);
    return path ? [{ chosen: [...path.chosen, n - 1], cost: path.cost }] : [];
  }
  if (keys > n) return [];
  const first = places.forced.indexOf(1);
  // Every placement has a key among any run of places as long as its longest segment: twice the even one is enough.
  const window = Math.min(n, MOST_STARTS, 2 * Math.ceil(n / keys));
  const starts = first >= 0 ? [first] : Array.from({ length: window }, (_, i) => i);
  const found = new Map<string, Placement>();
  let enough = Number.POSITIVE_INFINITY;
  let best: Placement[] = [];
  for (const from of starts) {
    const path = bestPath(costs, places, reach, from, n, keys, enough);
    if (!path) continue;
    found.set(path.chosen.join(), path);
    best = [...found.values()].sort((a, b) => a.cost - b.cost);
    if (best.length >= wanted) enough = best[wanted - 1].cost;
  }
  return best.slice(0, wanted);
}
