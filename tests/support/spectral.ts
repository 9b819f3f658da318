/**
 * Second derivative of a periodic signal from its even samples over one period, by a plain discrete Fourier
 * sum: exact to rounding for signals with no more than `harmonics`, which is fewer than half the samples.
 * Knows nothing else of how the signal was made; what it has beyond those shows as a difference.
 */
export function spectralSecondDerivative(
  samples: readonly number[],
  period: number,
  harmonics: number,
): number[] {
  const n = samples.length;
  const omega = (2 * Math.PI) / period;
  const result = new Array<number>(n).fill(0);
  for (let k = 1; k <= harmonics; k++) {
    let a = 0;
    let b = 0;
    for (let i = 0; i < n; i++) {
      const angle = (2 * Math.PI * ((i * k) % n)) / n;
      a += samples[i] * Math.cos(angle);
      b += samples[i] * Math.sin(angle);
    }
    for (let i = 0; i < n; i++) {
      const angle = (2 * Math.PI * ((i * k) % n)) / n;
      result[i] -= ((k * omega) ** 2 * 2 * (a * Math.cos(angle) + b * Math.sin(angle))) / n;
    }
  }
  return result;
}

/** Mean of even samples over one period: the trapezoid rule, exact for short series. */
export function mean(values: readonly number[]): number {
  // Pairwise by compensated sum, so that the check is sharper than what it checks.
  let sum = 0;
  let lost = 0;
  for (const value of values) {
    const y = value - lost;
    const t = sum + y;
    lost = t - sum - y;
    sum = t;
  }
  return sum / values.length;
}
