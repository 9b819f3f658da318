import type { Curve, Tracked } from '../curves/curve.js';
import { createSampler } from '../curves/sampler.js';
import { type Series, sampleSeries } from '../curves/series.js';
import { requireMotion } from '../gait/motion.js';
import { readMotion } from '../gait/read-motion.js';
import { rootMotion } from '../gait/root.js';
import type { Run } from '../gait/run/run.js';
import type { Shot } from '../gait/shot/shot.js';
import { createShotSampler } from '../gait/shot/shot-sampler.js';
import type { Channels, Motion } from '../gait/walk.js';
import {
  errorOf,
  isRecord,
  numberProblem,
  recordProblem,
  refuseAny,
  requireArray,
  show,
} from '../internal/check.js';
import { CHANNELS, type Driver, type PathDriver, type SampledDriver } from './driver.js';
import { fromSamples, projectPath } from './project-series.js';
import { sampleSpline, splineAccelerations } from './spline.js';

/** Standard gravity in m/s². */
export const STANDARD_GRAVITY = 9.80665;

/** What followers read a driver through, whatever its form. */
export interface DriverReader {
  /** First moment in s. */
  readonly start: number;
  /** Length of the cycle, or of the whole where it does not repeat, in s. */
  readonly duration: number;
  readonly repeats: boolean;
  /** Gravity in m/s². */
  readonly gravity: number;
  /** Mean forward speed in m/s. */
  readonly travel: number;
  /** Exact paths in m, where it repeats. */
  readonly loop?: Channels<Series>;
  /** How far those paths lie off what was given, in m; 0 where series were given. */
  readonly loopError: number;
  /**
   * Writes value, velocity and acceleration of height, forward and side into `out[0..8]`. Values are in fixed
   * axes; velocity and acceleration are the body's own forward and side where it turns.
   */
  sample(t: number, out: Float64Array): void;
  /**
   * Where the swing of the steps is known apart, as in a shot: accelerations without it of what `sample` read last,
   * into `out[2]`, `out[5]` and `out[8]`.
   */
  readonly writeSteady?: (out: Float64Array) => void;
  /** Writes heading in rad and its rate into `out[0..1]`, where the body turns. */
  readonly sampleHeading?: (t: number, out: Float64Array) => void;
  /** A planned motion that does not repeat and what is read of it, so that others may find it again. */
  readonly owner?: { readonly motion: object; readonly key: string };
  /** Time between the bends of the acceleration in s, where it runs straight between them. */
  readonly every?: number;
}

const still = (period: number): Series => ({ period, mean: 0, drift: 0, cos: [], sin: [] });

/** A reader of exact paths that repeat. */
export function readLoop(loop: Channels<Series>, gravity: number, loopError: number): DriverReader {
  const period = loop.height.period;
  const jet = new Float64Array(3);
  return {
    start: 0,
    duration: period,
    repeats: true,
    gravity,
    travel: loop.forward.drift / period,
    loop,
    loopError,
    sample(t, out) {
      for (let i = 0; i < 3; i++) {
        sampleSeries(loop[CHANNELS[i]], t, jet);
        out.set(jet, 3 * i);
      }
    },
  };
}

function readPlanned(motion: Motion, of: Tracked): DriverReader {
  if (motion.kind === 'shot') return readShot(motion, of);
  if (motion.kind === 'run') return readPlannedRun(motion);
  const { height, forward, side } = rootMotion(motion, { of });
  return readLoop({ height, forward, side }, readMotion(motion).gravity, 0);
}

/** A run as series, whose error is stated; its root rises and falls as its centre of mass does. */
function readPlannedRun(run: Run): DriverReader {
  const { gravity, sampleCentre } = readMotion(run);
  const { strideTime, strideLength } = run.pace;
  const row = new Float64Array(9);
  const [height, forward, side] = CHANNELS.map((_, i) =>
    projectPath(
      (t) => {
        sampleCentre(t, row);
        return row[3 * i];
      },
      0,
      strideTime,
      CHANNELS[i] === 'forward' ? strideLength : 0,
    ),
  );
  const loop = { height: height.series, forward: forward.series, side: side.series };
  return readLoop(loop, gravity, Math.max(height.error, forward.error, side.error));
}

/** A shot, its velocity and acceleration turned with the body: what hangs on it turns along. */
function readShot(shot: Shot, of: Tracked): DriverReader {
  const { start, duration, gravity } = readMotion(shot);
  const sampler = createShotSampler(shot);
  const { heading } = sampler.state;
  const turns = shot.base.turn !== undefined || shot.line.segments.length > 0;
  const turnAlong = (out: Float64Array): void => {
    if (!turns) return;
    const c = Math.cos(heading[0]);
    const s = Math.sin(heading[0]);
    for (let k = 1; k < 3; k++) {
      const f = out[3 + k];
      const g = out[6 + k];
      out[3 + k] = c * f + s * g;
      out[6 + k] = c * g - s * f;
    }
  };
  const sample = (t: number, out: Float64Array): void => {
    sampler.read(t);
    sampler.write(out, of);
    turnAlong(out);
  };
  const ends = new Float64Array(9);
  sample(start, ends);
  const [f, g] = [ends[3], ends[6]];
  sample(start + duration, ends);
  return {
    start,
    duration,
    repeats: false,
    gravity,
    travel: duration > 0 ? Math.hypot(ends[3] - f, ends[6] - g) / duration : 0,
    loopError: 0,
    owner: { motion: shot, key: of },
    sample,
    writeSteady(out) {
      sampler.writeBase(out, of);
      turnAlong(out);
    },
    ...(turns
      ? {
          sampleHeading(t: number, out: Float64Array) {
            sampler.read(t);
            out[0] = heading[0];
            out[1] = heading[1];
          },
        }
      : {}),
  };
}

const isSeries = (value: Curve | Series): value is Series => 'cos' in value;

const PATH_FIELDS = [...CHANNELS, 'gravity'];

function seriesProblem(where: string, field: string, value: unknown): void {
  if (!isRecord(value) || !Array.isArray(value.cos) || !Array.isArray(value.sin)) return;
  refuseAny(where, [
    numberProblem(`${field}.period`, value.period, { above: 0, unit: 's' }),
    numberProblem(`${field}.mean`, value.mean),
    numberProblem(`${field}.drift`, value.drift),
    ...value.cos.map((x, i) => numberProblem(`${field}.cos[${i}]`, x)),
    ...value.sin.map((x, i) => numberProblem(`${field}.sin[${i}]`, x)),
  ]);
  if (value.cos.length !== value.sin.length) {
    const got = `${value.cos.length} and ${value.sin.length}`;
    throw errorOf(where, { field, rule: 'must have as many cosine as sine terms', got, kind: 'range' });
  }
}

function readPaths(where: string, driver: PathDriver): DriverReader {
  refuseAny(where, [
    recordProblem('driver', driver, PATH_FIELDS),
    driver.gravity === undefined
      ? undefined
      : numberProblem('driver.gravity', driver.gravity, { min: 0, unit: 'm/s²' }),
  ]);
  const given = CHANNELS.filter((channel) => driver[channel] !== undefined);
  if (given.length === 0) {
    const rule = 'must be a motion, or have height, forward or side';
    throw errorOf(where, { field: 'driver', rule, got: show(driver), kind: 'type' });
  }
  const gravity = driver.gravity ?? STANDARD_GRAVITY;
  const paths = given.map((channel) => driver[channel] as Curve | Series);
  for (const [i, path] of paths.entries()) {
    refuseAny(where, [recordProblem(`driver.${given[i]}`, path)]);
    seriesProblem(where, `driver.${given[i]}`, path);
  }
  const periods = paths.map(({ period }) => period);
  if (periods.some((period) => period !== periods[0])) {
    const rule = 'must have the same period in every channel, or none in any';
    throw errorOf(where, { field: 'driver', rule, got: periods.map(String).join(', '), kind: 'range' });
  }
  const period = periods[0];
  return period === undefined
    ? readOpenPaths(driver, paths as Curve[], gravity)
    : readLoopPaths(driver, period, gravity);
}

function readLoopPaths(driver: PathDriver, period: number, gravity: number): DriverReader {
  let loopError = 0;
  const loopOf = (path: Curve | Series | undefined): Series => {
    if (path === undefined) return still(period);
    if (isSeries(path)) return path;
    const sampler = createSampler({ ...path, before: 'travels', after: 'travels' });
    const out = new Float64Array(1);
    const valueAt = (t: number): number => {
      sampler.sample(t, out);
      return out[0];
    };
    const { series, error } = projectPath(valueAt, path.start, period, path.gain ?? 0);
    loopError = Math.max(loopError, error);
    return series;
  };
  const loop = { height: loopOf(driver.height), forward: loopOf(driver.forward), side: loopOf(driver.side) };
  return readLoop(loop, gravity, loopError);
}

function readOpenPaths(driver: PathDriver, curves: readonly Curve[], gravity: number): DriverReader {
  const start = Math.min(...curves.map(({ keys }) => keys[0].time));
  const end = Math.max(...curves.map(({ keys }) => keys[keys.length - 1].time));
  const samplers = CHANNELS.map((channel) =>
    driver[channel] ? createSampler(driver[channel] as Curve) : undefined,
  );
  const sample = (t: number, out: Float64Array): void => {
    for (let i = 0; i < 3; i++) {
      if (samplers[i]) samplers[i]?.sampleJets(t, out, 3 * i);
      else out.fill(0, 3 * i, 3 * i + 3);
    }
  };
  const ends = new Float64Array(9);
  sample(start, ends);
  const from = ends[3];
  sample(end, ends);
  const travel = end > start ? (ends[3] - from) / (end - start) : 0;
  return { start, duration: end - start, repeats: false, gravity, travel, loopError: 0, sample };
}

const SAMPLE_FIELDS = [...CHANNELS, 'every', 'start', 'repeats', 'gain', 'gravity', 'cuts'];

function readSamples(where: string, driver: SampledDriver): DriverReader {
  const optional = (field: string, value: unknown, bounds = {}) =>
    value === undefined ? undefined : numberProblem(`driver.${field}`, value, bounds);
  refuseAny(where, [
    recordProblem('driver', driver, SAMPLE_FIELDS),
    numberProblem('driver.every', driver.every, { above: 0, unit: 's' }),
    optional('start', driver.start, { unit: 's' }),
    optional('gain', driver.gain, { unit: 'm' }),
    optional('gravity', driver.gravity, { min: 0, unit: 'm/s²' }),
  ]);
  if (typeof driver.repeats !== 'boolean') {
    const got = show(driver.repeats);
    throw errorOf(where, { field: 'driver.repeats', rule: 'must be true or false', got, kind: 'type' });
  }
  const given = CHANNELS.filter((channel) => driver[channel] !== undefined);
  const counts = given.map((channel) => driver[channel]?.length ?? 0);
  if (given.length === 0 || counts.some((count) => count !== counts[0] || count < 4)) {
    const rule = 'must have at least 4 samples, and as many in every channel';
    throw errorOf(where, { field: 'driver', rule, got: counts.join(', ') || 'none', kind: 'range' });
  }
  for (const channel of given) {
    const values = driver[channel] as ArrayLike<number>;
    for (let i = 0; i < values.length; i++) {
      refuseAny(where, [numberProblem(`driver.${channel}[${i}]`, values[i], { unit: 'm' })]);
    }
  }
  checkCuts(where, driver, counts[0]);
  const gravity = driver.gravity ?? STANDARD_GRAVITY;
  const start = driver.start ?? 0;
  return driver.repeats
    ? readLoopSamples(driver, start, counts[0], gravity)
    : readOpenSamples(driver, start, counts[0], gravity);
}

/** Fewest samples between two cuts: what a speed needs. */
const BETWEEN_CUTS = 2;

function checkCuts(where: string, { cuts, repeats }: SampledDriver, count: number): void {
  if (cuts === undefined) return;
  requireArray(where, 'driver.cuts', cuts);
  if (repeats && cuts.length > 0) {
    const rule = 'must be left out where the driver repeats';
    throw errorOf(where, { field: 'driver.cuts', rule, got: show(cuts), kind: 'range' });
  }
  cuts.forEach((cut, i) => {
    const min = (i > 0 ? cuts[i - 1] : 0) + BETWEEN_CUTS;
    refuseAny(where, [
      numberProblem(`driver.cuts[${i}]`, cut, { min, max: count - BETWEEN_CUTS, whole: true }),
    ]);
  });
}

function readLoopSamples(driver: SampledDriver, start: number, count: number, gravity: number): DriverReader {
  const period = count * driver.every;
  const loopOf = (values: ArrayLike<number> | undefined, drift: number): Series => {
    if (!values) return { ...still(period), drift };
    const flat = Float64Array.from({ length: count }, (_, i) => values[i] - (drift * i) / count);
    return fromSamples(flat, start, period, drift, count);
  };
  const loop = {
    height: loopOf(driver.height, 0),
    forward: loopOf(driver.forward, driver.gain ?? 0),
    side: loopOf(driver.side, 0),
  };
  return readLoop(loop, gravity, 0);
}

function readOpenSamples(driver: SampledDriver, start: number, count: number, gravity: number): DriverReader {
  const { every } = driver;
  const duration = (count - 1) * every;
  const { cuts = [] } = driver;
  const bounds = [0, ...cuts, count];
  const splines = CHANNELS.map((channel) => {
    const values = driver[channel];
    if (!values) return undefined;
    const all = Float64Array.from({ length: count }, (_, i) => values[i]);
    const second = new Float64Array(count);
    for (let k = 0; k + 1 < bounds.length; k++) {
      second.set(splineAccelerations(all.subarray(bounds[k], bounds[k + 1]), every), bounds[k]);
    }
    return { values: all, second };
  });
  /** The moment before a cut that stands for the whole of the sample's width up to it. */
  const held = (x: number): number => {
    const cut = cuts.find((sample) => x > sample - 1 && x < sample);
    return cut === undefined ? x : cut - 1;
  };
  const forward = driver.forward;
  return {
    start,
    duration,
    repeats: false,
    gravity,
    travel: forward ? (forward[count - 1] - forward[0]) / duration : 0,
    loopError: 0,
    every,
    sample(t, out) {
      const x = cuts.length > 0 ? held((t - start) / every) : (t - start) / every;
      // At a cut's last sample the piece before it is read, and at its first the piece after.
      const before = cuts.includes(x + 1);
      for (let i = 0; i < 3; i++) {
        const spline = splines[i];
        if (spline) sampleSpline(spline.values, spline.second, every, x, out, 3 * i, before);
        else out.fill(0, 3 * i, 3 * i + 3);
      }
    },
  };
}

/** Reads any driver at a public boundary. */
export function readDriver(where: string, driver: Driver, of: Tracked): DriverReader {
  refuseAny(where, [recordProblem('driver', driver)]);
  if ('kind' in driver) return readPlanned(requireMotion(where, driver), of);
  if ('every' in driver) return readSamples(where, driver);
  return readPaths(where, driver);
}
