import { solveDense } from './find-loop.js';

/** A fixed point and how near to one it is. */
export interface FixedPoint {
  readonly state: Float64Array;
  /** Largest change of any number over one more turn of the map, over `scale`. */
  readonly residual: number;
  readonly turns: number;
}

/** Earlier turns that each new guess is mixed from. */
const MEMORY = 12;

/**
 * The fixed point of a contracting map by Anderson mixing (Walker & Ni 2011): at most `most` turns, or until
 * a turn changes nothing by more than `tolerance` times `scale`.
 */
export function findFixedPoint(
  map: (state: Float64Array) => void,
  guess: Float64Array,
  scale: number,
  tolerance: number,
  most: number,
): FixedPoint {
  const n = guess.length;
  let x = Float64Array.from(guess);
  const xs: Float64Array[] = [];
  const fs: Float64Array[] = [];
  let best = { state: x, residual: Number.POSITIVE_INFINITY, turns: 0 };
  for (let turn = 1; turn <= most; turn++) {
    const image = Float64Array.from(x);
    map(image);
    const f = image.map((v, i) => v - x[i]);
    const residual = f.reduce((top, v) => Math.max(top, Math.abs(v)), 0) / scale;
    if (residual < best.residual) best = { state: x, residual, turns: turn };
    if (residual <= tolerance) return best;
    xs.push(x);
    fs.push(f);
    if (xs.length > MEMORY + 1) {
      xs.shift();
      fs.shift();
    }
    const m = xs.length - 1;
    const next = Float64Array.from(image);
    if (m > 0) {
      // Least squares over differences to the newest turn, by normal equations kept from being singular.
      const df = Array.from({ length: m }, (_, j) => f.map((v, i) => v - fs[j][i]));
      const normal = new Float64Array(m * m);
      const right = new Float64Array(m);
      for (let a = 0; a < m; a++) {
        for (let b = 0; b < m; b++) normal[a * m + b] = df[a].reduce((sum, v, i) => sum + v * df[b][i], 0);
        right[a] = df[a].reduce((sum, v, i) => sum + v * f[i], 0);
      }
      for (let a = 0; a < m; a++) normal[a * m + a] *= 1 + 1e-12;
      if (solveDense(normal, right)) {
        for (let j = 0; j < m; j++) {
          const by = right[j];
          for (let i = 0; i < n; i++) next[i] -= by * (x[i] + f[i] - xs[j][i] - fs[j][i]);
        }
      }
    }
    x = next.every(Number.isFinite) ? next : image;
  }
  return best;
}
