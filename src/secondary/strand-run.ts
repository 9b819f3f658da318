import { errorOf, numberProblem, recordProblem, refuseAny, requireArray } from '../internal/check.js';
import { type Chain, leanIn } from './chain.js';
import { createChainStepper } from './chain-step.js';
import { JETS, sampleGrid } from './drive-grid.js';
import { hangSmall, type PlaneRun, runPlane } from './plane-run.js';
import { type PlaneTables, preparePlane } from './plane-tables.js';
import type { DriverReader } from './read-driver.js';

/** Angles from plumb in rad and their speeds in rad/s, link by link from the root. */
export interface StrandState {
  readonly pitch?: readonly number[];
  readonly roll?: readonly number[];
  readonly pitchSpeed?: readonly number[];
  readonly rollSpeed?: readonly number[];
}

/** Longest step in s: of small angles, and of the full equations, which are run at twice that as well. */
const LONGEST_SMALL = 1 / 120;
const LONGEST_FULL = 1 / 480;

interface RunOptions {
  readonly settle: number;
  readonly every: number;
  readonly initial?: StrandState;
  readonly small: boolean;
}

/** Angles from rest in rad and their speeds, moment by moment and link by link. */
interface StrandRun {
  readonly forward: PlaneRun;
  readonly side: PlaneRun;
  readonly every: number;
  readonly duration: number;
  /** Largest angle in rad by which the run differs from one with steps half as long, as far as is known. */
  readonly stepError: number;
}

function readState(where: string, state: StrandState, links: number): void {
  const fields = ['pitch', 'roll', 'pitchSpeed', 'rollSpeed'] as const;
  refuseAny(where, [recordProblem('initial', state, fields)]);
  for (const field of fields) {
    if (state[field] === undefined) continue;
    const values = requireArray(where, `initial.${field}`, state[field]);
    if (values.length !== links) {
      const rule = `must have ${links} entries, one for each link`;
      throw errorOf(where, { field: `initial.${field}`, rule, got: String(values.length), kind: 'range' });
    }
    refuseAny(
      where,
      values.map((x, i) => numberProblem(`initial.${field}[${i}]`, x)),
    );
  }
}

/** Runs a strand along a driver that does not repeat. */
export function runStrand(
  where: string,
  reader: DriverReader,
  forward: Chain,
  side: Chain,
  options: RunOptions,
): StrandRun {
  const { settle, every: longest, initial = {}, small } = options;
  readState(where, initial, forward.links);
  const whole = reader.duration + settle;
  // Moments lie on the bends of a sampled drive, where there are any.
  const grain = reader.every ?? whole;
  const every = Math.min(whole, grain / Math.max(1, Math.ceil(grain / longest - 1e-9)));
  const count = Math.max(1, Math.round(whole / every));
  const plane = (
    chain: Chain,
    at: number,
    sign: number,
    pose: readonly (readonly number[] | undefined)[],
  ) => {
    const [angles, speeds] = pose;
    const from = {
      bends: angles && Float64Array.from(chain.rest, (rest, i) => sign * angles[i] - rest),
      rates: Float64Array.from(chain.rest, (_, i) => (speeds ? sign * speeds[i] : 0)),
    };
    return (small ? runSmall : runFull)(reader, chain, at, from, every, count);
  };
  const f = plane(forward, 3, -1, [initial.pitch, initial.pitchSpeed]);
  const s = plane(side, 6, 1, [initial.roll, initial.rollSpeed]);
  return {
    forward: f.run,
    side: s.run,
    every,
    duration: count * every,
    stepError: Math.max(f.stepError, s.stepError),
  };
}

/** Where a plane begins: angles from rest, if they were given, and speeds. */
interface Beginning {
  readonly bends?: Float64Array;
  readonly rates: Float64Array;
}

type Runner = (
  reader: DriverReader,
  chain: Chain,
  at: number,
  from: Beginning,
  every: number,
  count: number,
) => { run: PlaneRun; stepError: number };

/** What pushes a chain at even times, down and along: the carrier's acceleration and what still air adds. */
function pushes(
  reader: DriverReader,
  alpha: number,
  at: number,
  first: number,
  h: number,
  count: number,
): Float64Array {
  const jets = sampleGrid(reader, first, h, count);
  const push = new Float64Array(2 * count);
  for (let i = 0; i < count; i++) {
    push[2 * i] = jets[JETS * i + 2] + alpha * jets[JETS * i + 1];
    push[2 * i + 1] = jets[JETS * i + at + 2] + alpha * jets[JETS * i + at + 1];
  }
  return push;
}

/** Tables by chain: a strand that hangs plumb has one for both planes. */
const prepared = new WeakMap<Chain, PlaneTables>();

const runSmall: Runner = (reader, chain, at, { bends, rates }, every, count) => {
  const n = chain.links;
  const tables = prepared.get(chain) ?? preparePlane(chain);
  prepared.set(chain, tables);
  const split = Math.max(1, Math.ceil(every / LONGEST_SMALL - 1e-9));
  const h = every / split;
  const push = pushes(reader, chain.alpha, at, reader.start, h, count * split + 1);
  const state = new Float64Array(2 * n);
  if (!bends) state.set(hangSmall(tables, push[0], push[1]));
  for (let m = 0; m < n; m++) {
    for (let i = 0; i < n; i++) {
      if (bends) state[m] += tables.inverse[m * n + i] * bends[i];
      state[n + m] += tables.inverse[m * n + i] * rates[i];
    }
  }
  return { run: runPlane(tables, push, h, split, state), stepError: 0 };
};

/** Two runs of the implicit midpoint rule, the second with steps half as long, and what they tend to. */
const runFull: Runner = (reader, chain, at, from, every, count) => {
  const n = chain.links;
  const split = 2 * Math.max(1, Math.ceil(every / (2 * LONGEST_FULL) - 1e-9));
  const first = pushes(reader, chain.alpha, at, reader.start, every, 1);
  const felt = { ...chain, gravity: Math.max(chain.gravity + first[0], 1e-3) };
  const hung = leanIn(felt, first[1]);
  const begin = from.bends ?? Float64Array.from(hung, (x, i) => x - chain.rest[i]);
  const coarse = runMidpoint(reader, chain, at, begin, from.rates, every, count, split / 2);
  const fine = runMidpoint(reader, chain, at, begin, from.rates, every, count, split);
  let stepError = 0;
  // The rule is symmetric in time: its error begins with the square of the step, and goes on with the fourth power.
  for (let i = n; i < fine.bends.length; i++) {
    const gap = (fine.bends[i] - coarse.bends[i]) / 3;
    stepError = Math.max(stepError, Math.abs(gap));
    fine.bends[i] += gap;
    fine.rates[i] += (fine.rates[i] - coarse.rates[i]) / 3;
  }
  return { run: fine, stepError };
};

function runMidpoint(
  reader: DriverReader,
  chain: Chain,
  at: number,
  begin: Float64Array,
  rates: Float64Array,
  every: number,
  count: number,
  split: number,
): PlaneRun {
  const n = chain.links;
  const h = every / split;
  const push = pushes(reader, chain.alpha, at, reader.start + h / 2, h, count * split);
  const stepper = createChainStepper(chain);
  for (let i = 0; i < n; i++) stepper.angles[i] = chain.rest[i] + begin[i];
  stepper.speeds.set(rates);
  const bends = new Float64Array((count + 1) * n);
  const speeds = new Float64Array((count + 1) * n);
  for (let s = 0; s <= count; s++) {
    for (let i = 0; i < n; i++) {
      bends[s * n + i] = stepper.angles[i] - chain.rest[i];
      speeds[s * n + i] = stepper.speeds[i];
    }
    if (s === count) break;
    for (let k = s * split; k < (s + 1) * split; k++) stepper.step(h, push[2 * k], push[2 * k + 1]);
  }
  return { bends, rates: speeds };
}
