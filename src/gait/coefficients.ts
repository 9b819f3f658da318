/**
 * Measured constants of the walk model. Lengths over leg length (hip joint to floor), loads in BW, speeds
 * dimensionless, times as fractions of stance.
 *
 * Empirical: fitted by tools/calibrate.ts to the adults of Schreiber & Moissenet 2019 and the children of
 * Schwartz, Rozumalski & Trost 2008; residuals in docs/method/gait-residuals.md.
 */
export const COEFFICIENTS = {
  /** Speeds between which the terms vary; outside they stay. */
  range: { min: 0.12, max: 0.8 },
  /** Fraction of a stiff-legged walk's bob that is kept. */
  bobKept: 0.41,
  /** Phase in rad by which the load's first harmonic leads the middle of double support. */
  lead: { base: -0.431, slow: 2.2612, decay: 0.3 },
  /** Higher step harmonics 2…5 of the load at each of the three speeds `nodes`. */
  nodes: [0.2, 0.45, 0.7],
  cosTerms: [
    [0.01502, -0.0423, -0.16304],
    [0.01938, 0.01369, -0.06092],
    [0.02515, 0.04321, 0.04443],
    [0.00851, 0.0385, 0.00157],
  ],
  sinTerms: [
    [-0.01067, -0.00415, 0.07],
    [-0.01753, -0.02398, 0.00627],
    [0.0093, -0.00801, 0.02075],
    [0.00908, 0.00104, 0.02269],
  ],
  /** Bernstein control values of the landing foot's share at the slowest and the fastest speed. */
  handOver: {
    slow: [0, 0, 0.38, 0.41, 0.44, 0.5, 1, 1],
    fast: [0, 0, 0.46, 0.48, 0.5, 0.54, 1, 1],
  },
  /** Bernstein control values of the centre of pressure's progress along the foot. */
  pressure: [0, 0.015, 0.44, 0.99, 1],
  pivot: { forwardHeight: 1.485, sideHeight: 1.169, pressureTravel: 0.207, sideTravel: 0.045 },
  /** Aim of the force beyond the pivot's: size at the measured middle speed, its growth with speed, and span. */
  middleSpeed: 0.45,
  landing: { size: 0.2083, growth: 0.3469, until: 0.1703, untilGrowth: 0.2436 },
  pushOff: { size: 0.1592, growth: 0.0334, from: 0.6486 },
  sideLanding: { size: -0.1559, growth: -0.2088, until: 0.3199 },
  /** How many times the centre of mass's rise the root's is. */
  rootRise: 1.4,
};

/** A dimensionless speed held within the measured range. */
export function measuredSpeed(dimensionlessSpeed: number): number {
  const { min, max } = COEFFICIENTS.range;
  return Math.min(Math.max(dimensionlessSpeed, min), max);
}

/** Where a dimensionless speed lies in the measured range: 0 at its slow end, 1 at its fast one. */
export function speedFraction(dimensionlessSpeed: number): number {
  const { min, max } = COEFFICIENTS.range;
  return (measuredSpeed(dimensionlessSpeed) - min) / (max - min);
}
