import { errorOf, numberProblem, recordProblem, refuseAny, requireArray } from '../internal/check.js';
import type { Chain } from './chain.js';
import { createChainStepper } from './chain-step.js';
import type { SampledTrack } from './follower-track.js';
import { PlaneStepper } from './plane-stepper.js';
import { preparePlane } from './plane-tables.js';
import type { DriverReader } from './read-driver.js';

/** Angles from plumb in rad and their speeds in rad/s, link by link from the root. */
export interface StrandState {
  readonly pitch?: readonly number[];
  readonly roll?: readonly number[];
  readonly pitchSpeed?: readonly number[];
  readonly rollSpeed?: readonly number[];
}

/** Longest step of the full equations in s. */
const LONGEST = 1 / 1920;

interface RunOptions {
  readonly settle: number;
  readonly every: number;
  readonly initial?: StrandState;
  readonly small: boolean;
}

interface StrandRun {
  readonly forward: readonly SampledTrack[];
  readonly side: readonly SampledTrack[];
  readonly duration: number;
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
  const { settle, every, initial = {}, small } = options;
  readState(where, initial, forward.links);
  const whole = reader.duration + settle;
  const count = Math.max(1, Math.round(whole / every));
  const h = whole / count;
  const plane = (
    chain: Chain,
    at: number,
    sign: number,
    angles?: readonly number[],
    speeds?: readonly number[],
  ) => {
    const from = Float64Array.from(chain.rest, (rest, i) => (angles ? sign * angles[i] : rest));
    const speed = Float64Array.from(chain.rest, (_, i) => (speeds ? sign * speeds[i] : 0));
    return (small ? runSmall : runFull)(reader, chain, at, from, speed, h, count);
  };
  return {
    forward: plane(forward, 3, -1, initial.pitch, initial.pitchSpeed),
    side: plane(side, 6, 1, initial.roll, initial.rollSpeed),
    duration: whole,
  };
}

const jets = new Float64Array(9);

/** Carrier's acceleration, and what still air adds to it, at `t`: down and along. Stopped past the end. */
function pushAt(reader: DriverReader, alpha: number, at: number, t: number, out: Float64Array): void {
  const end = reader.start + reader.duration;
  if (t > end) {
    out.fill(0);
    return;
  }
  reader.sample(t, jets);
  out[0] = jets[2] + alpha * jets[1];
  out[1] = jets[at + 2] + alpha * jets[at + 1];
}

type Runner = (
  reader: DriverReader,
  chain: Chain,
  at: number,
  angles: Float64Array,
  speeds: Float64Array,
  every: number,
  count: number,
) => SampledTrack[];

function emptyTracks(
  n: number,
  start: number,
  every: number,
): { values: number[][]; slopes: number[][]; tracks: SampledTrack[] } {
  const values = Array.from({ length: n }, () => [] as number[]);
  const slopes = Array.from({ length: n }, () => [] as number[]);
  return { values, slopes, tracks: values.map((v, i) => ({ start, every, values: v, slopes: slopes[i] })) };
}

const runFull: Runner = (reader, chain, at, angles, speeds, every, count) => {
  const n = chain.links;
  const stepper = createChainStepper(chain);
  stepper.angles.set(angles);
  stepper.speeds.set(speeds);
  const split = Math.ceil(every / LONGEST);
  const h = every / split;
  const push = new Float64Array(2);
  const { values, slopes, tracks } = emptyTracks(n, reader.start, every);
  for (let s = 0; s <= count; s++) {
    for (let i = 0; i < n; i++) {
      values[i].push(stepper.angles[i]);
      slopes[i].push(stepper.speeds[i]);
    }
    if (s === count) break;
    for (let k = 0; k < split; k++) {
      pushAt(reader, chain.alpha, at, reader.start + s * every + (k + 0.5) * h, push);
      stepper.step(h, push[0], push[1]);
    }
  }
  return tracks;
};

const runSmall: Runner = (reader, chain, at, angles, speeds, every, count) => {
  const n = chain.links;
  const stepper = new PlaneStepper(preparePlane(chain));
  stepper.setAngles(angles, speeds);
  const push = new Float64Array(2);
  const out = new Float64Array(n);
  const rate = new Float64Array(n);
  const { values, slopes, tracks } = emptyTracks(n, reader.start, every);
  pushAt(reader, chain.alpha, at, reader.start, push);
  stepper.feel(push[0], push[1]);
  for (let s = 0; s <= count; s++) {
    stepper.readAngles(out, rate);
    for (let i = 0; i < n; i++) {
      values[i].push(out[i]);
      slopes[i].push(rate[i]);
    }
    if (s === count) break;
    pushAt(reader, chain.alpha, at, reader.start + (s + 1) * every, push);
    stepper.next[0] = every;
    stepper.next.set(push, 1);
    stepper.step();
  }
  return tracks;
};
