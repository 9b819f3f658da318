/**
 * Measured constants of the walk model. Lengths over leg length (hip joint to floor), loads in BW, speeds
 * dimensionless, times as fractions of stance.
 *
 * Empirical: fitted to the adults of Schreiber & Moissenet 2019 and the children of Schwartz, Rozumalski &
 * Trost 2008 by `tools/calibrate/main.ts`.
 */
export const COEFFICIENTS = {
  /** Speeds between which the terms vary; outside they stay. */
  range: { min: 0.12, max: 0.8 },
  /** Fraction of a stiff-legged walk's bob that is kept. */
  bobKept: 0.4092,
  /** Phase in rad by which the load's first harmonic leads the middle of double support. */
  lead: { base: -0.4502, slow: 2.1536, decay: 0.3 },
  /** Higher step harmonics 2…6 of the load at each of the three speeds `nodes`. */
  nodes: [0.2, 0.45, 0.7],
  cosTerms: [
    [0.0078, -0.0558, -0.2164],
    [0.0162, 0.001, -0.0493],
    [0.0248, 0.0231, 0.0473],
    [0.0174, 0.0259, -0.0191],
    [0.0068, 0.0193, -0.001],
  ],
  sinTerms: [
    [0.0002, -0.0023, 0.0605],
    [-0.0203, -0.0174, 0.0111],
    [-0.001, -0.0143, 0.0235],
    [0.0027, -0.0035, 0.016],
    [-0.0005, 0.003, 0.002],
  ],
  /** Bernstein control values of the landing foot's share over a double support. */
  handOver: [0, 0, 0.3912, 0.427, 0.4959, 0.5438, 1, 1],
  pivot: {
    forwardHeight: 1.4706,
    sideHeight: 1.144,
    pressureTravel: 0.2037,
    sideTravel: 0.0383,
  },
  /** Aim of the force beyond the pivot's: size at `middleSpeed`, its growth with speed, and its span. */
  middleSpeed: 0.45,
  landing: {
    size: 0.1793,
    growth: 0.3809,
    until: 0.1659,
    untilGrowth: 0.1931,
  },
  pushOff: { size: 0.1454, growth: 0.0472, from: 0.6118 },
  sideLanding: { size: -0.1448, growth: -0.2166, until: 0.3632 },
  /** How many times the centre of mass's rise the root's is, at no speed and per dimensionless speed. */
  rootRise: { base: 1.0261, growth: 0.8064 },
};

/** A dimensionless speed held within the measured range. */
export function measuredSpeed(dimensionlessSpeed: number): number {
  const { min, max } = COEFFICIENTS.range;
  return Math.min(Math.max(dimensionlessSpeed, min), max);
}
