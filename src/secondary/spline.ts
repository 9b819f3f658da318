/**
 * Second derivatives at the samples of the natural cubic spline through them, in value per s².
 * Between the samples they run straight, which is what an exact step takes.
 */
export function splineAccelerations(values: ArrayLike<number>, every: number): Float64Array {
  const n = values.length;
  const second = new Float64Array(n);
  const scratch = new Float64Array(n);
  for (let i = 1; i + 1 < n; i++) {
    const p = 2 + 0.5 * second[i - 1];
    const bend = (values[i + 1] - 2 * values[i] + values[i - 1]) / (every * every);
    scratch[i] = (3 * bend - 0.5 * scratch[i - 1]) / p;
    second[i] = -0.5 / p;
  }
  for (let i = n - 2; i >= 1; i--) second[i] = second[i] * second[i + 1] + scratch[i];
  second[0] = 0;
  if (n > 1) second[n - 1] = 0;
  return second;
}

/**
 * Value, velocity and acceleration of that spline at `x` sample widths from the first sample; at a sample, the
 * stretch after it is read, or with `before` the one that ends there.
 */
export function sampleSpline(
  values: ArrayLike<number>,
  second: Float64Array,
  every: number,
  x: number,
  out: Float64Array,
  at: number,
  before = false,
): void {
  const last = values.length - 1;
  const i = Math.max(0, Math.min(last - 1, before ? Math.ceil(x) - 1 : Math.floor(x)));
  const b = x - i;
  const a = 1 - b;
  const h2 = every * every;
  const [y0, y1, s0, s1] = [values[i], values[i + 1], second[i], second[i + 1]];
  out[at] = a * y0 + b * y1 + ((a * a * a - a) * s0 + (b * b * b - b) * s1) * (h2 / 6);
  out[at + 1] = (y1 - y0) / every + ((3 * b * b - 1) * s1 - (3 * a * a - 1) * s0) * (every / 6);
  out[at + 2] = a * s0 + b * s1;
}
