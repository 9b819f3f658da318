/** Where a curve turns, crosses a level or changes its bend, and how far it reaches. */
import { requireNumber } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve } from '../curve.js';
import { cubicAt, type Part, partsOf, signChanges, timeAt, turnsOf, valueAt } from './parts.js';

/** A value at a time. */
export interface CurvePoint {
  /** Time in s. */
  readonly time: number;
  /** Value, in the curve's unit. */
  readonly value: number;
}

/** Differences of values smaller than this share of them are rounding. */
const ROUNDING = 8 * Number.EPSILON;

/** Nearer than this to the end of a segment, in its parameter, the second derivative is 0 at the key. */
const AT_KEY = 1e-12;

/** Sign of a difference of values, 0 where it is rounding. */
const direction = (difference: number, size: number): number =>
  Math.abs(difference) <= ROUNDING * size ? 0 : Math.sign(difference);

/** What a curve's value gains where its last part meets its first one. */
const seamGain = ({ gain = 0, after }: Curve): number => (after === 'loops' ? 0 : gain);

/** Index of the part before part `i`; −1 where there is none. */
const partBefore = (parts: readonly Part[], i: number, curve: Curve): number =>
  i > 0 ? i - 1 : curve.period === undefined ? -1 : parts.length - 1;

/** Points in order of time, once each. */
function inOrder(points: CurvePoint[]): CurvePoint[] {
  points.sort((a, b) => a.time - b.time);
  return points.filter((point, i) => i === 0 || point.time > points[i - 1].time);
}

/**
 * The times and values at which a curve turns from rising to falling or back, in s and value units.
 *
 * Roots of the value's derivative in each segment's parameter, and keys at which the slope changes sign,
 * where a jump counts with the value that reaches further; within one cycle for a curve that repeats.
 * Flat stretches have no turning point, and neither have the ends of an open curve: its box is `boundsOf`.
 *
 * @returns points in order of time
 * @throws RangeError or TypeError where the curve is not one
 * @example
 * import { findExtremes } from 'underfoot/curves';
 * const tangent = (slope: number) => ({ span: 1 / 3, slope });
 * const keys = [
 *   { time: 0, value: 0, in: tangent(1), out: tangent(1) },
 *   { time: 1, value: 0, in: tangent(-1), out: tangent(-1) },
 * ];
 * console.log(findExtremes({ keys, start: 0, before: 'holds', after: 'holds' })); // → [ { time: 0.5, value: 0.25 } ]
 */
export function findExtremes(curve: Curve): CurvePoint[] {
  const parts = partsOf(requireCurve('findExtremes', curve));
  const points: CurvePoint[] = [];
  const steps = parts.map((part) => {
    const turns = turnsOf(part);
    const stops = [part.from, ...turns, part.to].map((s) => valueAt(part, s));
    const ways = stops.slice(1).map((value, i) => direction(value - stops[i], part.size));
    turns.forEach((s, i) => {
      if (ways[i] * ways[i + 1] < 0) points.push({ time: timeAt(part, s), value: stops[i + 1] });
    });
    const some = ways.filter((way) => way !== 0);
    return { first: some[0] ?? 0, last: some[some.length - 1] ?? 0 };
  });
  parts.forEach((part, i) => {
    const before = partBefore(parts, i, curve);
    if (before < 0 || !(steps[before].last * steps[i].first < 0)) return;
    const arrives = parts[before].ends.value - (i === 0 ? seamGain(curve) : 0);
    const further = steps[i].first < 0 ? Math.max : Math.min;
    const value = part.key === undefined ? part.starts.value : further(arrives, part.starts.value);
    points.push({ time: part.starts.time, value });
  });
  return inOrder(points);
}

/** The parameter at which a part that rises or falls from `low` to `high` reaches a level, by 60 halvings. */
function halvedTo(part: Part, low: number, high: number, level: number): number {
  const below = Math.sign(valueAt(part, low) - level);
  let [a, b] = [low, high];
  for (let step = 0; step < 60; step++) {
    const middle = 0.5 * (a + b);
    if ((cubicAt(part.value, middle) - level) * below > 0) a = middle;
    else b = middle;
  }
  return 0.5 * (a + b);
}

/**
 * The times in s at which a curve has a given value.
 *
 * Each segment is cut where it turns, and each rising or falling part is halved to the last bit. Stretches
 * that lie on the level give their first time only, and a jump across it gives none; within one cycle for a
 * curve that repeats.
 *
 * @param level - the value, in the curve's unit
 * @returns times in rising order
 * @throws RangeError or TypeError where curve or level are not usable
 * @example
 * import { findCrossings } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 1, value: 1, in: flat, out: flat },
 * ];
 * console.log(findCrossings({ keys, start: 0, before: 'holds', after: 'holds' }, 0.5)); // → [ 0.5 ]
 */
export function findCrossings(curve: Curve, level: number): number[] {
  const { keys, start, period } = requireCurve('findCrossings', curve);
  requireNumber('findCrossings', 'level', level);
  const parts = partsOf(curve);
  const final = keys[keys.length - 1];
  const times: number[] = [];
  const closed = period !== undefined && seamGain(curve) === 0;
  const across = closed && parts[parts.length - 1].ends.value === level && parts[0].starts.value === level;
  // Whether the curve was on the level already where the stretch begins.
  let on = across;
  for (const part of parts) {
    const stops = [part.from, ...turnsOf(part), part.to];
    for (let i = 0; i + 1 < stops.length; i++) {
      const from = Math.sign(valueAt(part, stops[i]) - level);
      const to = Math.sign(valueAt(part, stops[i + 1]) - level);
      if (from === 0 && !on) times.push(timeAt(part, stops[i]));
      if (from !== 0 && to === 0) times.push(timeAt(part, stops[i + 1]));
      if (from * to < 0) times.push(timeAt(part, halvedTo(part, stops[i], stops[i + 1], level)));
      on = to === 0;
    }
  }
  if (period === undefined && final.value === level && !on) times.push(final.time);
  if (across && times.length === 0) times.push(start);
  const end = period === undefined ? Number.POSITIVE_INFINITY : start + period;
  // Where a curve has gained by the end of its cycle, that is a value of the next one.
  const own = times.filter((t) => t < end || seamGain(curve) === 0).map((t) => (t >= end ? start : t));
  own.sort((a, b) => a - b);
  const near = 1e-12 * (period ?? final.time - keys[0].time);
  return own.filter((t, i) => i === 0 || t - own[i - 1] > near + 4 * Number.EPSILON * Math.abs(t));
}

/** y″x′ − y′x″ of a part, which has the sign of the second derivative, as a quadratic: the cubic terms cancel. */
function bendOf({ time: [, x1, x2, x3], value: [, y1, y2, y3], size }: Part): [number, number, number] {
  const bend: [number, number, number] = [
    2 * (y2 * x1 - y1 * x2),
    6 * (y3 * x1 - y1 * x3),
    6 * (y3 * x2 - y2 * x3),
  ];
  const wide = Math.max(Math.abs(x1), Math.abs(x2), Math.abs(x3));
  // What is left of a straight segment is rounding of its control values.
  return bend.every((k) => Math.abs(k) <= 64 * ROUNDING * wide * size) ? [0, 0, 0] : bend;
}

/**
 * The times and values at which a curve changes its bend, in s and value units.
 *
 * The second derivative over time is zero where y″x′ − y′x″ is, a quadratic in each segment's parameter,
 * since the cubic terms cancel. A key counts where the second derivative has another sign after it than
 * before it and the value does not jump.
 *
 * @returns points in order of time; within one cycle for a curve that repeats
 * @throws RangeError or TypeError where the curve is not one
 * @example
 * import { findInflections } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 1, value: 1, in: flat, out: flat },
 * ];
 * console.log(findInflections({ keys, start: 0, before: 'holds', after: 'holds' })); // → [ { time: 0.5, value: 0.5 } ]
 */
export function findInflections(curve: Curve): CurvePoint[] {
  const parts = partsOf(requireCurve('findInflections', curve));
  const points: CurvePoint[] = [];
  const ends = parts.map((part) => {
    const { from, to } = part;
    const [a, b, c] = bendOf(part);
    const roots = signChanges(a, b, c, from + AT_KEY, to - AT_KEY);
    for (const s of roots) points.push({ time: timeAt(part, s), value: valueAt(part, s) });
    const sign = (s: number): number => Math.sign((c * s + b) * s + a);
    const [first, last] = [roots[0] ?? to, roots[roots.length - 1] ?? from];
    return { first: sign(0.5 * (from + first)), last: sign(0.5 * (last + to)) };
  });
  parts.forEach((part, i) => {
    const before = partBefore(parts, i, curve);
    if (before < 0 || !(ends[before].last * ends[i].first < 0)) return;
    const arrives = parts[before].ends.value - (i === 0 ? seamGain(curve) : 0);
    const size = Math.max(part.size, parts[before].size);
    if (direction(part.starts.value - arrives, size) === 0) points.push(part.starts);
  });
  return inOrder(points.map(({ time, value }) => ({ time, value })));
}

/** How far a curve reaches. */
export interface CurveBounds {
  /** First time in s: that of the first key, or the start of the cycle. */
  readonly start: number;
  /** Last time in s: that of the last key, or the end of the cycle. */
  readonly end: number;
  /** Least value, in the curve's unit. */
  readonly min: number;
  /** Time in s of the least value, the first where there are several. */
  readonly minAt: number;
  /** Greatest value, in the curve's unit. */
  readonly max: number;
  /** Time in s of the greatest value, the first where there are several. */
  readonly maxAt: number;
}

/**
 * The smallest box around a curve: times in s, values in the curve's unit.
 *
 * Ends and turning points of every segment; both values of a jump. From the first key to the last, or over
 * one cycle for a curve that repeats, both ends included.
 *
 * @returns start and end in s, least and greatest value and where they are
 * @throws RangeError or TypeError where the curve is not one
 * @example
 * import { boundsOf } from 'underfoot/curves';
 * const tangent = (slope: number) => ({ span: 1 / 3, slope });
 * const keys = [
 *   { time: 0, value: 0, in: tangent(1), out: tangent(1) },
 *   { time: 1, value: 0, in: tangent(-1), out: tangent(-1) },
 * ];
 * console.log(boundsOf({ keys, start: 0, before: 'holds', after: 'holds' }).max); // → 0.25
 */
export function boundsOf(curve: Curve): CurveBounds {
  const { keys, start, period } = requireCurve('boundsOf', curve);
  const final = keys[keys.length - 1];
  const points = partsOf(curve).flatMap((part) =>
    [part.from, ...turnsOf(part), part.to].map((s) => ({ time: timeAt(part, s), value: valueAt(part, s) })),
  );
  if (period === undefined) {
    const { time, value, arrives = value } = keys[0];
    points.unshift({ time, value }, { time, value: arrives });
    points.push({ time: final.time, value: final.value });
  }
  let [least, most] = [points[0], points[0]];
  for (const point of points) {
    if (point.value < least.value) least = point;
    if (point.value > most.value) most = point;
  }
  return {
    start: period === undefined ? keys[0].time : start,
    end: period === undefined ? final.time : start + period,
    min: least.value,
    minAt: least.time,
    max: most.value,
    maxAt: most.time,
  };
}
