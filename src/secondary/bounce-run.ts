import type { Series } from '../curves/series.js';
import { sampleSeries } from '../curves/series.js';
import type { Axis } from './bounce-part.js';
import { JETS, sampleGrid } from './drive-grid.js';
import { CHANNELS } from './driver.js';
import { findLoop, MOST_CYCLES } from './find-loop.js';
import type { SampledTrack } from './follower-track.js';
import type { DriverReader } from './read-driver.js';
import { createSpringStep, setSpringStep } from './spring.js';
import { type AxisState, stepAgainstStops } from './strike.js';

/** Steps per loop for a part with stops; within each the drive runs straight. */
const LOOP_STEPS = 4096;
/** Samples per loop that are handed out. */
const LOOP_SAMPLES = 512;
/** Longest step against stops, as part of a radian of the part's own swing. */
const STOP_STEP = 0.5;

/** A run of one axis over a loop that had to be solved for. */
export interface SolvedLoop {
  readonly track: SampledTrack;
  /** Cycles after which it repeats; 0 where it does not within 8. */
  readonly cycles: number;
  /** How far it is from closing, in m. */
  readonly residual: number;
}

/** The loop of one axis with stops on an exact path, solved as a state that comes back. */
export function loopAgainstStops(
  path: Series,
  axis: Axis,
  rebound: number,
  air: boolean,
  linear: Series,
): SolvedLoop {
  const { period } = path;
  const split = Math.max(1, Math.ceil((axis.omega * period) / (STOP_STEP * LOOP_STEPS)));
  const steps = LOOP_STEPS * split;
  const h = period / steps;
  const drag = air ? 2 * axis.zeta * axis.omega : 0;
  const jet = new Float64Array(3);
  const drive = new Float64Array(steps + 1);
  for (let i = 0; i < steps; i++) {
    sampleSeries(path, i * h, jet);
    drive[i] = jet[2] + drag * jet[1];
  }
  drive[steps] = drive[0];
  const size = Math.min(axis.high, -axis.low);
  const scale = Float64Array.of(size, size * axis.omega);
  const state: AxisState = { z: 0, v: 0, held: 0 };
  const begin = (x: Float64Array): void => {
    state.z = Math.max(axis.low, Math.min(axis.high, x[0]));
    state.v = x[1];
    state.held = 0;
    // On a stop and not on the way off it: pressed there.
    if (state.z === axis.high && state.v >= 0) state.held = 1;
    else if (state.z === axis.low && state.v <= 0) state.held = -1;
    if (state.held !== 0) state.v = 0;
  };
  const run = (x: Float64Array, visit?: (i: number) => void): void => {
    begin(x);
    for (let i = 0; i < steps; i++) {
      visit?.(i);
      stepAgainstStops(axis, rebound, state, drive[i], drive[i + 1], h);
    }
    x[0] = state.z;
    x[1] = state.v;
  };
  sampleSeries(linear, 0, jet);
  const found = findLoop((x) => run(x), Float64Array.of(jet[0], jet[1]), scale);
  const cycles = found.cycles || MOST_CYCLES;
  const values: number[] = [];
  const slopes: number[] = [];
  const x = Float64Array.from(found.state);
  const keep = steps / LOOP_SAMPLES;
  for (let cycle = 0; cycle < cycles; cycle++) {
    run(x, (i) => {
      if (i % keep !== 0) return;
      values.push(state.z);
      slopes.push(state.v);
    });
  }
  const closes = found.cycles > 0;
  const track = {
    start: 0,
    every: period / LOOP_SAMPLES,
    values,
    slopes,
    ...(closes ? { period: cycles * period } : {}),
  };
  return { track, cycles: found.cycles, residual: found.residual * size };
}

/** Runs one axis along a driver that does not repeat, in `count` steps of `every` s. */
export function runAxis(
  reader: DriverReader,
  axis: Axis,
  options: {
    air: boolean;
    rebound: number;
    every: number;
    count: number;
    /** Where it begins; where it hangs in the weight felt at the first moment if left out. */
    from?: { readonly displacement: number; readonly speed: number };
  },
): SampledTrack {
  const { air, rebound, every, count, from } = options;
  const at = 3 * CHANNELS.indexOf(axis.channel);
  const drag = air ? 2 * axis.zeta * axis.omega : 0;
  const jets = sampleGrid(reader, reader.start, every, count + 1);
  const driveAt = (i: number): number => jets[JETS * i + at + 2] + drag * jets[JETS * i + at + 1];
  const stops = Number.isFinite(axis.high);
  const split = stops ? Math.max(1, Math.ceil((axis.omega * every) / STOP_STEP)) : 1;
  const step = createSpringStep();
  setSpringStep(step, 0, axis.omega, axis.zeta, every);
  let b0 = driveAt(0);
  const hung = Math.max(axis.low, Math.min(axis.high, -b0 / axis.omega ** 2));
  const state: AxisState = { z: from?.displacement ?? hung, v: from?.speed ?? 0, held: 0 };
  const values = new Array<number>(count + 1);
  const slopes = new Array<number>(count + 1);
  values[0] = state.z;
  slopes[0] = state.v;
  for (let i = 1; i <= count; i++) {
    const b1 = driveAt(i);
    if (stops) {
      for (let j = 0; j < split; j++) {
        const early = b0 + ((b1 - b0) * j) / split;
        stepAgainstStops(axis, rebound, state, early, b0 + ((b1 - b0) * (j + 1)) / split, every / split);
      }
    } else {
      const { z, v } = state;
      state.z = step[0] * z + step[1] * v + step[4] * b0 + step[5] * b1;
      state.v = step[2] * z + step[3] * v + step[6] * b0 + step[7] * b1;
    }
    values[i] = state.z;
    slopes[i] = state.v;
    b0 = b1;
  }
  return { start: reader.start, every, values, slopes };
}
