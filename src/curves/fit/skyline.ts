/**
 * A symmetric positive definite system stored row by row from each row's first entry to its diagonal.
 *
 * Chains of keys give narrow bands; the one wide row block of a cycle's seam costs no fill elsewhere.
 * Cholesky without pivoting; method: George & Liu 1981, Computer Solution of Large Sparse Positive Definite
 * Systems, ch. 4 (envelope).
 */
export class Skyline {
  readonly size: number;
  /** First column of each row. */
  readonly first: Int32Array;
  /** Where each row begins, shifted so that entry (r, c) stands at `base[r] + c`. */
  readonly base: Int32Array;
  readonly entries: Float64Array;
  private readonly factor: Float64Array;

  constructor(first: Int32Array) {
    this.size = first.length;
    this.first = first;
    this.base = new Int32Array(this.size);
    let used = 0;
    for (let r = 0; r < this.size; r++) {
      this.base[r] = used - first[r];
      used += r - first[r] + 1;
    }
    this.entries = new Float64Array(used);
    this.factor = new Float64Array(used);
  }

  clear(): void {
    this.entries.fill(0);
  }

  /**
   * Solves (M + damping · diag) x = rhs into `x`; false where the matrix is not positive definite.
   * `floor` is added to each diagonal entry's scale, so that an idle unknown stays where it is.
   */
  solve(damping: number, rhs: Float64Array, x: Float64Array): boolean {
    const { size, first, base, entries, factor } = this;
    for (let r = 0; r < size; r++) {
      const from = first[r];
      const br = base[r];
      for (let c = from; c < r; c++) {
        const bc = base[c];
        let sum = entries[br + c];
        for (let k = Math.max(from, first[c]); k < c; k++) sum -= factor[br + k] * factor[bc + k];
        factor[br + c] = sum / factor[bc + c];
      }
      const diagonal = entries[br + r];
      let sum = diagonal * (1 + damping);
      for (let k = from; k < r; k++) sum -= factor[br + k] * factor[br + k];
      if (!(sum > diagonal * 1e-14)) return false;
      factor[br + r] = Math.sqrt(sum);
    }
    for (let r = 0; r < size; r++) {
      let sum = rhs[r];
      for (let k = first[r]; k < r; k++) sum -= factor[base[r] + k] * x[k];
      x[r] = sum / factor[base[r] + r];
    }
    for (let r = size - 1; r >= 0; r--) {
      x[r] /= factor[base[r] + r];
      for (let k = first[r]; k < r; k++) x[k] -= factor[base[r] + k] * x[r];
    }
    return true;
  }
}
