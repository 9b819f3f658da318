import type { Series } from '../curves/series.js';
import type { Swing } from './chain.js';
import { solveKrylov } from './gmres.js';
import { prepareBalance } from './harmonic-balance.js';
import { driveSize, type PlaneDrive } from './strand-drive.js';

/** The small-angle loop of a chain. */
export interface SmallLoop {
  /** Each link's angle about its mean, in rad, over the driver's period. */
  readonly links: readonly Series[];
  /** What the equations leave over, as a part of the drive. */
  readonly residual: number;
  /** Size of the highest harmonic kept, as a part of the largest. */
  readonly tail: number;
}

const TOLERANCE = 3e-13;
const STEPS = 200;
/** Harmonics kept beyond the drive's own to begin with, and at most in all. */
const BEYOND = 14;
const MOST = 160;
/** A tail below this is rounding for every purpose here. */
const TAIL = 1e-10;

/**
 * The periodic small swing of a chain about where it hangs: linear equations whose stiffness follows the
 * felt weight, by harmonic balance. In modes and harmonics the constant part is divided out, and what
 * couples them is solved by GMRES; harmonics are added until the highest are below 1e-10 of the largest.
 */
export function solveSmall(swing: Swing, drive: PlaneDrive): SmallLoop {
  const still = driveSize(drive.alongRe, drive.alongIm) === 0 && swing.mean.every((x) => x === 0);
  if (still || drive.top === 0) return zeroLoop(swing.chain.links, drive.period * drive.parts);
  for (let top = drive.top + BEYOND; ; top = Math.ceil(1.5 * top)) {
    const loop = solveWith(swing, drive, top);
    if (loop.tail <= TAIL || 1.5 * top > MOST) return loop;
  }
}

function zeroLoop(links: number, period: number): SmallLoop {
  const links0 = Array.from({ length: links }, () => ({ period, mean: 0, drift: 0, cos: [], sin: [] }));
  return { links: links0, residual: 0, tail: 0 };
}

function solveWith(swing: Swing, drive: PlaneDrive, top: number): SmallLoop {
  const balance = prepareBalance(swing, drive, top, 0);
  const b = new Float64Array(balance.size);
  balance.setDriven(b);
  const apply = (x: Float64Array, out: Float64Array): void => {
    balance.respond(x, out);
    for (let i = 0; i < out.length; i++) out[i] += x[i];
  };
  const { x, residual } = solveKrylov(apply, b, TOLERANCE, STEPS);
  return { ...balance.readLoop(x), residual };
}
