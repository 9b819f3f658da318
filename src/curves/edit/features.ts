/** Where a curve turns, crosses a level or changes its bend, and how far it reaches. */
import { requireNumber } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve } from '../curve.js';
import { controlsOf, type Piece, piecesOf } from '../pieces.js';

/** A value at a time. */
export interface CurvePoint {
  /** Time in s. */
  readonly time: number;
  /** Value, in the curve's unit. */
  readonly value: number;
}

interface Cubics {
  readonly time: readonly number[];
  readonly value: readonly number[];
}

const powers = ([p0, p1, p2, p3]: readonly number[]): number[] => [
  p0,
  3 * (p1 - p0),
  3 * (p0 - 2 * p1 + p2),
  p3 - p0 + 3 * (p1 - p2),
];

const at = ([c0, c1, c2, c3]: readonly number[], s: number): number => ((c3 * s + c2) * s + c1) * s + c0;

function cubicsOf(piece: Piece): Cubics {
  const kind = piece.left.next ?? 'curve';
  const { time, value } = controlsOf(piece);
  if (kind === 'curve') return { time: powers(time), value: powers(value) };
  const rise = kind === 'line' ? value[3] - value[0] : 0;
  return { time: [0, piece.length, 0, 0], value: [value[0], rise, 0, 0] };
}

/** Roots of a + b s + c s² inside (0, 1), without cancellation (Higham 2002, section 1.8). */
function quadraticRoots(a: number, b: number, c: number): number[] {
  const size = Math.max(Math.abs(a), Math.abs(b), Math.abs(c));
  if (size === 0) return [];
  if (Math.abs(c) < 1e-15 * size) return [-a / b].filter((s) => s > 0 && s < 1);
  const disc = b * b - 4 * a * c;
  if (disc < 0) return [];
  const q = -0.5 * (b + (b < 0 ? -1 : 1) * Math.sqrt(disc));
  const roots = [q / c, ...(q === 0 ? [] : [a / q])];
  return [...new Set(roots)].filter((s) => s > 0 && s < 1).sort((x, y) => x - y);
}

/** Places inside a segment where the value turns. */
const turnsOf = ({ value: [, b, c, d] }: Cubics): number[] => quadraticRoots(b, 2 * c, 3 * d);

/** Brings times into the curve's own cycle and order, once each. */
function tidy(points: CurvePoint[], curve: Curve): CurvePoint[] {
  const { start, period, gain = 0 } = curve;
  const inside = points.map((point) =>
    period !== undefined && point.time >= start + period
      ? { time: point.time - period, value: point.value - gain }
      : point,
  );
  inside.sort((a, b) => a.time - b.time);
  return inside.filter((point, i) => i === 0 || point.time > inside[i - 1].time);
}

/**
 * The times and values at which a curve turns from rising to falling or back, in s and value units.
 *
 * Roots of the value's derivative in each segment's parameter, and keys at which the slope changes sign;
 * within one cycle for a curve that repeats. Flat stretches have no turning point.
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
  const pieces = piecesOf(requireCurve('findExtremes', curve));
  const points: CurvePoint[] = [];
  const steps = pieces.map((piece) => {
    const cubics = cubicsOf(piece);
    const turns = turnsOf(cubics);
    const stops = [0, ...turns, 1].map((s) => at(cubics.value, s));
    turns.forEach((s, i) => {
      if ((stops[i + 1] - stops[i]) * (stops[i + 2] - stops[i + 1]) < 0) {
        points.push({ time: piece.start + at(cubics.time, s), value: stops[i + 1] });
      }
    });
    return {
      first: Math.sign(stops[1] - stops[0]),
      last: Math.sign(stops[stops.length - 1] - stops[stops.length - 2]),
    };
  });
  pieces.forEach((piece, i) => {
    const before = i > 0 ? i - 1 : curve.period === undefined ? -1 : pieces.length - 1;
    if (before >= 0 && steps[before].last * steps[i].first < 0)
      points.push({ time: piece.start, value: piece.left.value });
  });
  return tidy(points, curve);
}

/**
 * The times in s at which a curve has a given value.
 *
 * Each segment is cut where it turns, and each rising or falling part is halved to the last bit. Stretches
 * that lie on the level give their first time only; within one cycle for a curve that repeats.
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
  requireNumber('findCrossings', 'level', level);
  const points: CurvePoint[] = [];
  for (const piece of piecesOf(requireCurve('findCrossings', curve))) {
    const cubics = cubicsOf(piece);
    const stops = [0, ...turnsOf(cubics), 1];
    for (let i = 0; i + 1 < stops.length; i++) {
      let low = stops[i];
      let high = stops[i + 1];
      const from = Math.sign(at(cubics.value, low) - level);
      const to = Math.sign(at(cubics.value, high) - level);
      if (from * to > 0) continue;
      // 60 halvings: one more than the bits of a double.
      for (let step = 0; step < 60 && from !== 0 && to !== 0; step++) {
        const middle = 0.5 * (low + high);
        if ((at(cubics.value, middle) - level) * from > 0) low = middle;
        else high = middle;
      }
      const s = from === 0 ? stops[i] : to === 0 ? stops[i + 1] : 0.5 * (low + high);
      points.push({ time: piece.start + at(cubics.time, s), value: level });
    }
  }
  const near = 1e-12 * (curve.period ?? Math.max(1, Math.abs(curve.keys[curve.keys.length - 1].time)));
  const times = tidy(points, { ...curve, gain: 0 }).map((point) => point.time);
  return times.filter((t, i) => i === 0 || t - times[i - 1] > near);
}

/**
 * The times and values at which a curve changes its bend, in s and value units.
 *
 * The second derivative over time is zero where y″x′ − y′x″ is, a quadratic in each segment's parameter,
 * since the cubic terms cancel. Bends that change at a key count where the second derivative changes sign.
 *
 * @returns points in order of time, inside segments only
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
  const points: CurvePoint[] = [];
  for (const piece of piecesOf(requireCurve('findInflections', curve))) {
    const { time, value } = cubicsOf(piece);
    const [, x1, x2, x3] = time;
    const [, y1, y2, y3] = value;
    // (2 y2 + 6 y3 s)(x1 + 2 x2 s + 3 x3 s²) − (y1 + 2 y2 s + 3 y3 s²)(2 x2 + 6 x3 s)
    const a = 2 * (y2 * x1 - y1 * x2);
    const b = 6 * (y3 * x1 - y1 * x3);
    const c = 6 * (y3 * x2 - y2 * x3);
    for (const s of quadraticRoots(a, b, c))
      points.push({ time: piece.start + at(time, s), value: at(value, s) });
  }
  return tidy(points, curve);
}

/** How far a curve reaches. */
export interface CurveBounds {
  readonly start: number;
  readonly end: number;
  readonly min: number;
  readonly minAt: number;
  readonly max: number;
  readonly maxAt: number;
}

/**
 * The smallest box around a curve: times in s, values in the curve's unit.
 *
 * Ends and turning points of every segment; both values of a jump. A curve that repeats is looked at for one
 * period from its first key on.
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
  let [min, max] = [keys[0].value, keys[0].value];
  let [minAt, maxAt] = [keys[0].time, keys[0].time];
  const look = (time: number, value: number): void => {
    if (value < min) {
      min = value;
      minAt = time;
    }
    if (value > max) {
      max = value;
      maxAt = time;
    }
  };
  for (const piece of piecesOf(curve)) {
    const cubics = cubicsOf(piece);
    for (const s of [0, ...turnsOf(cubics), 1]) look(piece.start + at(cubics.time, s), at(cubics.value, s));
  }
  look(keys[keys.length - 1].time, keys[keys.length - 1].value);
  const end = period === undefined ? keys[keys.length - 1].time : start + period;
  return { start: period === undefined ? keys[0].time : start, end, min, minAt, max, maxAt };
}
