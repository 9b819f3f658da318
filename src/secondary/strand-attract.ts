import type { Series } from '../curves/series.js';
import type { Swing } from './chain.js';
import { createChainStepper } from './chain-step.js';
import { MOST_CYCLES } from './find-loop.js';
import type { SampledTrack } from './follower-track.js';
import { fromSamples } from './project-series.js';
import { driveAt, type PlaneDrive } from './strand-drive.js';
import { type FullLoop, solveFull } from './strand-full.js';

/** Steps per cycle of the drive while running in. */
const STEPS = 256;
/** Most cycles run in; a sway that starts from nothing needs many. */
const RUN_IN = 400;
/** Angle in rad that the slowest swing is knocked by to begin with. */
const KNOCK = 0.05;
/** Change over a number of cycles, in rad, at which that number is tried. */
const NEAR = 2e-3;
/** Cycles over which neighbours are watched to part or to meet. */
const WATCHED = 8;

/** The answer that a full chain is drawn to. */
export interface Attracted {
  readonly loop?: FullLoop;
  /** Cycles of the drive after which it repeats; 0 where no number up to 8 was found. */
  readonly cycles: number;
  /** The last eight cycles run, where nothing repeats. */
  readonly run?: readonly SampledTrack[];
}

function middles(drive: PlaneDrive): { h: number; down: Float64Array; along: Float64Array } {
  const h = drive.period / STEPS;
  const at = (re: Float64Array, im: Float64Array, steady: number) =>
    Float64Array.from({ length: STEPS }, (_, i) => steady + driveAt(re, im, drive.period, (i + 0.5) * h));
  return {
    h,
    down: at(drive.downRe, drive.downIm, 0),
    along: at(drive.alongRe, drive.alongIm, drive.steady),
  };
}

const distance = (a: Float64Array, b: Float64Array): number =>
  a.reduce((most, x, i) => Math.max(most, Math.abs(x - b[i])), 0);

/**
 * Runs a chain in from a knock and polishes what it comes near by harmonic balance over 1…8 cycles. At most
 * 400 cycles; where none is found the last eight are handed back as they were run.
 */
export function attractStrand(swing: Swing, drive: PlaneDrive, harmonics: number): Attracted {
  const { chain, mean, modes } = swing;
  const n = chain.links;
  const { h, down, along } = middles(drive);
  const stepper = createChainStepper(chain);
  const first = modes.shapes[(n - 1) * n];
  for (let i = 0; i < n; i++) stepper.angles[i] = mean[i] + (KNOCK * modes.shapes[i * n]) / first;
  const ends: Float64Array[] = [];
  const kept: Float64Array[][] = [];
  for (let cycle = 1; cycle <= RUN_IN; cycle++) {
    const row: Float64Array[] = [];
    for (let s = 0; s < STEPS; s++) {
      row.push(Float64Array.from([...stepper.angles, ...stepper.speeds]));
      stepper.step(h, down[s], along[s]);
    }
    kept.push(row);
    ends.push(Float64Array.from(stepper.angles));
    if (kept.length > MOST_CYCLES) kept.shift();
    if (ends.length > MOST_CYCLES + 1) ends.shift();
    if (cycle % MOST_CYCLES !== 0 || ends.length <= MOST_CYCLES) continue;
    for (let cycles = 1; cycles <= MOST_CYCLES; cycles++) {
      if (distance(ends[ends.length - 1 - cycles], ends[ends.length - 1]) > NEAR) continue;
      const samples = kept.slice(-cycles).flat();
      const period = cycles * drive.period;
      const top = Math.min(160, harmonics * cycles);
      const guess = Array.from({ length: n }, (_, i): Series => {
        const every = samples.map((state) => state[i]);
        return fromSamples(every, 0, period, 0, top);
      });
      const loop = solveFull(swing, drive, guess, cycles, top);
      if (loop) return { loop, cycles };
      break;
    }
  }
  const rows = kept.flat();
  const run = Array.from({ length: n }, (_, i) => ({
    start: 0,
    every: h,
    values: rows.map((state) => state[i]),
    slopes: rows.map((state) => state[n + i]),
  }));
  return { cycles: 0, run };
}

/** By what factor a small change to a full answer grows over one cycle of the drive, watched for eight. */
export function neighbourGrowth(swing: Swing, drive: PlaneDrive, loop: FullLoop): number {
  const { chain } = swing;
  const n = chain.links;
  const { h, down, along } = middles(drive);
  const start = (by: number) => {
    const stepper = createChainStepper(chain);
    loop.links.forEach((series, i) => {
      const w = (2 * Math.PI) / series.period;
      stepper.angles[i] = series.mean + series.cos.reduce((sum, a) => sum + a, 0) + by * (i + 1);
      stepper.speeds[i] = series.sin.reduce((sum, b, k) => sum + (k + 1) * w * b, 0);
    });
    return stepper;
  };
  const [one, other] = [start(0), start(1e-5 / n)];
  const gap = () => {
    let sum = 0;
    for (let i = 0; i < n; i++) {
      sum +=
        (one.angles[i] - other.angles[i]) ** 2 + ((one.speeds[i] - other.speeds[i]) / swing.omegas[0]) ** 2;
    }
    return Math.sqrt(sum);
  };
  let before = 0;
  for (let cycle = 0; cycle < WATCHED; cycle++) {
    for (let s = 0; s < STEPS; s++) {
      one.step(h, down[s], along[s]);
      other.step(h, down[s], along[s]);
    }
    if (cycle === WATCHED / 2 - 1) before = gap();
  }
  return (gap() / before) ** (2 / WATCHED);
}
