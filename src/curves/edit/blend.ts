import { errorOf, requireNumber, show } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve } from '../curve.js';
import { type FitResult, fitCurve } from '../fit/fit-curve.js';
import type { FitOptions } from '../fit/options.js';
import { Track } from '../track.js';

/**
 * A curve part of the way from one curve to another, whatever keys either has.
 *
 * The blend of both is fitted by `fitCurve`, with a key wherever either has one unless `keysAt` or
 * `keyCount` say otherwise; the errors are those against the exact blend. Both must repeat with the same
 * period, or be open; an open blend covers the time they share.
 *
 * @param weight - 0 gives the first curve, 1 the second; any finite number
 * @param options - options of `fitCurve`
 * @returns as `fitCurve`
 * @throws RangeError where the periods differ or open curves share no time
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
  const a = new Track(first);
  const b = new Track(second);
  const period = first.period;
  const start = options.start ?? (period === undefined ? Math.max(a.first, b.first) : first.start);
  const end = period === undefined ? Math.min(a.last, b.last) : undefined;
  if (end !== undefined && !(end > start)) {
    throw errorOf('blendCurves', {
      field: 'second',
      rule: `must overlap the first curve, which ends at ${a.last} s`,
      got: `a start at ${b.first} s`,
      kind: 'range',
    });
  }
  const mine = new Float64Array(3);
  const jet = (t: number, out: Float64Array): void => {
    a.writeJet(t, mine, 0);
    b.writeJet(t, out, 0);
    for (let i = 0; i < 3; i++) out[i] = mine[i] + weight * (out[i] - mine[i]);
  };
  const gain = (first.gain ?? 0) + weight * ((second.gain ?? 0) - (first.gain ?? 0));
  const inside = (t: number): boolean => (end === undefined ? t < start + period! : t <= end) && t >= start;
  const times = [...first.keys, ...second.keys].map((key) => {
    if (period === undefined) return key.time;
    return key.time - Math.floor((key.time - start) / period) * period;
  });
  const keysAt = options.keysAt ?? (options.keyCount === undefined ? times.filter(inside) : undefined);
  return fitCurve(
    { jet },
    {
      start,
      ...(period === undefined ? { end } : { period, gain }),
      before: first.before,
      after: first.after,
      of: first.of,
      meta: first.meta,
      ...options,
      keysAt,
    },
  );
}
