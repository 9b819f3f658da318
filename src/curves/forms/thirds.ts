import { requireNumber, requireRecord } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Key } from '../curve.js';
import { boundsOf } from '../edit/features.js';
import type { ErrorMeasure } from '../fit/measure.js';
import { piecesOf } from '../pieces.js';
import { Track } from '../track.js';

/** A curve whose spans are all a third of their segment, and how far it moved. */
export interface ThirdsResult {
  readonly curve: Curve;
  /** Change in value, measured at 32 points per segment of the result. */
  readonly error: ErrorMeasure;
  /** Whether the tolerance is met by that. */
  readonly met: boolean;
}

/** Points per segment that are compared, and the deepest halving of a segment. */
const POINTS = 32;
const DEEPEST = 12;

/** Departure from a third that is taken for rounding, as a fraction of the segment. */
const ROUNDING = 1e-14;

/**
 * The curve with third-length spans everywhere, so that a cubic Hermite host plays it.
 *
 * Segments that are cubic in time already, and lines and holds, stay as they are; others take the curve's
 * slopes at their ends and are halved until the change in value is within the tolerance.
 *
 * @param options.tolerance - bound on the change in value, measured, not proved; default 1e-6 of the curve's range
 * @returns curve, measured change, and whether the tolerance is met; at most 2^12 pieces per segment
 * @throws RangeError or TypeError where curve or tolerance are not usable
 * @example
 * import { toThirds } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 0.4, value: 1, in: flat, out: flat },
 * ];
 * const { met } = toThirds({ keys, start: 0, before: 'holds', after: 'holds' }, { tolerance: 1e-3 });
 * console.log(met); // → true
 */
export function toThirds(curve: Curve, options: { readonly tolerance?: number } = {}): ThirdsResult {
  requireCurve('toThirds', curve);
  requireRecord('toThirds', 'options', options, ['tolerance']);
  if (options.tolerance !== undefined)
    requireNumber('toThirds', 'tolerance', options.tolerance, { above: 0 });
  const { min, max } = boundsOf(curve);
  const tolerance = options.tolerance ?? 1e-6 * (max - min);
  const track = new Track(curve);
  const jet = new Float64Array(3);
  let worst = 0;
  let at = curve.start;
  let sum = 0;
  let count = 0;
  const last = curve.keys[curve.keys.length - 1];
  let lead = curve.keys[0];
  const made: Key[] = [];
  let wrapIn: number | undefined;
  for (const { left, right, start, length, lift } of piecesOf(curve)) {
    const p = left.out.span / length;
    const q = right.in.span / length;
    const cubic =
      (left.next ?? 'curve') !== 'curve' ||
      (Math.abs(p - 1 / 3) < ROUNDING && Math.abs(q - 1 / 3) < ROUNDING);
    const ends: { time: number; value: number; slope: number }[] = [
      { time: start, value: left.value, slope: 0 },
    ];
    if (cubic) {
      made.push({ ...lead, out: left.out });
      lead = { ...right, in: right.in };
      wrapIn = right.in.span;
      continue;
    }
    track.writeJet(start, jet, 0);
    ends[0].slope = jet[1];
    const final = { time: start + length, value: (right.arrives ?? right.value) + lift, slope: 0 };
    track.writeJet(start + length * (1 - 1e-9), jet, 0);
    final.slope = right.in.span > 0 ? right.in.slope : jet[1];
    if (left.out.span > 0) ends[0].slope = left.out.slope;
    const halve = (a: (typeof ends)[0], b: (typeof ends)[0], depth: number): void => {
      const h = b.time - a.time;
      let most = 0;
      let where = a.time;
      let squares = 0;
      for (let i = 1; i < POINTS; i++) {
        const s = i / POINTS;
        track.writeValue(a.time + s * h, jet, 0);
        const h00 = (1 + 2 * s) * (1 - s) ** 2;
        const mine =
          h00 * a.value +
          s * (1 - s) ** 2 * h * a.slope +
          (1 - h00) * b.value -
          s * s * (1 - s) * h * b.slope;
        const miss = Math.abs(mine - jet[0]);
        squares += miss * miss;
        if (miss > most) {
          most = miss;
          where = a.time + s * h;
        }
      }
      if (most <= tolerance || depth >= DEEPEST) {
        if (most > worst) {
          worst = most;
          at = where;
        }
        sum += squares;
        count += POINTS - 1;
        ends.push(b);
        return;
      }
      track.writeJet(a.time + h / 2, jet, 0);
      const middle = { time: a.time + h / 2, value: jet[0], slope: jet[1] };
      halve(a, middle, depth + 1);
      halve(middle, b, depth + 1);
    };
    halve(ends[0], final, 0);
    ends.forEach((end, i) => {
      const before = i > 0 ? (end.time - ends[i - 1].time) / 3 : 0;
      const after = i + 1 < ends.length ? (ends[i + 1].time - end.time) / 3 : 0;
      if (i === 0) made.push({ ...lead, out: { span: after, slope: end.slope } });
      else if (i + 1 < ends.length) {
        const { time, value, slope } = end;
        made.push({ time, value, in: { span: before, slope }, out: { span: after, slope } });
      } else {
        lead = { ...right, in: { span: before, slope: end.slope } };
        wrapIn = before;
      }
    });
  }
  if (curve.period === undefined) made.push(lead === curve.keys[0] ? last : lead);
  else if (wrapIn !== undefined) made[0] = { ...made[0], in: lead.in };
  const keys = curve.period === undefined ? made : wrap(made, curve.start, curve.period, curve.gain ?? 0);
  const rms = count > 0 ? Math.sqrt(sum / count) : 0;
  return { curve: { ...curve, keys }, error: { max: worst, at, rms }, met: worst <= tolerance };
}

/** Keys that were added beyond the end of the cycle belong to its beginning. */
function wrap(keys: Key[], start: number, period: number, gain: number): Key[] {
  const end = start + period;
  const over = keys.filter((key) => key.time >= end);
  const moved = over.map((key) => ({ ...key, time: key.time - period, value: key.value - gain }));
  return [...moved, ...keys.filter((key) => key.time < end)];
}
