import type { Series } from '../curves/series.js';
import type { Swing } from './chain.js';
import { chainResidual, createChainScratch } from './chain-forces.js';
import { solveKrylov } from './gmres.js';
import type { PlaneDrive } from './strand-drive.js';

/** A periodic answer of the full equations. */
export interface FullLoop {
  /** Each link's angle from plumb in rad, over `cycles` periods of the drive. */
  readonly links: readonly Series[];
  /** Largest left-over torque at the collocation times, as a part of standing weight. */
  readonly residual: number;
  /** Size of the highest harmonics kept, as a part of the largest. */
  readonly tail: number;
}

/** Newton steps; each halves until it helps, six times at most. */
const NEWTON_STEPS = 20;
const HALVINGS = 6;
/** Times per harmonic at which the equations are held. */
const TIMES_PER_HARMONIC = 3;
/** Residual that counts as solved, as a part of standing weight. */
const SOLVED = 1e-11;
const KRYLOV_STEPS = 120;

/** Cosine and sine of every harmonic at every time. */
interface Grid {
  readonly times: number;
  readonly rows: number;
  readonly cos: Float64Array;
  readonly sin: Float64Array;
  readonly rate: number;
}

function makeGrid(top: number, period: number): Grid {
  const times = TIMES_PER_HARMONIC * top + 4;
  const rows = top + 1;
  const cos = new Float64Array(times * rows);
  const sin = new Float64Array(times * rows);
  for (let t = 0; t < times; t++) {
    for (let k = 0; k < rows; k++) {
      const x = (2 * Math.PI * ((k * t) % times)) / times;
      cos[t * rows + k] = Math.cos(x);
      sin[t * rows + k] = Math.sin(x);
    }
  }
  return { times, rows, cos, sin, rate: (2 * Math.PI) / period };
}

/**
 * The periodic answer of the full equations over `cycles` periods of the drive, from a guess: harmonic
 * balance by Newton steps, each solved by GMRES with the constant linear part divided out. Coefficients
 * are laid out cosines then sines, by harmonic then link; `undefined` where Newton does not get there.
 */
export function solveFull(
  swing: Swing,
  drive: PlaneDrive,
  guess: readonly Series[],
  cycles: number,
  top: number,
): FullLoop | undefined {
  const { chain, modes, omegas, zetas } = swing;
  const n = chain.links;
  const period = drive.period * cycles;
  const grid = makeGrid(top, period);
  const { times, rows, cos, sin, rate } = grid;
  const half = rows * n;
  const down = new Float64Array(times);
  const along = new Float64Array(times);
  for (let t = 0; t < times; t++) {
    for (let k = 1; k <= drive.top; k++) {
      const x = (2 * Math.PI * ((k * cycles * t) % times)) / times;
      const [c, s] = [Math.cos(x), Math.sin(x)];
      down[t] += 2 * (drive.downRe[k] * c - drive.downIm[k] * s);
      along[t] += 2 * (drive.alongRe[k] * c - drive.alongIm[k] * s);
    }
    along[t] += drive.steady;
  }
  const angles = new Float64Array(n);
  const speeds = new Float64Array(n);
  const accelerations = new Float64Array(n);
  const torque = new Float64Array(n);
  const scratch = createChainScratch(n);
  const scale = chain.first[0] * Math.max(chain.gravity, 1e-3);
  /** Fourier coefficients of the torques left over, and their largest size. */
  const residualOf = (x: Float64Array, out: Float64Array): number => {
    out.fill(0);
    let most = 0;
    for (let t = 0; t < times; t++) {
      angles.fill(0);
      speeds.fill(0);
      accelerations.fill(0);
      const at = t * rows;
      for (let k = 0; k < rows; k++) {
        const [c, s, w] = [cos[at + k], sin[at + k], k * rate];
        for (let i = 0; i < n; i++) {
          const a = x[k * n + i];
          const b = x[half + k * n + i];
          const value = a * c + b * s;
          angles[i] += value;
          speeds[i] += w * (b * c - a * s);
          accelerations[i] -= w * w * value;
        }
      }
      chainResidual(chain, angles, speeds, accelerations, down[t], along[t], torque, scratch);
      for (let k = 0; k < rows; k++) {
        const by = (k === 0 ? 1 : 2) / times;
        const [c, s] = [by * cos[at + k], by * sin[at + k]];
        for (let i = 0; i < n; i++) {
          out[k * n + i] += c * torque[i];
          out[half + k * n + i] += s * torque[i];
        }
      }
    }
    for (let i = 0; i < out.length; i++) most = Math.max(most, Math.abs(out[i]));
    return most / scale;
  };
  /** The constant linear part undone, harmonic by harmonic and mode by mode. */
  const undo = (r: Float64Array, out: Float64Array): void => {
    out.fill(0);
    for (let k = 0; k < rows; k++) {
      const w = k * rate;
      for (let m = 0; m < n; m++) {
        let a = 0;
        let b = 0;
        for (let i = 0; i < n; i++) {
          a += modes.shapes[i * n + m] * r[k * n + i];
          b += modes.shapes[i * n + m] * r[half + k * n + i];
        }
        const re = (omegas[m] - w) * (omegas[m] + w);
        const im = 2 * zetas[m] * omegas[m] * w;
        const size = Math.max(re * re + im * im, 1e-12 * omegas[m] ** 4);
        // (a − ib) / (re + i im) as cosine and sine terms.
        const qa = (a * re - b * im) / size;
        const qb = (b * re + a * im) / size;
        for (let i = 0; i < n; i++) {
          out[k * n + i] += modes.shapes[i * n + m] * qa;
          out[half + k * n + i] += modes.shapes[i * n + m] * qb;
        }
      }
    }
    // The constant has no sine.
    for (let i = 0; i < n; i++) out[half + i] = 0;
  };
  let x = new Float64Array(2 * half);
  guess.forEach((series, i) => {
    const ratio = Math.round(period / series.period);
    x[i] = series.mean;
    series.cos.forEach((a, k) => {
      const to = ratio >= 1 ? (k + 1) * ratio : (k + 1) / Math.round(series.period / period);
      if (!Number.isInteger(to) || to > top) return;
      x[to * n + i] = a;
      x[half + to * n + i] = series.sin[k];
    });
  });
  const r = new Float64Array(2 * half);
  const moved = new Float64Array(2 * half);
  const moved2 = new Float64Array(2 * half);
  const trial = new Float64Array(2 * half);
  let size = residualOf(x, r);
  for (let step = 0; step < NEWTON_STEPS && size > SOLVED; step++) {
    const rhs = new Float64Array(2 * half);
    undo(r, rhs);
    const apply = (v: Float64Array, out: Float64Array): void => {
      let reach = 0;
      for (let i = 0; i < v.length; i++) reach = Math.max(reach, Math.abs(v[i]));
      const e = 1e-5 / Math.max(reach, 1e-300);
      for (let i = 0; i < v.length; i++) trial[i] = x[i] + e * v[i];
      residualOf(trial, moved);
      for (let i = 0; i < v.length; i++) trial[i] = x[i] - e * v[i];
      residualOf(trial, moved2);
      for (let i = 0; i < v.length; i++) moved[i] = (moved[i] - moved2[i]) / (2 * e);
      undo(moved, out);
      // Directions without meaning map to themselves.
      for (let i = 0; i < n; i++) out[half + i] = v[half + i];
    };
    const { x: change } = solveKrylov(apply, rhs, 1e-4, KRYLOV_STEPS);
    let by = 1;
    let next = size;
    for (let h = 0; h <= HALVINGS; h++, by /= 2) {
      for (let i = 0; i < x.length; i++) trial[i] = x[i] - by * change[i];
      next = residualOf(trial, moved);
      if (next < size) break;
    }
    if (!(next < size)) break;
    x = Float64Array.from(trial);
    r.set(moved);
    const slow = next > 0.5 * size && size < 1e-9;
    size = next;
    if (slow) break;
  }
  if (!(size < 1e-7)) return undefined;
  let most = 0;
  let last = 0;
  for (let k = 1; k < rows; k++) {
    for (let i = 0; i < n; i++) {
      const reach = Math.hypot(x[k * n + i], x[half + k * n + i]);
      most = Math.max(most, reach);
      if (k >= rows - 3) last = Math.max(last, reach);
    }
  }
  const links = Array.from({ length: n }, (_, i): Series => {
    const row = (from: number) => Array.from({ length: top }, (_, k) => x[from + (k + 1) * n + i]);
    return { period, mean: x[i], drift: 0, cos: row(0), sin: row(half) };
  });
  return { links, residual: size, tail: most > 0 ? last / most : 0 };
}
