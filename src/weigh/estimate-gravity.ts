import { STANDARD_GRAVITY } from '../gait/body.js';
import { requireNumber, requireRecord } from '../internal/check.js';
import type { Estimate } from './estimate-time-scale.js';
import { readPath } from './read-path.js';
import { refuse } from './refuse.js';
import type { WeighedPath } from './weighed.js';

/** Which part of the path is free flight. */
export interface FlightOptions {
  /** First and last time in s. Default: the whole path. */
  readonly from?: number;
  readonly to?: number;
}

/** The gravity of a flight. */
export interface FlightGravity {
  /** Downward acceleration in m/s², with twice its standard error on either side. */
  readonly gravity: Estimate;
  /** Speed at which a flight on Earth would have to be played to look so. */
  readonly speed: number;
  /** Root mean square distance of the path from the parabola, in m. */
  readonly residual: number;
}

/** Even times that a curve is looked at. */
const LOOKS = 33;

/**
 * The gravity in m/s² of a body in free flight, by the parabola closest to its height.
 *
 * Samples are used as they are; a curve is looked at 33 even times. Nothing is differentiated.
 *
 * @param height - height in m over s
 * @param options - which part is flight
 * @throws RangeError or TypeError naming field, rule and value; where fewer than 4 samples lie in the flight
 *
 * @example
 * ```ts
 * import { estimateGravity } from 'underfoot';
 *
 * // A leap on the Moon, drawn on twos.
 * const times = Array.from({ length: 10 }, (_, i) => i / 12);
 * const values = times.map((t) => 1 + 0.7 * t - (1.62 / 2) * t * t);
 * console.log(estimateGravity({ times, values }).gravity.value.toFixed(3)); // → 1.620
 * ```
 */
export function estimateGravity(height: WeighedPath, options: FlightOptions = {}): FlightGravity {
  const where = 'estimateGravity';
  requireRecord(where, 'height', height);
  requireRecord(where, 'options', options, ['from', 'to']);
  const path = readPath(where, 'height', height);
  const { from = path.start, to = path.start + path.duration } = options;
  requireNumber(where, 'from', from, { unit: 's' });
  requireNumber(where, 'to', to, { above: from, unit: 's' });
  const jet = new Float64Array(3);
  const points =
    'keys' in height
      ? Array.from({ length: LOOKS }, (_, i) => {
          const t = from + ((to - from) * i) / (LOOKS - 1);
          path.jet(t, jet);
          return [t, jet[0]];
        })
      : height.times.map((t, i) => [t, height.values[i]]).filter(([t]) => t >= from && t <= to);
  if (points.length < 4)
    refuse(where, 'height', 'must have at least 4 samples in the flight', `${points.length}`);
  const fit = parabola(points, (from + to) / 2, (to - from) / 2);
  const value = -fit.bend;
  return {
    gravity: { value, low: value - 2 * fit.error, high: value + 2 * fit.error },
    speed: Math.sqrt(Math.max(0, value) / STANDARD_GRAVITY),
    residual: fit.residual,
  };
}

/** Least squares by Legendre polynomials of normalised time, made orthogonal on these very times. */
function parabola(points: readonly (readonly number[])[], middle: number, half: number) {
  const u = points.map(([t]) => (t - middle) / half);
  const z = points.map(([, value]) => value);
  const basis: number[][] = [];
  for (let power = 0; power < 3; power++) {
    let column = u.map((x) => x ** power);
    for (const other of basis) {
      const by = dot(column, other) / dot(other, other);
      column = column.map((x, i) => x - by * other[i]);
    }
    basis.push(column);
  }
  const terms = basis.map((column) => dot(z, column) / dot(column, column));
  const rest = z.map((value, i) => value - terms.reduce((sum, term, k) => sum + term * basis[k][i], 0));
  const residual = Math.sqrt(dot(rest, rest) / z.length);
  const noise = Math.sqrt(dot(rest, rest) / Math.max(1, z.length - 3));
  // The second polynomial begins with u², so its term is half the bend in normalised time.
  const scale = 2 / (half * half);
  return { bend: terms[2] * scale, error: (noise / Math.sqrt(dot(basis[2], basis[2]))) * scale, residual };
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
