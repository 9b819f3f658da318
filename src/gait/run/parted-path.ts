/** A stretch of a path: a polynomial in the elapsed fraction of its span. */
export interface PathPart {
  /** Where it begins, in s from phase 0. */
  readonly start: number;
  /** How long it lasts, in s. */
  readonly span: number;
  /** Coefficients of the elapsed fraction's powers 0, 1, 2, … */
  readonly powers: readonly number[];
}

/**
 * A value that repeats after its period and gains something over it, as polynomials that join. Plain data that
 * survives JSON.
 */
export interface PartedPath {
  /** Length of one period, in s. */
  readonly period: number;
  /** What the value gains over one period; 0 for a closed loop. */
  readonly gain: number;
  /** In order of time, from 0 to the period without gaps. */
  readonly parts: readonly PathPart[];
}

/** Writes value, first and second derivative at `t` s into `out[at…at + 2]`; allocates nothing. */
export function samplePath(path: PartedPath, t: number, out: Float64Array, at = 0): void {
  const { period, gain, parts } = path;
  const turns = Math.floor(t / period);
  const within = Math.max(0, t - turns * period);
  let i = parts.length - 1;
  while (i > 0 && parts[i].start > within) i--;
  const { start, span, powers } = parts[i];
  const u = (within - start) / span;
  let value = 0;
  let slope = 0;
  let bend = 0;
  for (let k = powers.length - 1; k >= 0; k--) {
    bend = bend * u + 2 * slope;
    slope = slope * u + value;
    value = value * u + powers[k];
  }
  out[at] = value + turns * gain;
  out[at + 1] = slope / span;
  out[at + 2] = bend / (span * span);
}

/** The powers of a polynomial's integral from 0. */
export function integratePowers(powers: readonly number[]): number[] {
  return [0, ...powers.map((c, i) => c / (i + 1))];
}

/** Value of a polynomial at `u`. */
export function powersAt(powers: readonly number[], u: number): number {
  return powers.reduceRight((sum, c) => sum * u + c, 0);
}
