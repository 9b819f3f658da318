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

/** Most starting places tried on a cycle. */
const MOST_STARTS = 48;

/** What even spacing, cut short at forced places, costs: an upper bound on the best, used to leave hopeless segments out. */
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
  for (let left = edges; left > 0; left--) {
    const place = (from + i) % n;
    const length = Math.min(reach[place], Math.round((span - i) / left));
    total += costs.cost(place, length);
    i += length;
  }
  return i === span ? total : Number.POSITIVE_INFINITY;
}

/** Cheapest chains from one place over more and more segments, kept for the next number of keys. */
interface Chains {
  /** Segments taken so far. */
  edges: number;
  /** Cost of the cheapest chain of so many segments to each place. */
  now: Float64Array;
  /** Length of the last segment of that chain, for each number of segments. */
  readonly back: Int16Array[];
  /** Chains that cost more were left out. */
  bound: number;
}

/** Finds placements; what one number of keys needed serves the next. */
export class PlacementSearch {
  private readonly reach: Int32Array;
  private readonly chains = new Map<number, Chains>();

  constructor(
    private readonly costs: SegmentCosts,
    private readonly places: Places,
    private readonly cyclic: boolean,
  ) {
    this.reach = reachOf(places, cyclic);
  }

  /**
   * The best `wanted` placements of `keys` keys, best first: one on an open range, on a cycle the best through each
   * starting place. Empty where the forced places do not fit into so few keys.
   */
  best(keys: number, wanted: number): Placement[] {
    const { places, cyclic } = this;
    const n = places.count;
    if (keys > n || (!cyclic && keys < 2)) return [];
    if (!cyclic) {
      const path = this.path(0, n - 1, keys - 1, Number.POSITIVE_INFINITY);
      return path ? [{ chosen: [...path.chosen, n - 1], cost: path.cost }] : [];
    }
    const first = places.forced.indexOf(1);
    // Every placement has a key among any run of places as long as its longest segment: twice the even one is enough.
    const window = Math.min(n, MOST_STARTS, 2 * Math.ceil(n / keys));
    const starts = first >= 0 ? [first] : Array.from({ length: window }, (_, i) => i);
    const found = new Map<string, Placement>();
    let enough = Number.POSITIVE_INFINITY;
    let best: Placement[] = [];
    for (const from of starts) {
      const path = this.path(from, n, keys, enough);
      if (!path) continue;
      found.set(path.chosen.join(), path);
      best = [...found.values()].sort((a, b) => a.cost - b.cost);
      if (best.length >= wanted) enough = best[wanted - 1].cost;
    }
    return best.slice(0, wanted);
  }

  private path(from: number, span: number, edges: number, enough: number): Placement | undefined {
    const even = evenCost(this.costs, from, span, edges, this.reach, this.places.count);
    const bound = Math.min(enough, even) * (1 + 1e-9);
    let chains = this.chains.get(from);
    if (chains && chains.edges < edges) {
      const found = this.close(chains, from, span, edges, Math.min(bound, chains.bound));
      if (found || bound <= chains.bound) return found;
    }
    const now = new Float64Array(span + 1).fill(Number.POSITIVE_INFINITY);
    now[0] = 0;
    chains = { edges: 0, now, back: [], bound };
    this.chains.set(from, chains);
    return this.close(chains, from, span, edges, bound);
  }

  /** Takes the chains as far as one segment before the end, and ends them. */
  private close(
    chains: Chains,
    from: number,
    span: number,
    edges: number,
    bound: number,
  ): Placement | undefined {
    const { costs, reach } = this;
    const n = this.places.count;
    chains.bound = bound;
    while (chains.edges < edges - 1) this.extend(chains, from, span);
    const { now } = chains;
    let least = Number.POSITIVE_INFINITY;
    let last = -1;
    for (let i = edges - 1; i < span; i++) {
      const place = (from + i) % n;
      if (!(now[i] <= bound) || now[i] >= least || span - i > reach[place]) continue;
      const total = now[i] + costs.cost(place, span - i);
      if (total > bound || total >= least) continue;
      least = total;
      last = i;
    }
    if (last < 0) return undefined;
    const chosen = [(from + last) % n];
    let i = last;
    for (let k = edges - 2; k >= 0; k--) {
      i -= chains.back[k][i];
      chosen.push((from + i) % n);
    }
    chosen.sort((a, b) => a - b);
    return { chosen, cost: least };
  }

  private extend(chains: Chains, from: number, span: number): void {
    const { costs, reach } = this;
    const { now, bound, edges } = chains;
    const { count: n, locked } = this.places;
    const next = new Float64Array(span + 1).fill(Number.POSITIVE_INFINITY);
    const back = new Int16Array(span + 1);
    for (let i = edges; i < span; i++) {
      const base = now[i];
      if (!(base <= bound)) continue;
      const place = (from + i) % n;
      const longest = Math.min(reach[place], span - 1 - i);
      // Segments cost more the longer they are, but not where they begin or end at a locked key off the source.
      const patient = locked[place] !== undefined;
      const toForced = longest === reach[place];
      let misses = 0;
      for (let length = 1; length <= longest; length++) {
        const cost = costs.cost(place, length);
        const total = base + cost;
        if (total > bound) {
          // A segment too short for a locked handle says nothing about longer ones.
          if (patient || cost === Number.POSITIVE_INFINITY || ++misses < 2) continue;
          if (!toForced) break;
          length = Math.max(length, longest - 1);
          continue;
        }
        if (total < next[i + length]) {
          next[i + length] = total;
          back[i + length] = length;
        }
      }
    }
    chains.now = next;
    chains.back.push(back);
    chains.edges++;
  }
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
