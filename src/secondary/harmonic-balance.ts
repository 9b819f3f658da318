import type { Series } from '../curves/series.js';
import { massAt, type Swing } from './chain.js';
import type { PlaneDrive } from './strand-drive.js';

/**
 * Harmonic balance of a chain's small swings in one plane. Unknowns are the modes' complex harmonics 0…top:
 * real parts by harmonic then mode, imaginary parts behind them.
 */
export interface Balance {
  readonly size: number;
  /** Writes the answer of the modes to the drive alone. */
  setDriven(out: Float64Array): void;
  /** Writes minus the answer of the modes to how the felt weight changes their stiffness under a swing. */
  respond(x: Float64Array, out: Float64Array): void;
  /** Writes the links' angles in rad about their mean, laid out like the unknowns. */
  readLinks(x: Float64Array, out: Float64Array): void;
  /** Adds the answer of the modes to accelerations of the links in rad/s², laid out like the unknowns. */
  addPushed(links: Float64Array, out: Float64Array): void;
  /** The links as series over the driver's period, and the size of the highest harmonics beside the largest. */
  readLoop(x: Float64Array): { readonly links: readonly Series[]; readonly tail: number };
}

/** Prepares the balance, `top` being more than the drive's own; `spare` in 1/s² stiffens every mode, for what a neighbour's pull divides out. */
export function prepareBalance(swing: Swing, drive: PlaneDrive, top: number, spare: number): Balance {
  const { chain, mean, modes, omegas, zetas } = swing;
  const n = chain.links;
  const { shapes } = modes;
  const rows = top + 1;
  const half = n * rows;
  const w1 = (2 * Math.PI) / drive.period;
  // The answer of each mode to each harmonic: 1 / (ω² − w² + 2iζωw).
  const hRe = new Float64Array(half);
  const hIm = new Float64Array(half);
  for (let k = 0; k < rows; k++) {
    const w = k * w1;
    for (let m = 0; m < n; m++) {
      const re = (omegas[m] - w) * (omegas[m] + w) + spare;
      const im = 2 * zetas[m] * omegas[m] * w;
      const size = re * re + im * im;
      hRe[k * n + m] = re / size;
      hIm[k * n + m] = -im / size;
    }
  }
  const weigh = Float64Array.from(mean, (x, i) => chain.first[i] * Math.cos(x));
  const tilt = Float64Array.from(mean, (x, i) => chain.first[i] * Math.sin(x));
  const tilted = tilt.some((x) => x !== 0);
  const links = new Float64Array(2 * half);
  const pushed = new Float64Array(2 * half);
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
          const x = links[from + i] * weight[i];
          const y = flip * links[half + from + i] * weight[i];
          pushed[at + i] += a * x - b * y;
          pushed[half + at + i] += a * y + b * x;
        }
        // Harmonics beyond the last count as nothing.
        if (k + j >= rows) continue;
        const up = (k + j) * n;
        for (let i = 0; i < n; i++) {
          const x = links[up + i] * weight[i];
          const y = links[half + up + i] * weight[i];
          pushed[at + i] += a * x + b * y;
          pushed[half + at + i] += a * y - b * x;
        }
      }
    }
  };
  const readLinks = (x: Float64Array, out: Float64Array): void => {
    for (let k = 0; k < rows; k++) {
      for (let i = 0; i < n; i++) {
        let re = 0;
        let im = 0;
        for (let m = 0; m < n; m++) {
          re += shapes[i * n + m] * x[k * n + m];
          im += shapes[i * n + m] * x[half + k * n + m];
        }
        out[k * n + i] = re;
        out[half + k * n + i] = im;
      }
    }
  };
  /** Writes or adds the answer of the modes to torques on the links, times `sign`. */
  const answer = (torques: Float64Array, sign: number, out: Float64Array, add: boolean): void => {
    for (let k = 0; k < rows; k++) {
      for (let m = 0; m < n; m++) {
        let re = 0;
        let im = 0;
        for (let i = 0; i < n; i++) {
          re += shapes[i * n + m] * torques[k * n + i];
          im += shapes[i * n + m] * torques[half + k * n + i];
        }
        const at = k * n + m;
        const x = sign * (hRe[at] * re - hIm[at] * im);
        const y = sign * (hRe[at] * im + hIm[at] * re);
        out[at] = add ? out[at] + x : x;
        out[half + at] = add ? out[half + at] + y : y;
      }
    }
  };
  const inertia = massAt(chain, mean);
  return {
    size: 2 * half,
    setDriven(out) {
      pushed.fill(0);
      for (let k = 1; k <= drive.top; k++) {
        for (let i = 0; i < n; i++) {
          pushed[k * n + i] = drive.alongRe[k] * weigh[i] + drive.downRe[k] * tilt[i];
          pushed[half + k * n + i] = drive.alongIm[k] * weigh[i] + drive.downIm[k] * tilt[i];
        }
      }
      answer(pushed, -1, out, false);
    },
    respond(x, out) {
      readLinks(x, links);
      pushed.fill(0);
      convolve(drive.downRe, drive.downIm, weigh, 1);
      if (tilted) convolve(drive.alongRe, drive.alongIm, tilt, -1);
      answer(pushed, 1, out, false);
    },
    readLinks,
    addPushed(accelerations, out) {
      pushed.fill(0);
      for (let k = 0; k < rows; k++) {
        for (let i = 0; i < n; i++) {
          for (let j = 0; j < n; j++) {
            pushed[k * n + i] += inertia[i * n + j] * accelerations[k * n + j];
            pushed[half + k * n + i] += inertia[i * n + j] * accelerations[half + k * n + j];
          }
        }
      }
      answer(pushed, 1, out, true);
    },
    readLoop(x) {
      readLinks(x, links);
      let most = 0;
      let last = 0;
      for (let k = 0; k < rows; k++) {
        for (let i = 0; i < n; i++) {
          const size = Math.hypot(links[k * n + i], links[half + k * n + i]);
          most = Math.max(most, size);
          if (k >= rows - 2) last = Math.max(last, size);
        }
      }
      const series = Array.from({ length: n }, (_, i): Series => {
        const cos = new Array<number>(top * drive.parts).fill(0);
        const sin = new Array<number>(top * drive.parts).fill(0);
        for (let k = 1; k < rows; k++) {
          cos[k * drive.parts - 1] = 2 * links[k * n + i];
          sin[k * drive.parts - 1] = -2 * links[half + k * n + i];
        }
        return { period: drive.period * drive.parts, mean: links[i], drift: 0, cos, sin };
      });
      return { links: series, tail: most > 0 ? last / most : 0 };
    },
  };
}
