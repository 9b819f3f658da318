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
