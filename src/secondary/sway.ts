import type { Swing } from './chain.js';
import { spectralRadius } from './find-loop.js';
import { createSpringStep, setSpringStep } from './spring.js';
import { driveAt, driveSize, type PlaneDrive } from './strand-drive.js';

/** Largest step, as a part of a radian of the quickest mode looked at. */
const STEP = 0.06;
const MOST_STEPS = 4096;

/**
 * By what factor a small sway grows or dies over one period of the drive: the largest size of the Floquet
 * multipliers of the chain's linear equations. Above 1 a strand sways by itself (Hill's equation).
 *
 * Only modes that the drive can reach, ω ≤ top harmonic, are looked at, at least four. Exact steps of the
 * modes alternate with kicks of the felt weight; the error goes with the square of the step, 0.06 rad.
 */
export function swayGrowth(swing: Swing, drive: PlaneDrive): number {
  const { chain, mean, modes, omegas, zetas } = swing;
  const n = chain.links;
  const slowest = Math.exp(-Math.min(...decayRates(swing)) * drive.period);
  if (driveSize(drive.downRe, drive.downIm) === 0 && mean.every((x) => x === 0)) return slowest;
  const reach = (2 * Math.PI * drive.top) / drive.period;
  const r = Math.min(n, Math.max(4, omegas.filter((w) => w <= reach).length));
  const steps = Math.min(
    MOST_STEPS,
    Math.max(32, Math.ceil((drive.period * Math.max(omegas[r - 1], reach)) / STEP)),
  );
  const h = drive.period / steps;
  // Coupling of the modes by a unit of weight, and by a unit of push where the chain leans.
  const couple = (trig: (x: number) => number): Float64Array => {
    const out = new Float64Array(r * r);
    for (let a = 0; a < r; a++) {
      for (let b = 0; b < r; b++) {
        for (let i = 0; i < n; i++) {
          out[a * r + b] +=
            modes.shapes[i * n + a] * chain.first[i] * trig(mean[i]) * modes.shapes[i * n + b];
        }
      }
    }
    return out;
  };
  const down = couple(Math.cos);
  const along = couple((x) => -Math.sin(x));
  const flows = Array.from({ length: r }, (_, m) => {
    const step = createSpringStep();
    setSpringStep(step, 0, omegas[m], zetas[m], h);
    return step;
  });
  const size = 2 * r;
  // Columns of the period map: displacement and speed of each mode.
  const columns = Array.from({ length: size }, (_, c) => {
    const x = new Float64Array(size);
    x[c] = 1;
    return x;
  });
  const kick = new Float64Array(r * r);
  const push = new Float64Array(r);
  for (let s = 0; s < steps; s++) {
    const t = (s + 0.5) * h;
    const a = driveAt(drive.downRe, drive.downIm, drive.period, t);
    const b = driveAt(drive.alongRe, drive.alongIm, drive.period, t);
    // Half of the kick before, half after: here as one in the middle of a step taken in two halves would be.
    for (let i = 0; i < kick.length; i++) kick[i] = h * (a * down[i] + b * along[i]);
    for (const x of columns) {
      flow(x, flows, r, 0);
      for (let i = 0; i < r; i++) {
        let sum = 0;
        for (let j = 0; j < r; j++) sum += kick[i * r + j] * x[j];
        push[i] = sum;
      }
      for (let i = 0; i < r; i++) x[r + i] -= push[i];
    }
  }
  const map = new Float64Array(size * size);
  columns.forEach((x, c) => {
    for (let i = 0; i < size; i++) map[i * size + c] = x[i];
  });
  // Modes left out only decay, and may do so the slowest.
  return Math.max(
    spectralRadius(map, size),
    r < n ? Math.exp(-Math.min(...decayRates(swing).slice(r)) * drive.period) : 0,
  );
}

function decayRates({ omegas, zetas }: Swing): number[] {
  return Array.from(omegas, (w, m) =>
    zetas[m] <= 1 ? zetas[m] * w : w / (zetas[m] + Math.sqrt(zetas[m] ** 2 - 1)),
  );
}

function flow(x: Float64Array, flows: readonly Float64Array[], r: number, at: number): void {
  for (let m = 0; m < r; m++) {
    const [zz, zv, vz, vv] = flows[m];
    const z = x[at + m];
    const v = x[at + r + m];
    x[at + m] = zz * z + zv * v;
    x[at + r + m] = vz * z + vv * v;
  }
}
