/** Width of the bands beside the diagonal: three numbers at each node meet those at its neighbours. */
export const BAND = 5;

/**
 * Solves a symmetric positive definite system whose matrix has entries only within `BAND` of its diagonal,
 * by Cholesky's factors. `bands[i * (BAND + 1) + j]` is the entry in row i and column i − j.
 *
 * @param right - the right side; replaced by the solution
 */
export function solveBanded(bands: Float64Array, right: Float64Array): void {
  const count = right.length;
  const wide = BAND + 1;
  for (let i = 0; i < count; i++) {
    for (let j = Math.max(0, i - BAND); j <= i; j++) {
      let sum = bands[i * wide + i - j];
      for (let k = Math.max(0, i - BAND); k < j; k++) {
        if (j - k <= BAND) sum -= bands[i * wide + i - k] * bands[j * wide + j - k];
      }
      bands[i * wide + i - j] = i === j ? Math.sqrt(sum) : sum / bands[j * wide];
    }
  }
  for (let i = 0; i < count; i++) {
    for (let k = Math.max(0, i - BAND); k < i; k++) right[i] -= bands[i * wide + i - k] * right[k];
    right[i] /= bands[i * wide];
  }
  for (let i = count - 1; i >= 0; i--) {
    for (let k = i + 1; k <= Math.min(count - 1, i + BAND); k++)
      right[i] -= bands[k * wide + k - i] * right[k];
    right[i] /= bands[i * wide];
  }
}
