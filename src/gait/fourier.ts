import type { Series } from '../curves/series.js';

/** Samples over one period that projections are taken on; a power of two, for the table's sake. */
export const PROJECTION_SAMPLES = 64;

const cosTable = Float64Array.from({ length: PROJECTION_SAMPLES }, (_, i) =>
  Math.cos((2 * Math.PI * i) / PROJECTION_SAMPLES),
);

/**
 * Cosine and sine terms 1…count of a signal given at `PROJECTION_SAMPLES` even phases from 0, by the
 * discrete Fourier sum; exact for what has no harmonic at or above half the sample count.
 *
 * @param only - `odd` or `even` keeps the harmonics of that parity and sets the others to exactly 0
 */
export function projectHarmonics(
  samples: Float64Array,
  count: number,
  only?: 'odd' | 'even',
): { cos: number[]; sin: number[] } {
  const n = PROJECTION_SAMPLES;
  const cos = new Array<number>(count).fill(0);
  const sin = new Array<number>(count).fill(0);
  for (let k = 1; k <= count; k++) {
    if (only && (k % 2 === 0) !== (only === 'even')) continue;
    let a = 0;
    let b = 0;
    for (let i = 0; i < n; i++) {
      const at = (i * k) & (n - 1);
      a += samples[i] * cosTable[at];
      b += samples[i] * cosTable[(at + n - n / 4) & (n - 1)];
    }
    cos[k - 1] = (2 * a) / n;
    sin[k - 1] = (2 * b) / n;
  }
  return { cos, sin };
}

/** Cosines and sines of one turn in even steps. */
interface Turn {
  readonly cos: Float64Array;
  readonly sin: Float64Array;
}

/** Longest turn that is kept for the next call. */
const KEPT = 4096;

let last: Turn | undefined;

function turnOf(samples: number): Turn {
  if (last?.cos.length === samples) return last;
  const angle = (i: number): number => (2 * Math.PI * i) / samples;
  const turn = {
    cos: Float64Array.from({ length: samples }, (_, i) => Math.cos(angle(i))),
    sin: Float64Array.from({ length: samples }, (_, i) => Math.sin(angle(i))),
  };
  if (samples <= KEPT) last = turn;
  return turn;
}

const projectionTurn = turnOf(PROJECTION_SAMPLES);

// Kept between calls: a long typed array costs more to make than to fill.
let oddScratch = new Float64Array(PROJECTION_SAMPLES);
let evenScratch = new Float64Array(PROJECTION_SAMPLES);

/**
 * Writes the values of a series' periodic part, mean and oscillation without drift, at as many even phases
 * from 0 as `out` is long. One table of cosines serves every harmonic, and half a stride later the even
 * harmonics are the same and the odd ones are turned over.
 */
export function sampleOnGrid({ mean, cos, sin }: Series, out: Float64Array): void {
  const samples = out.length;
  const turn = samples === PROJECTION_SAMPLES ? projectionTurn : turnOf(samples);
  const halves = samples % 2 === 0;
  const count = halves ? samples / 2 : samples;
  if (oddScratch.length < count) {
    oddScratch = new Float64Array(count);
    evenScratch = new Float64Array(count);
  }
  const odd = oddScratch;
  const even = evenScratch;
  for (let i = 0; i < count; i++) {
    odd[i] = 0;
    even[i] = mean;
  }
  for (let k = 1; k <= cos.length; k++) {
    const a = cos[k - 1];
    const b = sin[k - 1];
    if (a !== 0 || b !== 0) addHarmonic(a, b, k % samples, turn, k % 2 === 0 ? even : odd, count);
  }
  for (let i = 0; i < count; i++) {
    out[i] = even[i] + odd[i];
    if (halves) out[i + count] = even[i] - odd[i];
  }
}

function addHarmonic(
  a: number,
  b: number,
  step: number,
  { cos, sin }: Turn,
  values: Float64Array,
  count: number,
): void {
  const samples = cos.length;
  for (let i = 0, at = 0; i < count; i++) {
    values[i] += a * cos[at] + b * sin[at];
    at += step;
    if (at >= samples) at -= samples;
  }
}
