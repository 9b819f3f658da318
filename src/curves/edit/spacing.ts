import { errorOf, numberProblem, refuseAny, requireArray } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve } from '../curve.js';
import { Track } from '../track.js';

/** Nodes and weights of five-point Gauss–Legendre quadrature on [−1, 1] (Abramowitz & Stegun 1964, table 25.4). */
const NODES = [0, 0.5384693101056831, -0.5384693101056831, 0.906179845938664, -0.906179845938664];
const WEIGHTS = [
  0.5688888888888889, 0.47862867049936647, 0.47862867049936647, 0.23692688505618908, 0.23692688505618908,
];

/** Parts into which the time between two samples is cut at each key, and then evenly, to begin with. */
const PARTS = 4;

/** Share of the distance between two samples that a halving has to change to be worth another, and the most of them. */
const SETTLED = 1e-11;
const DEEPEST = 40;

/** Most halvings between two samples: beside a vertical tangent rounding would ask for more. */
const MOST_HALVINGS = 2000;

/** Most keys, in all cycles together, that one call looks at. */
const MOST_CUTS = 1e6;

/**
 * How far a point travels along its path between one time and the next, in the curves' unit: the spacing.
 *
 * The speed √(Σ ẋᵢ²) is integrated by five-point Gauss quadrature, four parts between any two keys, which are
 * halved where that still changes something, 40 times one inside the other and 2000 in all at most; what is left is measured as a straight line.
 * Relative error about 1e-9, beside vertical tangents 1e-4. A jump is no way travelled.
 *
 * @param curves - the path's coordinates, one curve each
 * @param times - times in s, rising
 * @returns one distance fewer than there are times
 * @throws RangeError or TypeError where a curve or a time is not usable, RangeError where more than 10⁶ keys are passed
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
  const chord = (a: number, b: number): number => {
    // The value at the end of a part is that before a jump there.
    const before = b - Math.min((b - a) / 2, 2 * Number.EPSILON * Math.abs(b));
    let sum = 0;
    for (const track of tracks) {
      track.writeValue(a, jet, 0);
      track.writeValue(before, jet, 1);
      sum += (jet[1] - jet[0]) ** 2;
    }
    return Math.sqrt(sum);
  };
  const gauss = (a: number, b: number): number => {
    const half = (b - a) / 2;
    return half * NODES.reduce((sum, x, i) => sum + WEIGHTS[i] * speed((a + b) / 2 + half * x), 0);
  };
  let halvings = 0;
  const integrate = (a: number, b: number, whole: number, settled: number, depth: number): number => {
    const middle = (a + b) / 2;
    if (depth === DEEPEST || halvings === MOST_HALVINGS || !(middle > a && middle < b)) return chord(a, b);
    halvings++;
    const [left, right] = [gauss(a, middle), gauss(middle, b)];
    if (Math.abs(left + right - whole) <= settled) return left + right;
    return integrate(a, middle, left, settled, depth + 1) + integrate(middle, b, right, settled, depth + 1);
  };
  const stops = cutsBetween(tracks, times);
  return times.slice(1).map((to, i) => {
    const from = times[i];
    const cuts = [from, ...stops.filter((t) => t > from && t < to), to];
    const parts: [number, number][] = [];
    for (let k = 0; k + 1 < cuts.length; k++) {
      const at = (p: number): number =>
        p === PARTS ? cuts[k + 1] : cuts[k] + (p * (cuts[k + 1] - cuts[k])) / PARTS;
      for (let p = 0; p < PARTS; p++) if (at(p + 1) > at(p)) parts.push([at(p), at(p + 1)]);
    }
    halvings = 0;
    const settled = SETTLED * parts.reduce((sum, [a, b]) => sum + chord(a, b), 0);
    return parts.reduce((sum, [a, b]) => sum + integrate(a, b, gauss(a, b), settled, 0), 0);
  });
}

/** Times of keys, in all cycles, between the first and the last of some times, in order. */
function cutsBetween(tracks: readonly Track[], times: readonly number[]): number[] {
  const [from, to] = [times[0], times[times.length - 1]];
  const cuts = new Set<number>();
  for (const { bounds, period } of tracks) {
    const cycles = period > 0 ? (to - from) / period : 1;
    if (cycles * bounds.length > MOST_CUTS) {
      const rule = `must pass at most ${MOST_CUTS} keys`;
      throw errorOf('arcSpacing', {
        field: 'times',
        rule,
        got: `${Math.round(cycles * bounds.length)}`,
        kind: 'range',
      });
    }
    for (const bound of bounds) {
      const first = period > 0 ? Math.ceil((from - bound) / period) : 0;
      const last = period > 0 ? Math.floor((to - bound) / period) : 0;
      // Counted from 0: a number of cycles past 2⁵³ would not rise by 1.
      for (let n = 0; n <= last - first; n++) cuts.add(bound + (first + n) * period);
    }
  }
  return [...cuts].sort((a, b) => a - b);
}
