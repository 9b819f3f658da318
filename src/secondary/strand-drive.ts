import type { Series } from '../curves/series.js';
import type { DriverReader } from './read-driver.js';

/**
 * What pushes a chain in one plane, as complex harmonics c_k of a period: x(t) = Σ c_k e^{ikwt} over k of
 * both signs, c₋ₖ the conjugate of cₖ, c₀ = 0. Acceleration of the carrier, and α times its velocity where
 * still air drags.
 */
export interface PlaneDrive {
  /** Period in s: of the shortest cycle that both repeat after. */
  readonly period: number;
  /** How many of those the driver's own period holds. */
  readonly parts: number;
  /** Highest harmonic. */
  readonly top: number;
  readonly downRe: Float64Array;
  readonly downIm: Float64Array;
  readonly alongRe: Float64Array;
  readonly alongIm: Float64Array;
  /** Steady push of the air along the plane in m/s², from travel. */
  readonly steady: number;
}

const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));

/** Terms below this part of a series' largest do not count. */
const SILENT = 1e-15;

function harmonics(path: Series): number[] {
  const sizes = path.cos.map((a, k) => Math.hypot(a, path.sin[k]) * (k + 1) ** 2);
  const most = sizes.reduce((top, x) => Math.max(top, x), 0);
  return sizes.flatMap((size, k) => (size > SILENT * most ? [k + 1] : []));
}

/** The drive of a chain in one plane by a carrier that repeats. */
export function readPlaneDrive(reader: DriverReader, plane: 'forward' | 'side', alpha: number): PlaneDrive {
  const height = reader.loop?.height as Series;
  const flat = reader.loop?.[plane] as Series;
  const present = [...harmonics(height), ...harmonics(flat)];
  const parts = present.reduce((d, k) => divisor(d, k), 0) || 1;
  const top = Math.max(0, ...present) / parts;
  const period = reader.duration / parts;
  const fill = (path: Series): [Float64Array, Float64Array] => {
    const re = new Float64Array(top + 1);
    const im = new Float64Array(top + 1);
    for (let k = 1; k <= top; k++) {
      const a = path.cos[k * parts - 1] ?? 0;
      const b = path.sin[k * parts - 1] ?? 0;
      const w = (2 * Math.PI * k) / period;
      // (a − ib)/2 times −w² + iαw.
      re[k] = (-w * w * a + alpha * w * b) / 2;
      im[k] = (w * w * b + alpha * w * a) / 2;
    }
    return [re, im];
  };
  const [downRe, downIm] = fill(height);
  const [alongRe, alongIm] = fill(flat);
  const steady = (alpha * flat.drift) / flat.period;
  return { period, parts, top, downRe, downIm, alongRe, alongIm, steady };
}

/** Largest possible size of a drive in m/s². */
export function driveSize(re: Float64Array, im: Float64Array): number {
  let sum = 0;
  for (let k = 1; k < re.length; k++) sum += 2 * Math.hypot(re[k], im[k]);
  return sum;
}

/** A drive's value at time `t` (s), in m/s². */
export function driveAt(re: Float64Array, im: Float64Array, period: number, t: number): number {
  let sum = 0;
  for (let k = 1; k < re.length; k++) {
    const x = (2 * Math.PI * k * t) / period;
    sum += 2 * (re[k] * Math.cos(x) - im[k] * Math.sin(x));
  }
  return sum;
}
