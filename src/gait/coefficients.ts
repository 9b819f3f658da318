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
  bobKept: 0.4115,
  /** Phase in rad by which the load's first harmonic leads the middle of double support. */
  lead: { base: -0.4275, slow: 2.1764, decay: 0.3 },
  /** Higher step harmonics 2…5 of the load at each of the three speeds `nodes`. */
  nodes: [0.2, 0.45, 0.7],
  cosTerms: [
    [0.0159, -0.0399, -0.1906],
    [0.0161, 0.0138, -0.0643],
    [0.0259, 0.0423, 0.0384],
    [0.0157, 0.0383, -0.0058],
  ],
  sinTerms: [
    [-0.0059, -0.0047, 0.0587],
    [-0.0196, -0.0213, 0.0111],
    [0.0023, -0.0073, 0.0142],
    [0.0049, -0.0003, 0.0105],
  ],
  /** Bernstein control values of the landing foot's share over a double support. */
  handOver: [0, 0, 0.431, 0.4514, 0.4715, 0.4972, 1, 1],
  pivot: {
    forwardHeight: 1.4573,
    sideHeight: 1.1418,
    pressureTravel: 0.2015,
    sideTravel: 0.0397,
  },
  /** Aim of the force beyond the pivot's: size at `middleSpeed`, its growth with speed, and its span. */
  middleSpeed: 0.45,
  landing: {
    size: 0.1967,
    growth: 0.3232,
    until: 0.1738,
    untilGrowth: 0.2046,
  },
  pushOff: { size: 0.1362, growth: 0.0125, from: 0.6053 },
  sideLanding: { size: -0.1463, growth: -0.2188, until: 0.3604 },
  /** How many times the centre of mass's rise the root's is, at no speed and per dimensionless speed. */
  rootRise: { base: 1.0261, growth: 0.8064 },
};

/** A dimensionless speed held within the measured range. */
export function measuredSpeed(dimensionlessSpeed: number): number {
  const { min, max } = COEFFICIENTS.range;
  return Math.min(Math.max(dimensionlessSpeed, min), max);
}
