import { type Chain, swingOf } from './chain.js';
import { LENGTH, Spring, STEP_SIZE, setNumbers } from './spring.js';

/** Step lengths whose coefficients are kept. */
const KEPT = 4;
/** What all strands of one part share in one plane: shapes, pushes and the steps last used. */
export interface PlaneTables {
  readonly chain: Chain;
  readonly links: number;
  /** Angles from plumb in rad that the swings are about. */
  readonly mean: Float64Array;
  /** Shape k at link i is `shapes[i * links + k]`. */
  readonly shapes: Float64Array;
  /** Push on each mode per carrier's acceleration, down and along. */
  readonly pushDown: Float64Array;
  readonly pushAlong: Float64Array;
  /** Stiffness between the modes per acceleration, by rows. */
  readonly byDown: Float64Array;
  readonly byAlong: Float64Array;
  /** Modes of angles: the shapes' inverse, by rows. */
  readonly inverse: Float64Array;
  /** Angular frequency and damping ratio of each mode, and the numbers of its step. */
  readonly springs: readonly {
    readonly omega: number;
    readonly zeta: number;
    readonly numbers: Float64Array;
  }[];
  /** Whether the rest is off plumb. */
  readonly tilted: boolean;
  readonly quickest: number;
  /** Gravity in m/s², or hardly any. */
  readonly gravity: number;
  /** What the steppers are given, and where they keep what they are at. */
  readonly next: Float64Array;
  readonly work: Float64Array;
  /** Coefficients of each mode's step of the length in s that `given` begins with, eight by eight. */
  stepOf(given: Float64Array): Float64Array;
}

/** Prepares what the strands of a part share in one plane, about where they hang in the wind of a `speed` (m/s). */
export function preparePlane(chain: Chain, speed = 0): PlaneTables {
  const { modes, omegas, zetas, mean } = swingOf(chain, speed);
  const n = chain.links;
  const { shapes } = modes;
  const { first, second } = chain;
  const leans = mean.some((x, i) => x !== chain.rest[i]);
  const cosines = new Float64Array(n);
  const sines = new Float64Array(n);
  // The sine of the rest is its hold over its weight, which spares a second table.
  for (let i = 0; i < n; i++) {
    sines[i] = chain.gravity > 0 ? chain.hold[i] / (first[i] * chain.gravity) : 0;
    // Live followers do not lean; the engine's own functions would differ between engines.
    if (leans) sines[i] = Math.sin(mean[i]);
    const away = Math.abs(mean[i]) > Math.PI / 2 ? -1 : 1;
    cosines[i] = away * Math.sqrt(Math.max(0, (1 - sines[i]) * (1 + sines[i])));
  }
  const pushDown = new Float64Array(n);
  const pushAlong = new Float64Array(n);
  const byDown = new Float64Array(n * n);
  const byAlong = new Float64Array(n * n);
  const inverse = new Float64Array(n * n);
  for (let m = 0; m < n; m++) {
    for (let i = 0; i < n; i++) {
      const b = shapes[i * n + m] * first[i];
      pushDown[m] += b * sines[i];
      pushAlong[m] += b * cosines[i];
      for (let k = 0; k < n; k++) {
        byDown[m * n + k] += b * cosines[i] * shapes[i * n + k];
        byAlong[m * n + k] -= b * sines[i] * shapes[i * n + k];
        const a = second[i * n + k] * (cosines[i] * cosines[k] + sines[i] * sines[k]);
        inverse[m * n + k] += shapes[i * n + m] * a;
      }
    }
  }
  const springs = Array.from(omegas, (omega, m) => ({
    omega,
    zeta: zetas[m],
    numbers: new Spring(omega, zetas[m]).numbers,
  }));
  const steps = Array.from({ length: KEPT }, () => new Float64Array(STEP_SIZE * n));
  const lengths = new Float64Array(KEPT).fill(-1);
  let oldest = 0;
  return {
    chain,
    links: n,
    mean,
    shapes,
    pushDown,
    pushAlong,
    byDown,
    byAlong,
    inverse,
    springs,
    tilted: sines.some((x) => x !== 0),
    quickest: omegas[n - 1],
    gravity: Math.max(chain.gravity, 1e-6),
    next: new Float64Array(3),
    work: new Float64Array(6),
    stepOf(given) {
      const h = given[0];
      for (let k = 0; k < KEPT; k++) if (lengths[k] === h) return steps[k];
      const table = steps[oldest];
      lengths[oldest] = h;
      oldest = (oldest + 1) % KEPT;
      for (let m = 0; m < n; m++) {
        const { numbers } = springs[m];
        numbers[LENGTH] = h;
        setNumbers(numbers);
        for (let i = 0; i < STEP_SIZE; i++) table[STEP_SIZE * m + i] = numbers[i];
      }
      return table;
    },
  };
}
