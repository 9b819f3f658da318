/** Shapes and squared angular frequencies of K φ = λ M φ, slowest first, with φᵀ M φ = 1. */
export interface Modes {
  readonly count: number;
  readonly squares: Float64Array;
  /** Shape k at link i is `shapes[i * count + k]`. */
  readonly shapes: Float64Array;
}

/** Most sweeps of the rotations; each squares what is left over. */
const SWEEPS = 30;

/** Lower triangle L with L Lᵀ = matrix, in place, by rows; false where it is not positive definite. */
export function factorise(matrix: Float64Array, n: number): boolean {
  for (let j = 0; j < n; j++) {
    for (let i = j; i < n; i++) {
      let sum = matrix[i * n + j];
      for (let k = 0; k < j; k++) sum -= matrix[i * n + k] * matrix[j * n + k];
      if (i === j) {
        if (!(sum > 0)) return false;
        matrix[j * n + j] = Math.sqrt(sum);
      } else {
        matrix[i * n + j] = sum / matrix[j * n + j];
      }
    }
  }
  return true;
}

/** Solves L Lᵀ x = b in place. */
export function solveFactorised(lower: Float64Array, n: number, b: Float64Array): void {
  for (let i = 0; i < n; i++) {
    let sum = b[i];
    for (let k = 0; k < i; k++) sum -= lower[i * n + k] * b[k];
    b[i] = sum / lower[i * n + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = b[i];
    for (let k = i + 1; k < n; k++) sum -= lower[k * n + i] * b[k];
    b[i] = sum / lower[i * n + i];
  }
}

/** Modes of a symmetric pair, M positive definite, by Cholesky and Jacobi rotations (Golub & Van Loan §8.5). */
export function findModes(stiffness: Float64Array, mass: Float64Array, n: number): Modes {
  const lower = Float64Array.from(mass);
  factorise(lower, n);
  // S = L⁻¹ K L⁻ᵀ.
  const s = Float64Array.from(stiffness);
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      let sum = s[i * n + j];
      for (let k = 0; k < i; k++) sum -= lower[i * n + k] * s[k * n + j];
      s[i * n + j] = sum / lower[i * n + i];
    }
  }
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      let sum = s[i * n + j];
      for (let k = 0; k < j; k++) sum -= lower[j * n + k] * s[i * n + k];
      s[i * n + j] = sum / lower[j * n + j];
    }
  }
  const turns = new Float64Array(n * n);
  for (let i = 0; i < n; i++) turns[i * n + i] = 1;
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    let off = 0;
    let on = 0;
    for (let i = 0; i < n; i++) {
      on += s[i * n + i] * s[i * n + i];
      for (let j = 0; j < i; j++) off += s[i * n + j] * s[i * n + j];
    }
    if (off <= 1e-32 * on) break;
    for (let p = 0; p < n - 1; p++) for (let q = p + 1; q < n; q++) rotate(s, turns, n, p, q);
  }
  const order = Array.from({ length: n }, (_, k) => k).sort((a, b) => s[a * n + a] - s[b * n + b]);
  const squares = Float64Array.from(order, (k) => s[k * n + k]);
  const shapes = new Float64Array(n * n);
  order.forEach((k, to) => {
    // φ = L⁻ᵀ times the column.
    for (let i = n - 1; i >= 0; i--) {
      let sum = turns[i * n + k];
      for (let j = i + 1; j < n; j++) sum -= lower[j * n + i] * shapes[j * n + to];
      shapes[i * n + to] = sum / lower[i * n + i];
    }
  });
  return { count: n, squares, shapes };
}

function rotate(s: Float64Array, turns: Float64Array, n: number, p: number, q: number): void {
  const apq = s[p * n + q];
  if (apq === 0) return;
  const theta = (s[q * n + q] - s[p * n + p]) / (2 * apq);
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const sn = t * c;
  for (let k = 0; k < n; k++) {
    const [a, b] = [s[k * n + p], s[k * n + q]];
    s[k * n + p] = c * a - sn * b;
    s[k * n + q] = sn * a + c * b;
  }
  for (let k = 0; k < n; k++) {
    const [a, b] = [s[p * n + k], s[q * n + k]];
    s[p * n + k] = c * a - sn * b;
    s[q * n + k] = sn * a + c * b;
    const [u, v] = [turns[k * n + p], turns[k * n + q]];
    turns[k * n + p] = c * u - sn * v;
    turns[k * n + q] = sn * u + c * v;
  }
}
