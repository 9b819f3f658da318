import { BEND, FOOT_NUMBERS, FORWARD, type FootPath, HEIGHT, PITCH, SIDE } from './foot-path.js';
import type { FootTimes } from './foot-times.js';

/** How closely the keys have to hold the path. */
export interface FootBounds {
  /** Largest distance in m of the ball from its path through the air, and of the heel by its pitch. */
  readonly path: number;
  /** Largest distance in m that a planted heel or ball may move. */
  readonly slip: number;
}

/** Most places for keys that one part of the stride is searched on; of more, every n-th is taken. */
const MOST_PLACES = 48;

/** Points at which a segment is measured. */
const LOOKS = 16;

/** What a place costs beside the number of keys: close ones are preferred, ones out of bounds avoided. */
const CLOSE = 0.01;
const MISSED = 1000;

const CHANNELS = [FORWARD, SIDE, HEIGHT, PITCH, BEND];

/**
 * The fewest places between landing, flat, heel-off, lift and the next landing at which cubic Hermite
 * segments through the exact values and slopes stay within the bounds, as indices in order; by dynamic
 * programming over all segments of each part. Where none do, neighbouring places are joined all the same.
 */
export function chooseKeys(path: FootPath, times: FootTimes, bounds: FootBounds): number[] {
  const jets = times.since.map((t) => {
    const jet = new Float64Array(FOOT_NUMBERS);
    path.write(t, jet);
    return jet;
  });
  const chosen: number[] = [];
  for (let part = 0; part + 1 < times.marks.length; part++) {
    const [from, to] = [times.marks[part], times.marks[part + 1]];
    if (to > from) chosen.push(...choosePart(path, times, jets, bounds, from, to, part === 0));
  }
  return chosen;
}

/** Places from `from` up to but without `to`. */
function choosePart(
  path: FootPath,
  times: FootTimes,
  jets: readonly Float64Array[],
  bounds: FootBounds,
  from: number,
  to: number,
  onHeel: boolean,
): number[] {
  const thin = Math.ceil((to - from) / MOST_PLACES);
  const places: number[] = [];
  for (let i = from; i < to; i += thin) places.push(i);
  places.push(to);
  const cost = places.map(() => Number.POSITIVE_INFINITY);
  const before = places.map(() => -1);
  cost[0] = 0;
  for (let j = 1; j < places.length; j++) {
    for (let i = j - 1; i >= 0; i--) {
      const [a, b] = [places[i], places[j]];
      const span = [times.since[a], times.since[b]] as const;
      const excess = excessOf(path, span, jets[a], jets[b], bounds, onHeel, i === j - 1);
      if (excess > 1 && i < j - 1) continue;
      const total = cost[i] + 1 + (excess > 1 ? MISSED : CLOSE) * excess;
      if (total < cost[j]) {
        cost[j] = total;
        before[j] = i;
      }
    }
  }
  const chosen: number[] = [];
  for (let j = before[places.length - 1]; j >= 0; j = before[j]) chosen.unshift(places[j]);
  return chosen;
}

const exact = new Float64Array(FOOT_NUMBERS);
const joined = new Float64Array(FOOT_NUMBERS);

/** Largest error of one segment over its bound; only that it is over 1 where `all` of it need not be known. */
function excessOf(
  path: FootPath,
  [start, end]: readonly [number, number],
  from: Float64Array,
  to: Float64Array,
  bounds: FootBounds,
  onHeel: boolean,
  all: boolean,
): number {
  const { heelToBall } = path.shape;
  let excess = 0;
  for (let k = 0; k < LOOKS; k++) {
    const u = (k + 0.5) / LOOKS;
    path.write(start + u * (end - start), exact);
    for (const c of CHANNELS) joined[c] = hermite(from, to, c, end - start, u);
    const turned = Math.max(Math.abs(joined[PITCH] - exact[PITCH]), Math.abs(joined[BEND] - exact[BEND]));
    const off = Math.hypot(
      joined[FORWARD] - exact[FORWARD],
      joined[SIDE] - exact[SIDE],
      joined[HEIGHT] - exact[HEIGHT],
    );
    excess = Math.max(excess, off / bounds.path, (turned * heelToBall) / bounds.path);
    if (onHeel) {
      const slip = Math.hypot(
        joined[FORWARD] - heelToBall * Math.cos(joined[PITCH]),
        joined[HEIGHT] + heelToBall * Math.sin(joined[PITCH]),
      );
      excess = Math.max(excess, slip / bounds.slip);
    }
    if (excess > 1 && !all) return excess;
  }
  return excess;
}

function hermite(from: Float64Array, to: Float64Array, c: number, span: number, u: number): number {
  const v = 1 - u;
  return (
    from[c] * v * v * (1 + 2 * u) +
    to[c] * u * u * (1 + 2 * v) +
    span * u * v * (from[c + 1] * v - to[c + 1] * u)
  );
}
