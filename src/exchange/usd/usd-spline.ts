import type { Curve, Key, Outside } from '../../curves/curve.js';
import { evaluateJet } from '../../curves/evaluate.js';
import { unrollCurve } from '../unroll-curve.js';

/** How a curve's seconds and values become a layer's time codes and values. */
export interface UsdScale {
  /** Time codes per second. */
  readonly rate: number;
  /** Time code of time 0. */
  readonly origin: number;
  /** Factor on values. */
  readonly value: number;
}

/**
 * A curve as the lines of an OpenUSD spline: Bézier knots with the tangents (width, slope), slopes rising
 * positive on both sides, and what happens outside. Cyclic curves get their seam as first and last knot,
 * and loop by `reset`, or by `repeat` where they travel.
 *
 * The order of the tangent pair is that of the reference implementation (OpenUSD 25.11, text format).
 */
export function usdSpline(curve: Curve, scale: UsdScale): string[] {
  const repeats = (outside: Outside): boolean => outside === 'loops' || outside === 'travels';
  const keys =
    repeats(curve.before) && repeats(curve.after) && curve.period !== undefined
      ? unrollCurve({ ...curve, start: curve.keys[0].time })
      : unrollCurve(curve);
  return [
    'bezier,',
    ...outsideLine('pre', curve, curve.before, keys[0].time, scale),
    ...outsideLine('post', curve, curve.after, keys[keys.length - 1].time, scale),
    ...keys.map((key, i) => knot(key, keys[i - 1], i === keys.length - 1, scale)),
  ];
}

function knot(key: Key, before: Key | undefined, last: boolean, { rate, origin, value }: UsdScale): string {
  const at = (x: number): string => number(x * value);
  const side = ({ span, slope }: Key['in']): string => `(${number(span * rate)}, ${at(slope / rate)})`;
  const values = key.arrives === undefined ? at(key.value) : `${at(key.arrives)} & ${at(key.value)}`;
  const pre = before && (before.next ?? 'curve') === 'curve' ? `; pre ${side(key.in)}` : '';
  const post = {
    curve: last ? '' : `; post curve ${side(key.out)}`,
    line: '; post linear',
    hold: '; post held',
  }[key.next ?? 'curve'];
  return `${number(origin + key.time * rate)}: ${values}${pre}${post},`;
}

/** The slope outside is said outright, so that no reader has to derive it. */
function outsideLine(
  side: 'pre' | 'post',
  curve: Curve,
  outside: Outside,
  end: number,
  { rate, value }: UsdScale,
): string[] {
  switch (outside) {
    case 'holds':
      return [];
    case 'loops':
      return [`${side}: loop reset,`];
    case 'travels':
      return [`${side}: loop repeat,`];
    case 'straight': {
      const beyond = end + (side === 'pre' ? -1 : 1);
      return [`${side}: sloped(${number((evaluateJet(curve, beyond).velocity * value) / rate)}),`];
    }
  }
}

/** The shortest text that reads back to the same number. */
export function number(x: number): string {
  return String(x + 0);
}
