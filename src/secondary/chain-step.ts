import type { Chain } from './chain.js';
import { chainResidual, chainTangent, createChainScratch } from './chain-forces.js';
import { factorise, solveFactorised } from './modes.js';

/** Most Newton steps within one step in time. */
const CORRECTIONS = 12;
/** Change of speed at which a step counts as solved, in rad/s against 1 + the speeds. */
const SOLVED = 1e-12;

/** Steps a chain in one plane through its full equations. */
export interface ChainStepper {
  readonly angles: Float64Array;
  readonly speeds: Float64Array;
  /** One implicit midpoint step of `h` s, under the carrier's acceleration at its middle. */
  step(h: number, down: number, along: number): void;
}

/**
 * A stepper of the full equations by the implicit midpoint rule: second order, no step too long to be
 * stable about rest. Newton with the matrix of the step's middle, 12 corrections at most.
 */
export function createChainStepper(chain: Chain): ChainStepper {
  const n = chain.links;
  const angles = Float64Array.from(chain.rest);
  const speeds = new Float64Array(n);
  const middle = new Float64Array(n);
  const speed = new Float64Array(n);
  const acceleration = new Float64Array(n);
  const residual = new Float64Array(n);
  const matrix = new Float64Array(n * n);
  const scratch = createChainScratch(n);
  return {
    angles,
    speeds,
    step(h, down, along) {
      speed.set(speeds);
      for (let k = 0; k < CORRECTIONS; k++) {
        let size = 1;
        for (let i = 0; i < n; i++) {
          middle[i] = angles[i] + 0.5 * h * speed[i];
          acceleration[i] = (2 * (speed[i] - speeds[i])) / h;
          size = Math.max(size, Math.abs(speed[i]));
        }
        chainResidual(chain, middle, speed, acceleration, down, along, residual, scratch);
        // The matrix of the first two looks serves the rest of them.
        if (k < 2) {
          const by = { mass: 2 / h, drag: 1, stiffness: 0.5 * h };
          chainTangent(chain, middle, down, along, by, matrix, scratch);
          factorise(matrix, n);
        }
        solveFactorised(matrix, n, residual);
        let change = 0;
        for (let i = 0; i < n; i++) {
          speed[i] -= residual[i];
          change = Math.max(change, Math.abs(residual[i]));
        }
        if (change <= SOLVED * size) break;
      }
      for (let i = 0; i < n; i++) {
        angles[i] += h * speed[i];
        speeds[i] = 2 * speed[i] - speeds[i];
      }
    },
  };
}
