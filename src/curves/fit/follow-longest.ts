/** The quick search: one segment after the other, each with the source's own values and slopes and as long as it can be. */

import type { Grid } from './grid.js';
import { type Layout, makeLayout } from './layout.js';
import type { FitPlan } from './options.js';
import type { Places } from './places.js';
import { SegmentSolver } from './segment-solver.js';
import type { FitSource } from './source.js';

/** Share of the tolerance that the points looked at may use: the error between them is a little larger. */
const MARGIN = 0.97;

/** Most points of the grid that a segment is judged by. */
const POINTS = 20;

/** Where keys may stand anywhere, segments are whole multiples of this fraction of the range. */
const FINEST = 1024;

/** How the error of a segment grows with its length: about the fifth power for two free spans. */
const ORDER = 5;

interface Node {
  /** Time on a line that goes on past the seam of a cycle. */
  readonly time: number;
  /** The same time as one of the cycle. */
  readonly home: number;
  /** Number among the places, which goes on past the seam too; −1 between them. */
  readonly place: number;
  readonly value: number;
  readonly slope: number;
  readonly slopeBefore: number;
}

interface Piece {
  readonly left: Node;
  readonly right: Node;
  readonly out: number;
  readonly in: number;
}

/**
 * From each key the longest segment within the tolerance, found by halving the step between lengths that
 * fit and lengths that do not; forced places are never passed.
 */
export function followLongest(
  source: FitSource,
  plan: FitPlan,
  places: Places,
  grid: Grid,
  tolerance: number,
): Layout {
  const solver = new SegmentSolver(grid, plan.period, plan.gain, 0, POINTS);
  const jet = new Float64Array(3);
  const nodeAt = (time: number): Node => {
    const over = time >= plan.end && plan.cyclic;
    const home = over ? Math.max(plan.start, time - plan.period) : time;
    source.jet(home, jet);
    const value = over ? jet[0] + plan.gain : jet[0];
    return { time, home, place: -1, value, slope: jet[1], slopeBefore: jet[1] };
  };
  const placeAt = (place: number): Node => {
    const i = place % places.count;
    const lap = place < places.count ? 0 : 1;
    return {
      time: places.time[i] + lap * plan.period,
      home: places.time[i],
      place,
      value: places.value[i] + lap * plan.gain,
      slope: places.slope[i],
      slopeBefore: places.slopeBefore[i],
    };
  };
  const pieces: Piece[] = [];
  let guess = plan.frames ? 1 : FINEST / 8;
  const fits = (left: Node, right: Node): boolean => {
    solver.solve(
      {
        start: left.time,
        length: right.time - left.time,
        value0: left.value,
        value1: right.value,
        slope0: left.slope,
        slope1: right.slopeBefore,
      },
      MARGIN * tolerance,
    );
    return solver.worst <= MARGIN * tolerance;
  };
  const pieceTo = (left: Node, right: Node): Piece => ({ left, right, out: solver.out, in: solver.in });
  const advance = (left: Node, end: Node): Piece => {
    const step = (plan.end - plan.start) / FINEST;
    const whole = plan.frames
      ? end.place - left.place
      : Math.max(1, Math.ceil((end.time - left.time) / step - 1e-6));
    const reach = (steps: number): Node => {
      if (steps >= whole) return end;
      return plan.frames ? placeAt(left.place + steps) : nodeAt(left.time + steps * step);
    };
    let low = 0;
    let high = whole + 1;
    let best: Piece | undefined;
    let next = Math.min(guess, whole);
    if (whole <= 3 * guess && fits(left, end)) return pieceTo(left, end);
    while (high - low > 1 + low / 128) {
      const right = reach(next);
      const ok = fits(left, right);
      if (ok) {
        low = next;
        best = pieceTo(left, right);
      } else high = next;
      if (low === whole) break;
      const worst = Math.max(solver.worst, 1e-3 * tolerance);
      const scale = worst > 0 ? (tolerance / worst) ** (1 / ORDER) : 2;
      const wanted = Math.floor(next * Math.min(2, scale));
      next = Math.min(high - 1, Math.max(low + 1, wanted));
    }
    guess = Math.max(1, low);
    if (best) return best;
    const right = reach(1);
    fits(left, right);
    return pieceTo(left, right);
  };
  const fixed: Node[] = [];
  for (let i = 0; i < places.count; i++) {
    if (places.forced[i]) fixed.push(placeAt(i));
  }
  if (fixed.length === 0) fixed.push(placeAt(0));
  if (plan.cyclic) fixed.push(placeAt(fixed[0].place + places.count));
  for (let i = 0; i + 1 < fixed.length; i++) {
    for (let left = fixed[i]; left.time < fixed[i + 1].time; ) {
      const piece = advance(left, fixed[i + 1]);
      pieces.push(piece);
      left = piece.right;
    }
  }
  return layoutOf(pieces, plan);
}

function layoutOf(found: readonly Piece[], plan: FitPlan): Layout {
  // A cycle begins with the first key past the seam, where there is one: the very times of the places, in order.
  const past = found.findIndex(({ left }) => left.time > left.home);
  const pieces = past > 0 ? [...found.slice(past), ...found.slice(0, past)] : found;
  const count = plan.cyclic ? pieces.length : pieces.length + 1;
  const layout = makeLayout(count, plan.cyclic, plan.period, plan.gain);
  for (let i = 0; i < count; i++) {
    const node = i < pieces.length ? pieces[i].left : pieces[i - 1].right;
    const value = node.time > node.home ? node.value - plan.gain : node.value;
    layout.time[i] = node.home;
    layout.value[i] = value;
    layout.arrives[i] = value;
    layout.slopeIn[i] = node.slopeBefore;
    layout.slopeOut[i] = node.slope;
    layout.out[i] = pieces[i]?.out ?? 1 / 3;
    layout.in[i] = pieces[i]?.in ?? 1 / 3;
  }
  return layout;
}
