import { requireNumber } from '../internal/check.js';
import { REACH, requireCurve } from './check-curve.js';
import type { Curve } from './curve.js';
import type { Jet } from './series.js';
import { Track } from './track.js';

/** Prepared curves by identity: a curve is plain data that nobody changes, so it is checked and prepared once. */
const prepared = new WeakMap<Curve, Track>();

function trackOf(where: string, curve: Curve): Track {
  const known = prepared.get(curve);
  if (known) return known;
  const track = new Track(requireCurve(where, curve));
  prepared.set(curve, track);
  return track;
}

function requireTime(where: string, t: number): void {
  requireNumber(where, 't', t, { unit: 's' });
  requireNumber(where, 't', t, { min: -REACH, max: REACH, unit: 's' });
}

const scratch = new Float64Array(3);

/**
 * Value of a curve at a time, in the curve's own unit.
 *
 * The segment's parameter is found in normalised time, within 1e-13 of the segment: one Newton step from a table of the
 * inverse where that is known to be enough, bracketed Halley steps elsewhere, at most 64. Third-length spans, lines and
 * holds need no solving. At a key the value is the one
 * that leaves it. A curve is checked when it is first seen and must not be changed afterwards.
 *
 * @param t - time in s, any number up to 1e60 either way
 * @returns the value, in the curve's unit
 * @throws RangeError or TypeError where the curve is not one or `t` is not a number up to 1e60 either way
 * @example
 * import { evaluate } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 0.5, value: 0.04, in: flat, out: flat },
 * ];
 * console.log(evaluate({ keys, start: 0, before: 'holds', after: 'holds' }, 0.25).toFixed(3)); // → 0.020
 */
export function evaluate(curve: Curve, t: number): number {
  requireTime('evaluate', t);
  trackOf('evaluate', curve).writeValue(t, scratch, 0);
  return scratch[0];
}

/**
 * Value, first and second derivative of a curve at a time: unit, unit/s and unit/s².
 *
 * As `evaluate`, with the chain rule on top. At a key the derivatives are those of the segment that
 * leaves it; at the last key of an open curve those of the one that arrives. At a vertical tangent they
 * are large and finite.
 *
 * @param t - time in s, any number up to 1e60 either way
 * @returns value, velocity and acceleration
 * @throws RangeError or TypeError where the curve is not one or `t` is not a number up to 1e60 either way
 * @example
 * import { evaluateJet } from 'underfoot/curves';
 * const tangent = { span: 0.1, slope: 2 };
 * const keys = [
 *   { time: 0, value: 0, in: tangent, out: tangent },
 *   { time: 0.3, value: 0.6, in: tangent, out: tangent },
 * ];
 * console.log(evaluateJet({ keys, start: 0, before: 'holds', after: 'straight' }, 1).velocity.toFixed(3)); // → 2.000
 */
export function evaluateJet(curve: Curve, t: number): Jet {
  requireTime('evaluateJet', t);
  trackOf('evaluateJet', curve).writeJet(t, scratch, 0);
  return { value: scratch[0], velocity: scratch[1], acceleration: scratch[2] };
}
