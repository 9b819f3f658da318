import { numberProblem, refuseAny, requireArray } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve } from '../curve.js';
import { Track } from '../track.js';

/** Nodes and weights of five-point Gauss–Legendre quadrature on [−1, 1] (Abramowitz & Stegun 1964, table 25.4). */
const NODES = [0, 0.5384693101056831, -0.5384693101056831, 0.906179845938664, -0.906179845938664];
const WEIGHTS = [
  0.5688888888888889, 0.47862867049936647, 0.47862867049936647, 0.23692688505618908, 0.23692688505618908,
];

/** Parts into which the time between two samples is cut at each key, and then evenly. */
const PARTS = 4;

/**
 * How far a point travels along its path between one time and the next, in the curves' unit: the spacing.
 *
 * The speed √(Σ ẋᵢ²) of one to three curves is integrated by five-point Gauss quadrature, four parts between
 * any two keys; relative error about 1e-9 for smooth curves that do not stop, larger where the path reverses.
 *
 * @param curves - the path's coordinates, one to three curves
 * @param times - times in s, rising
 * @returns one distance fewer than there are times
 * @throws RangeError or TypeError where a curve or a time is not usable
 * @example
 * import { arcSpacing } from 'underfoot/curves';
 * const line = (value: number) => ({
 *   keys: [
 *     { time: 0, value: 0, in: { span: 0, slope: 0 }, out: { span: 0, slope: 0 }, next: 'line' as const },
 *     { time: 1, value, in: { span: 0, slope: 0 }, out: { span: 0, slope: 0 } },
 *   ],
 *   start: 0, before: 'holds' as const, after: 'holds' as const,
 * });
 * console.log(arcSpacing([line(3), line(4)], [0, 0.5, 1])); // → [ 2.5, 2.5 ]
 */
export function arcSpacing(curves: readonly Curve[], times: readonly number[]): number[] {
  requireArray('arcSpacing', 'curves', curves, 1);
  requireArray('arcSpacing', 'times', times, 2);
  const tracks = curves.map((curve, i) => new Track(requireCurve('arcSpacing', curve, `curves[${i}]`)));
  refuseAny(
    'arcSpacing',
    times.map((t, i) =>
      numberProblem(`times[${i}]`, t, i > 0 ? { above: times[i - 1], unit: 's' } : { unit: 's' }),
    ),
  );
  const jet = new Float64Array(3);
  const speed = (t: number): number => {
    let sum = 0;
    for (const track of tracks) {
      track.writeJet(t, jet, 0);
      sum += jet[1] * jet[1];
    }
    return Math.sqrt(sum);
  };
  const integrate = (a: number, b: number): number => {
    const half = (b - a) / 2;
    return half * NODES.reduce((sum, x, i) => sum + WEIGHTS[i] * speed((a + b) / 2 + half * x), 0);
  };
  return times.slice(1).map((to, i) => {
    const from = times[i];
    const cuts = [from, to];
    for (const track of tracks) {
      for (const t of track.bounds) {
        const turns = track.period > 0 ? Math.ceil((from - t) / track.period) : 0;
        for (let u = t + turns * track.period; u < to; u += track.period) {
          if (u > from) cuts.push(u);
          if (!(track.period > 0)) break;
        }
      }
    }
    cuts.sort((a, b) => a - b);
    let length = 0;
    for (let k = 0; k + 1 < cuts.length; k++) {
      const step = (cuts[k + 1] - cuts[k]) / PARTS;
      for (let p = 0; step > 0 && p < PARTS; p++)
        length += integrate(cuts[k] + p * step, cuts[k] + (p + 1) * step);
    }
    return length;
  });
}
