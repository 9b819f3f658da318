/**
 * A vector function of time with its slope: writes values into `out[0…]`, then slopes after them. At a knot
 * it is asked from one side, where its slope may be another: `side` 1 for what leaves, −1 for what arrives.
 * Without a side only values are wanted.
 */
export type VectorFunction = (time: number, out: Float64Array, side: -1 | 0 | 1 | undefined) => void;

/** Keys of a cubic Hermite track: at each time values, and slopes on both sides. */
export interface HermiteTrack {
  readonly size: number;
  readonly times: readonly number[];
  /** For each time, `size` slopes arriving, `size` values, `size` slopes leaving. */
  readonly rows: readonly Float64Array[];
  /** Largest distance from the function in any component, measured at 15 times within each segment. */
  readonly error: number;
}

/** What to refit. */
export interface RefitOptions {
  /** Components of the function. */
  readonly size: number;
  /** Rising times that have to be keys; the function may bend at them and nowhere else. */
  readonly knots: readonly number[];
  /** Bound asked of the error, in the function's unit. */
  readonly tolerance: number;
}

/** Most halvings of one segment: 1/1024 of it, far past where the error of a smooth curve matters. */
const HALVINGS = 10;

/** Looks within a segment; odd, so that the middle is one of them. */
const LOOKS = 15;

/**
 * A function as cubic Hermite keys: the knots, and halvings between them until the tolerance is met or a
 * segment has been halved ten times. Where the function is a cubic between knots nothing is added and the
 * error is rounding.
 */
export function refitHermite(fn: VectorFunction, options: RefitOptions): HermiteTrack {
  const { size, knots, tolerance } = options;
  const segments: { from: Sample; to: Sample }[] = [];
  let error = 0;
  const look = (time: number, side: -1 | 0 | 1): Sample => {
    const out = new Float64Array(2 * size);
    fn(time, out, side);
    return { time, out };
  };
  const scratch = new Float64Array(2 * size);
  const missOf = (from: Sample, to: Sample): number => {
    let worst = 0;
    const length = to.time - from.time;
    for (let i = 1; i <= LOOKS; i++) {
      const u = i / (LOOKS + 1);
      fn(from.time + u * length, scratch, undefined);
      for (let k = 0; k < size; k++) {
        worst = Math.max(worst, Math.abs(hermite(from.out, to.out, size, k, u, length) - scratch[k]));
      }
    }
    return worst;
  };
  const add = (from: Sample, to: Sample, depth: number): void => {
    const miss = missOf(from, to);
    if (miss <= tolerance || depth === HALVINGS) {
      error = Math.max(error, miss);
      segments.push({ from, to });
      return;
    }
    const middle = look((from.time + to.time) / 2, 0);
    add(from, middle, depth + 1);
    add(middle, to, depth + 1);
  };
  for (let i = 1; i < knots.length; i++) add(look(knots[i - 1], 1), look(knots[i], -1), 0);
  return { size, error, ...joinSegments(segments, size) };
}

interface Sample {
  readonly time: number;
  readonly out: Float64Array;
}

/** The cubic through values and slopes of one component, at a fraction of the segment. */
function hermite(
  from: Float64Array,
  to: Float64Array,
  size: number,
  k: number,
  u: number,
  length: number,
): number {
  const [p, q] = [from[k], to[k]];
  const [a, b] = [from[size + k] * length, to[size + k] * length];
  return (((2 * (p - q) + a + b) * u + (3 * (q - p) - 2 * a - b)) * u + a) * u + p;
}

function joinSegments(segments: readonly { from: Sample; to: Sample }[], size: number) {
  const times: number[] = [];
  const rows: Float64Array[] = [];
  segments.forEach(({ from, to }, i) => {
    const before = segments[i - 1]?.to.out;
    const row = new Float64Array(3 * size);
    row.set((before ?? from.out).subarray(size), 0);
    row.set(from.out.subarray(0, size), size);
    row.set(from.out.subarray(size), 2 * size);
    times.push(from.time);
    rows.push(row);
    if (i < segments.length - 1) return;
    const last = new Float64Array(3 * size);
    last.set(to.out.subarray(size), 0);
    last.set(to.out.subarray(0, size), size);
    last.set(to.out.subarray(size), 2 * size);
    times.push(to.time);
    rows.push(last);
  });
  return { times, rows };
}
