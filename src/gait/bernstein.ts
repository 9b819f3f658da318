/** Most control values that a polynomial here has. */
const MOST = 8;

const scratch = new Float64Array(MOST);

/**
 * Value at `u` in [0, 1] of the polynomial with the given Bernstein control values, by de Casteljau's
 * scheme; where the control values rise, so does the polynomial (Farin 2002, variation diminishing).
 */
export function bernstein(control: readonly number[], u: number): number {
  const count = control.length;
  for (let i = 0; i < count; i++) scratch[i] = control[i];
  for (let last = count - 1; last > 0; last--) {
    for (let i = 0; i < last; i++) scratch[i] += u * (scratch[i + 1] - scratch[i]);
  }
  return scratch[0];
}
