import { errorOf, requireNumber, show } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Key } from '../curve.js';
import { controlsOf, type Piece, piecesOf } from '../pieces.js';
import { cutParameter, Segment } from '../segment.js';
import { settle } from '../time/settle.js';
import { bothMeta } from './both-meta.js';

/** A gap or an overlap of joined curves that is rounding, as a share of what they are together. */
const NEAR = 1e-9;

const between = (a: number, b: number, s: number): number => a + (b - a) * s;

/** Both halves of a cubic's control points at parameter `s`: de Casteljau's construction. */
function halves([p0, p1, p2, p3]: readonly number[], s: number): [number[], number[]] {
  const a = between(p0, p1, s);
  const b = between(p1, p2, s);
  const c = between(p2, p3, s);
  const d = between(a, b, s);
  const e = between(b, c, s);
  const f = between(d, e, s);
  return [
    [p0, a, d, f],
    [f, e, c, p3],
  ];
}

function refuseLocked(key: Key, field: string): void {
  if (!key.locked) return;
  const rule = 'must not be locked: a key beside it would shorten its handle';
  throw errorOf('insertKey', { field, rule, got: 'a locked key', kind: 'range' });
}

/** The three keys that result from cutting a segment at time `t`, without changing its shape. */
function cut(piece: Piece, t: number): { left: Key; middle: Key; right: Key } {
  const { left, right, length, lift } = piece;
  if ((left.next ?? 'curve') !== 'curve') {
    const end = (right.arrives ?? right.value) + lift;
    const slope = left.next === 'line' ? (end - left.value) / length : 0;
    const value = left.value + slope * (t - piece.start);
    const flat = { span: Math.min(t - piece.start, piece.start + length - t) / 3, slope };
    return { left, right, middle: { time: t, value, in: flat, out: flat, next: left.next } };
  }
  const s = cutParameter(new Segment(left, right, piece), t);
  const { time, value } = controlsOf(piece);
  const [t0, t1] = halves(time, s);
  const [v0, v1] = halves(value, s);
  // The longer of the two handles gives the slope with fewer lost digits.
  const before = t0[3] - t0[2];
  const after = t1[1] - t1[0];
  const slope = before + after > 0 ? (v1[1] - v0[2]) / (before + after) : 0;
  return {
    left: { ...left, out: { ...left.out, span: t0[1] } },
    middle: {
      time: t,
      value: v0[3],
      in: { span: Math.max(0, before), slope },
      out: { span: Math.max(0, after), slope },
    },
    right: { ...right, in: { ...right.in, span: t1[3] - t1[2] } },
  };
}

/**
 * The curve with one more key and the same shape, to rounding (1e-12 of the values' size).
 *
 * The segment is cut by de Casteljau's construction at the parameter that belongs to the time; the handles
 * beside the new key are shortened. A time that has a key already gives the curve back as it is.
 *
 * @param t - time in s, inside the keys, or anywhere in the cycle of a curve that repeats
 * @returns a new curve
 * @throws RangeError where `t` is outside, or a neighbouring key is locked and its handle would change
 * @example
 * import { evaluate, insertKey } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 1, value: 1, in: flat, out: flat },
 * ];
 * const curve = insertKey({ keys, start: 0, before: 'holds', after: 'holds' }, 0.5);
 * console.log(curve.keys.length, evaluate(curve, 0.5).toFixed(3)); // → 3 0.500
 */
export function insertKey(curve: Curve, t: number): Curve {
  const { keys, start, period, gain = 0 } = requireCurve('insertKey', curve);
  const last = keys[keys.length - 1].time;
  if (period === undefined) requireNumber('insertKey', 't', t, { min: keys[0].time, max: last, unit: 's' });
  else requireNumber('insertKey', 't', t, { min: start, below: start + period, unit: 's' });
  if (keys.some((key) => key.time === t)) return curve;
  const early = t < keys[0].time;
  const u = early && period !== undefined ? t + period : t;
  const pieces = piecesOf(curve);
  const piece = pieces.find((p) => u > p.start && u < p.start + p.length) ?? pieces[pieces.length - 1];
  const made = cut(piece, u);
  const i = piece.index;
  const j = (i + 1) % keys.length;
  if (made.left !== keys[i]) refuseLocked(keys[i], `keys[${i}]`);
  if (made.right !== keys[j]) refuseLocked(keys[j], `keys[${j}]`);
  const next = [...keys];
  if (i === j) next[i] = { ...made.left, in: made.right.in };
  else {
    next[i] = made.left;
    next[j] = made.right;
  }
  const key = early ? { ...made.middle, time: t, value: made.middle.value - gain } : made.middle;
  next.splice(early ? 0 : i + 1, 0, key);
  return { ...curve, keys: next };
}

/**
 * The two parts of an open curve on either side of a time; both have a key there.
 *
 * A loop has to be made an open curve first, with `unrollCurve`.
 *
 * @param t - time in s, between the first and the last key
 * @returns the part before and the part after, each as long as its keys
 * @throws RangeError where the curve repeats or `t` is not between its ends
 * @example
 * import { splitCurve } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 1, value: 1, in: flat, out: flat },
 * ];
 * const [first, second] = splitCurve({ keys, start: 0, before: 'holds', after: 'holds' }, 0.5);
 * console.log(first.keys.length, second.start); // → 2 0.5
 */
export function splitCurve(curve: Curve, t: number): [Curve, Curve] {
  requireOpen('splitCurve', curve, 'curve');
  const { keys } = curve;
  requireNumber('splitCurve', 't', t, { above: keys[0].time, below: keys[keys.length - 1].time, unit: 's' });
  const whole = insertKey(curve, t);
  const at = whole.keys.findIndex((key) => key.time === t);
  const { arrives, ...right } = whole.keys[at];
  const left = arrives === undefined ? whole.keys[at] : { ...right, value: arrives };
  return [
    { ...curve, keys: [...whole.keys.slice(0, at), left], after: 'holds' },
    { ...curve, keys: [right, ...whole.keys.slice(at + 1)], start: t, before: 'holds' },
  ];
}

/** The open curve, or the error that says it repeats. */
export function requireOpen(where: string, curve: Curve, field: string): Curve {
  requireCurve(where, curve, field === 'curve' ? '' : field);
  if (curve.period === undefined) return curve;
  const rule = 'must be left out: only an open curve will do';
  const name = field === 'curve' ? 'period' : `${field}.period`;
  throw errorOf(where, { field: name, rule, got: String(curve.period), kind: 'range' });
}

/**
 * Two open curves as one, the second following the first.
 *
 * The last key of the first and the first of the second become one key, with two values where they differ: of both
 * keys' metadata every field is kept, the first key's where they differ, and the key is locked if either is. The same
 * goes for the metadata of the curves, and `of` is kept where both agree on it. The second curve has to begin where
 * the first one ends, to a billionth of what both are together: shift it there first.
 *
 * @returns a curve from the first's start to the second's end, which goes on outside as the first did before and the
 * second after
 * @throws RangeError where a curve repeats or they do not meet in time
 * @example
 * import { joinCurves, splitCurve } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 1, value: 1, in: flat, out: flat },
 * ];
 * const [first, second] = splitCurve({ keys, start: 0, before: 'holds', after: 'holds' }, 0.5);
 * console.log(joinCurves(first, second).keys.length); // → 3
 */
export function joinCurves(first: Curve, second: Curve): Curve {
  requireOpen('joinCurves', first, 'first');
  requireOpen('joinCurves', second, 'second');
  const a = first.keys[first.keys.length - 1];
  const b = second.keys[0];
  const whole = second.keys[second.keys.length - 1].time - first.keys[0].time;
  if (!(Math.abs(b.time - a.time) <= NEAR * whole)) {
    const rule = `must be ${a.time} s, where the first curve ends`;
    throw errorOf('joinCurves', { field: 'second.keys[0].time', rule, got: show(b.time), kind: 'range' });
  }
  const from = a.arrives ?? a.value;
  const { arrives: _, ...plain } = b;
  const seam: Key = {
    ...plain,
    time: a.time,
    in: a.in,
    ...(from === b.value ? {} : { arrives: from }),
    ...(a.locked || b.locked ? { locked: true } : {}),
    ...bothMeta(a, b),
  };
  const { of, meta: __, ...shape } = first;
  return settle('joinCurves', {
    ...shape,
    keys: [...first.keys.slice(0, -1), seam, ...second.keys.slice(1)],
    after: second.after,
    ...(of !== undefined && of === second.of ? { of } : {}),
    ...bothMeta(first, second),
  });
}
