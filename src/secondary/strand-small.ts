import type { Series } from '../curves/series.js';
import type { Swing } from './chain.js';
import { solveKrylov } from './gmres.js';
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
  const { chain, mean, modes, omegas, zetas } = swing;
  const n = chain.links;
  const { shapes } = modes;
  const rows = top + 1;
  const w1 = (2 * Math.PI) / drive.period;
  // The answer of each mode to each harmonic: 1 / (ω² − w² + 2iζωw).
  const hRe = new Float64Array(n * rows);
  const hIm = new Float64Array(n * rows);
  for (let k = 0; k < rows; k++) {
    const w = k * w1;
    for (let m = 0; m < n; m++) {
      const re = (omegas[m] - w) * (omegas[m] + w);
      const im = 2 * zetas[m] * omegas[m] * w;
      const size = re * re + im * im;
      hRe[k * n + m] = re / size;
      hIm[k * n + m] = -im / size;
    }
  }
  const weigh = Float64Array.from(mean, (x, i) => chain.first[i] * Math.cos(x));
  const tilt = Float64Array.from(mean, (x, i) => chain.first[i] * Math.sin(x));
  const tilted = tilt.some((x) => x !== 0);
  const half = n * rows;
  const linkRe = new Float64Array(half);
  const linkIm = new Float64Array(half);
  const outRe = new Float64Array(half);
  const outIm = new Float64Array(half);
  /** Adds weight_i Σ_j c_j x_(k−j) to the row sums. */
  const convolve = (cRe: Float64Array, cIm: Float64Array, weight: Float64Array, sign: number): void => {
    for (let j = 1; j < cRe.length; j++) {
      const [a, b] = [sign * cRe[j], sign * cIm[j]];
      if (a === 0 && b === 0) continue;
      for (let k = 0; k < rows; k++) {
        const at = k * n;
        const from = Math.abs(k - j) * n;
        const flip = k < j ? -1 : 1;
        for (let i = 0; i < n; i++) {
          const x = linkRe[from + i] * weight[i];
          const y = flip * linkIm[from + i] * weight[i];
          outRe[at + i] += a * x - b * y;
          outIm[at + i] += a * y + b * x;
        }
        if (k + j >= rows) continue;
        const up = (k + j) * n;
        for (let i = 0; i < n; i++) {
          const x = linkRe[up + i] * weight[i];
          const y = linkIm[up + i] * weight[i];
          outRe[at + i] += a * x + b * y;
          outIm[at + i] += a * y - b * x;
        }
      }
    }
  };
  const toLinks = (x: Float64Array): void => {
    linkRe.fill(0);
    linkIm.fill(0);
    for (let k = 0; k < rows; k++) {
      for (let i = 0; i < n; i++) {
        let re = 0;
        let im = 0;
        for (let m = 0; m < n; m++) {
          re += shapes[i * n + m] * x[k * n + m];
          im += shapes[i * n + m] * x[half + k * n + m];
        }
        linkRe[k * n + i] = re;
        linkIm[k * n + i] = im;
      }
    }
  };
  /** The answer of the modes to pushes on the links, times `sign`, into `out`. */
  const answer = (sign: number, out: Float64Array): void => {
    for (let k = 0; k < rows; k++) {
      for (let m = 0; m < n; m++) {
        let re = 0;
        let im = 0;
        for (let i = 0; i < n; i++) {
          re += shapes[i * n + m] * outRe[k * n + i];
          im += shapes[i * n + m] * outIm[k * n + i];
        }
        const at = k * n + m;
        out[at] = sign * (hRe[at] * re - hIm[at] * im);
        out[half + at] = sign * (hRe[at] * im + hIm[at] * re);
      }
    }
  };
  const b = new Float64Array(2 * half);
  outRe.fill(0);
  outIm.fill(0);
  for (let k = 1; k <= drive.top; k++) {
    for (let i = 0; i < n; i++) {
      outRe[k * n + i] = drive.alongRe[k] * weigh[i] + drive.downRe[k] * tilt[i];
      outIm[k * n + i] = drive.alongIm[k] * weigh[i] + drive.downIm[k] * tilt[i];
    }
  }
  answer(-1, b);
  const apply = (x: Float64Array, out: Float64Array): void => {
    toLinks(x);
    outRe.fill(0);
    outIm.fill(0);
    convolve(drive.downRe, drive.downIm, weigh, 1);
    if (tilted) convolve(drive.alongRe, drive.alongIm, tilt, -1);
    answer(1, out);
    for (let i = 0; i < out.length; i++) out[i] += x[i];
  };
  const { x, residual } = solveKrylov(apply, b, TOLERANCE, STEPS);
  toLinks(x);
  let most = 0;
  let last = 0;
  for (let k = 0; k < rows; k++) {
    for (let i = 0; i < n; i++) {
      const size = Math.hypot(linkRe[k * n + i], linkIm[k * n + i]);
      most = Math.max(most, size);
      if (k >= rows - 2) last = Math.max(last, size);
    }
  }
  const links = Array.from({ length: n }, (_, i): Series => {
    const cos = new Array<number>(top * drive.parts).fill(0);
    const sin = new Array<number>(top * drive.parts).fill(0);
    for (let k = 1; k < rows; k++) {
      cos[k * drive.parts - 1] = 2 * linkRe[k * n + i];
      sin[k * drive.parts - 1] = -2 * linkIm[k * n + i];
    }
    return { period: drive.period * drive.parts, mean: linkRe[i], drift: 0, cos, sin };
  });

  return { links, residual, tail: most > 0 ? last / most : 0 };
}
