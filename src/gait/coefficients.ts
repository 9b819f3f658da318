/**
 * Measured constants of the walk model. Lengths over leg length (hip joint to floor), loads in BW, speeds
 * dimensionless, times as fractions of stance.
 *
 * Empirical: fitted to the adults of Schreiber & Moissenet 2019 and the children of Schwartz, Rozumalski &
 * Trost 2008; the script that fits them is not in the repository yet.
 */
export const COEFFICIENTS = {
  /** Speeds between which the terms vary; outside they stay. */
  range: { min: 0.12, max: 0.8 },
  /** Fraction of a stiff-legged walk's bob that is kept. */
  bobKept: 0.4,
  /** Phase in rad by which the load's first harmonic leads the middle of double support. */
  lead: { base: -0.4603, slow: 2.3597, decay: 0.3 },
  /** Higher step harmonics 2…5 of the load at each of the three speeds `nodes`. */
  nodes: [0.2, 0.45, 0.7],
  cosTerms: [
    [0.0118, -0.0385, -0.1846],
    [0.0199, 0.0137, -0.0531],
    [0.0261, 0.043, 0.0411],
    [0.0077, 0.0401, -0.0078],
  ],
  sinTerms: [
    [-0.0107, -0.005, 0.0556],
    [-0.0191, -0.0236, 0.0038],
    [0.0096, -0.0087, 0.028],
    [0.0077, 0.0001, 0.0205],
  ],
  /** Bernstein control values of the landing foot's share over a double support. */
  handOver: [0, 0, 0.4257, 0.4488, 0.4721, 0.5095, 1, 1],
  pivot: {
    forwardHeight: 1.4793,
    sideHeight: 1.1696,
    pressureTravel: 0.2041,
    sideTravel: 0.0454,
  },
  /** Aim of the force beyond the pivot's: size at `middleSpeed`, its growth with speed, and its span. */
  middleSpeed: 0.45,
  landing: {
    size: 0.19,
    growth: 0.4329,
    until: 0.1701,
    untilGrowth: 0.2017,
  },
  pushOff: { size: 0.1534, growth: 0.0677, from: 0.6492 },
  sideLanding: { size: -0.1566, growth: -0.21, until: 0.3196 },
  /** How many times the centre of mass's rise the root's is, at no speed and per dimensionless speed. */
  rootRise: { base: 1.09, growth: 0.85 },
};

/** A dimensionless speed held within the measured range. */
export function measuredSpeed(dimensionlessSpeed: number): number {
  const { min, max } = COEFFICIENTS.range;
  return Math.min(Math.max(dimensionlessSpeed, min), max);
}
