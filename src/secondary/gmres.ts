/** What a Krylov solve reached. */
export interface Solved {
  readonly x: Float64Array;
  /** Size of what is left over, as a part of the right side's. */
  readonly residual: number;
  readonly steps: number;
}

function norm(x: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i] * x[i];
  return Math.sqrt(sum);
}

/**
 * Solves A x = b, A given by what it does, by GMRES without restarts (Saad & Schultz 1986): at most `most`
 * steps, or until the residual falls to `tolerance` of b.
 */
export function solveKrylov(
  apply: (x: Float64Array, out: Float64Array) => void,
  b: Float64Array,
  tolerance: number,
  most: number,
): Solved {
  const size = norm(b);
  const n = b.length;
  if (size === 0) return { x: new Float64Array(n), residual: 0, steps: 0 };
  const basis: Float64Array[] = [b.map((v) => v / size)];
  const columns: Float64Array[] = [];
  const cs: number[] = [];
  const sn: number[] = [];
  const g: number[] = [size];
  let steps = 0;
  while (steps < Math.min(most, n) && Math.abs(g[steps]) > tolerance * size) {
    const w = new Float64Array(n);
    apply(basis[steps], w);
    const h = new Float64Array(steps + 2);
    for (let j = 0; j <= steps; j++) {
      const v = basis[j];
      let dot = 0;
      for (let i = 0; i < n; i++) dot += w[i] * v[i];
      h[j] = dot;
      for (let i = 0; i < n; i++) w[i] -= dot * v[i];
    }
    const left = norm(w);
    h[steps + 1] = left;
    for (let j = 0; j < steps; j++) {
      const t = cs[j] * h[j] + sn[j] * h[j + 1];
      h[j + 1] = -sn[j] * h[j] + cs[j] * h[j + 1];
      h[j] = t;
    }
    const r = Math.hypot(h[steps], h[steps + 1]);
    if (r === 0) break;
    cs.push(h[steps] / r);
    sn.push(h[steps + 1] / r);
    h[steps] = r;
    g.push(-sn[steps] * g[steps]);
    g[steps] *= cs[steps];
    columns.push(h);
    steps++;
    if (left <= 1e-300) break;
    basis.push(w.map((v) => v / left));
  }
  const y = new Float64Array(steps);
  for (let i = steps - 1; i >= 0; i--) {
    let sum = g[i];
    for (let j = i + 1; j < steps; j++) sum -= columns[j][i] * y[j];
    y[i] = sum / columns[i][i];
  }
  const x = new Float64Array(n);
  for (let j = 0; j < steps; j++) for (let i = 0; i < n; i++) x[i] += y[j] * basis[j][i];
  return { x, residual: Math.abs(g[steps] ?? 0) / size, steps };
}
