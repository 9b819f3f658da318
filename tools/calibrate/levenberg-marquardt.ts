/** What the search may do. */
export interface SearchOptions {
  /** Most outer steps, each of which takes one Jacobian. */
  readonly steps: number;
  /** Stops when a step lowers the cost by less than this fraction of it. */
  readonly enough: number;
  readonly onStep?: (step: number, cost: number) => void;
}

/** Where the search ended. */
export interface Found {
  readonly at: number[];
  /** Half the sum of the squares. */
  readonly cost: number;
}

/** Step of the forward differences, over the size of the parameter but at least 0.1 of that. */
const DIFFERENCE = 1e-5;

/** Most times that one step is damped harder. */
const MOST_DAMPINGS = 12;

const costOf = (residuals: Float64Array): number => residuals.reduce((sum, r) => sum + r * r, 0) / 2;

/**
 * The least squares of a vector of residuals by Levenberg's and Marquardt's damped steps, with a numerical
 * Jacobian. At most `steps` steps, each damped at most 12 times.
 */
export function searchLeastSquares(
  residualsAt: (at: readonly number[]) => Float64Array,
  start: readonly number[],
  options: SearchOptions,
): Found {
  let at = [...start];
  let residuals = residualsAt(at);
  let cost = costOf(residuals);
  let damping = 1e-2;
  for (let step = 1; step <= options.steps; step++) {
    const { square, slope } = normalEquations(residualsAt, at, residuals);
    const before = cost;
    for (let tries = 0; tries < MOST_DAMPINGS; tries++) {
      const move = solveDamped(square, slope, damping);
      const next = at.map((x, i) => x - move[i]);
      const nextResiduals = residualsAt(next);
      const nextCost = costOf(nextResiduals);
      if (nextCost < cost) {
        [at, residuals, cost] = [next, nextResiduals, nextCost];
        damping /= 5;
        break;
      }
      damping *= 4;
    }
    options.onStep?.(step, cost);
    if (before - cost < options.enough * before) break;
  }
  return { at, cost };
}

function normalEquations(
  residualsAt: (at: readonly number[]) => Float64Array,
  at: readonly number[],
  residuals: Float64Array,
): { square: number[][]; slope: number[] } {
  const columns = at.map((x, i) => {
    const h = DIFFERENCE * Math.max(Math.abs(x), 0.1);
    const moved = residualsAt(at.map((y, j) => (j === i ? y + h : y)));
    return moved.map((r, k) => (r - residuals[k]) / h);
  });
  const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, x, k) => sum + x * b[k], 0);
  return {
    square: columns.map((a) => columns.map((b) => dot(a, b))),
    slope: columns.map((a) => dot(a, residuals)),
  };
}

/** Solves (square + damping · its diagonal) x = slope by Cholesky's factors. */
function solveDamped(square: readonly number[][], slope: readonly number[], damping: number): number[] {
  const n = slope.length;
  const largest = Math.max(...square.map((row, i) => row[i]));
  const lower = square.map((row) => [...row]);
  for (let i = 0; i < n; i++) {
    // The floor keeps a parameter that has no effect yet where it is.
    lower[i][i] += damping * lower[i][i] + 1e-12 * largest + 1e-9;
    for (let j = 0; j <= i; j++) {
      let sum = lower[i][j];
      for (let k = 0; k < j; k++) sum -= lower[i][k] * lower[j][k];
      lower[i][j] = i === j ? Math.sqrt(Math.max(sum, 1e-30)) : sum / lower[j][j];
    }
  }
  const x = [...slope];
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] -= lower[i][k] * x[k];
    x[i] /= lower[i][i];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] -= lower[k][i] * x[k];
    x[i] /= lower[i][i];
  }
  return x;
}
