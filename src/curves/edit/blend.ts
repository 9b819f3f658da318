import { errorOf, recordProblem, refuseAny, requireNumber, show } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Outside } from '../curve.js';
import { type FitResult, fitCurve } from '../fit/fit-curve.js';
import { measureFit } from '../fit/measure.js';
import type { FitOptions } from '../fit/options.js';
import type { FitSource } from '../fit/source.js';
import { Track } from '../track.js';
import { alignCurves } from './align-curves.js';
import { blendPieces, isExact } from './blend-pieces.js';

/** Share of the blend's range that is the tolerance where none is given, as in `fitCurve`. */
const TOLERANCE = 1e-3;

/** Points per cycle, or per range, at which the result is measured, at least. */
const MEASURE_POINTS = 2000;

/** Options that leave the places of keys to the blend itself. */
const PLACED_BY_BLEND = ['tolerance', 'before', 'after', 'of', 'meta'];

/** Nearer than this share of the range, two keys force one. */
const NEAR = 1e-6;

/** Whether a curve has a corner, a jump or a hold, with which a fit would struggle. */
const isRough = ({ keys }: Curve): boolean =>
  keys.some(
    (key) =>
      (key.next ?? 'curve') !== 'curve' ||
      key.in.slope !== key.out.slope ||
      (key.arrives !== undefined && key.arrives !== key.value),
  );

/** How the blend goes on outside: as both do, or as the first does. */
function outsideOf(first: Curve, second: Curve, side: 'before' | 'after', gain: number): Outside {
  const repeat = [first[side], second[side]].every((kind) => kind === 'loops' || kind === 'travels');
  if (!repeat) return first[side];
  if (gain !== 0) return 'travels';
  return first[side] === second[side] ? first[side] : 'loops';
}

/**
 * A curve part of the way from one curve to another, whatever keys either has.
 *
 * Keys stand wherever either curve has one. Where either has corners, jumps, lines or holds, or where the blend of every
 * two segments is a single one, it is made segment by segment: exact where both have the same handles or one is
 * straight there, halved until the tolerance is met elsewhere; keys keep the metadata of both. Otherwise, and
 * whenever an option says where keys have to be or how the load counts, `fitCurve` follows the blend, which
 * cannot jump then. The errors are those against the exact blend. Both must repeat with the same period, or
 * be open; an open blend covers the time they share, and a loop that drops its gain jumps where it does.
 *
 * @param weight - 0 gives the first curve, 1 the second; any finite number
 * @param options - options of `fitCurve`, with `start` and `end` inside what open curves share, and any `start` but no
 * `end` or `period` for loops; metadata is the first curve's, and `of` what both are the path of
 * @returns as `fitCurve`
 * @throws RangeError where the periods differ or open curves share no time; RangeError or TypeError where options are
 * not usable, in the name of `fitCurve` where they are passed on
 * @example
 * import { blendCurves, evaluate } from 'underfoot/curves';
 * const at = (value: number) => ({
 *   keys: [{ time: 0, value, in: { span: 0.3, slope: 0 }, out: { span: 0.3, slope: 0 } }],
 *   start: 0, period: 1, before: 'loops' as const, after: 'loops' as const,
 * });
 * console.log(evaluate(blendCurves(at(1), at(3), 0.25).curve, 0.4)); // → 1.5
 */
export function blendCurves(
  first: Curve,
  second: Curve,
  weight: number,
  options: FitOptions = {},
): FitResult {
  requireCurve('blendCurves', first, 'first');
  requireCurve('blendCurves', second, 'second');
  requireNumber('blendCurves', 'weight', weight);
  if (first.period !== second.period) {
    const rule = `must be ${first.period === undefined ? 'left out' : `${first.period} s`}, as in the first curve`;
    throw errorOf('blendCurves', { field: 'second.period', rule, got: show(second.period), kind: 'range' });
  }
  refuseAny('blendCurves', [recordProblem('options', options)]);
  const { period } = first;
  const open = { first: new Track(first), second: new Track(second) };
  const from = Math.max(open.first.first, open.second.first);
  const to = Math.min(open.first.last, open.second.last);
  if (period === undefined && !(to > from)) {
    throw errorOf('blendCurves', {
      field: 'second',
      rule: `must overlap the first curve, which ends at ${open.first.last} s`,
      got: `a start at ${open.second.first} s`,
      kind: 'range',
    });
  }
  for (const name of period === undefined ? (['period'] as const) : (['period', 'end'] as const)) {
    if (options[name] === undefined) continue;
    const rule = 'must be left out: it is that of both curves';
    throw errorOf('blendCurves', { field: name, rule, got: show(options[name]), kind: 'range' });
  }
  const start = requireNumber(
    'blendCurves',
    'start',
    options.start === undefined ? (period === undefined ? from : first.start) : options.start,
    period === undefined ? { min: from, below: to, unit: 's' } : { unit: 's' },
  );
  const end =
    period === undefined
      ? requireNumber('blendCurves', 'end', options.end === undefined ? to : options.end, {
          above: start,
          max: to,
          unit: 's',
        })
      : start + period;
  // At either end of the way the other curve has no part in the shape.
  const [one, two] = [weight === 1 ? second : first, weight === 0 ? first : second];
  const [a, b] = alignCurves('blendCurves', one, two, start, end);
  const [left, right] = [new Track(a), new Track(b)];
  const mine = new Float64Array(3);
  const jet = (t: number, out: Float64Array): void => {
    left.writeJet(t, mine, 0);
    right.writeJet(t, out, 0);
    for (let i = 0; i < 3; i++) out[i] = mine[i] + weight * (out[i] - mine[i]);
  };
  const gain = (a.gain ?? 0) + weight * ((b.gain ?? 0) - (a.gain ?? 0));
  const shape = {
    before: outsideOf(one, two, 'before', gain),
    after: outsideOf(one, two, 'after', gain),
    of: first.of === second.of ? first.of : undefined,
    meta: first.meta,
  };
  const free = Object.entries(options).every(
    ([name, value]) => value === undefined || PLACED_BY_BLEND.includes(name),
  );
  if (!free || !(isRough(a) || isRough(b) || isExact(a, b))) {
    const near = NEAR * (end - start);
    const times = a.keys.map((key) => key.time);
    const apart = times.filter((t, i) => i === 0 || t - times[i - 1] > near);
    return fitCurve(
      { jet },
      {
        start,
        ...(period === undefined ? { end } : { period, gain }),
        ...shape,
        ...options,
        keysAt: options.keysAt ?? (options.keyCount === undefined ? apart : undefined),
      },
    );
  }
  const source: FitSource = { jet, hasSecond: true, parts: 1, corners: [] };
  const tolerance =
    options.tolerance === undefined
      ? TOLERANCE * rangeOf(source, start, end)
      : requireNumber('blendCurves', 'tolerance', options.tolerance, { above: 0 });
  const given = Object.fromEntries(
    Object.entries({ ...shape, ...options }).filter(([, value]) => value !== undefined),
  );
  const { tolerance: _, ...rest } = given as Omit<Curve, 'keys' | 'start'> & { tolerance?: number };
  const curve = requireCurve('blendCurves', {
    keys: blendPieces(a, b, weight, tolerance, source),
    start,
    ...(period === undefined ? {} : { period, ...(gain === 0 ? {} : { gain }) }),
    ...rest,
  });
  const error = measureFit(curve, source, start, end, MEASURE_POINTS / (end - start));
  return { curve, error, met: error.value.max <= tolerance };
}

/** Difference between the greatest and the least of many values, no less than their rounding. */
function rangeOf(source: FitSource, start: number, end: number): number {
  const jet = new Float64Array(3);
  const values = Array.from({ length: 256 }, (_, i) => {
    source.jet(start + ((end - start) * (i + 0.5)) / 256, jet);
    return jet[0];
  });
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return Math.max(high - low, 1e-9 * Math.max(Math.abs(low), Math.abs(high)));
}
