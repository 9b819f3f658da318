import type { Curve } from '../curves/curve.js';
import { createSampler } from '../curves/sampler.js';
import { type Series, sampleSeries } from '../curves/series.js';
import { isRecord, numberProblem, recordProblem, refuseAny, requireArray } from '../internal/check.js';
import { findFixedPoint } from './anderson.js';
import { readCarrier } from './carrier.js';
import { type ClothPart, type Obstacle, readClothPart } from './cloth-part.js';
import { BAR_SIZE, ClothSim } from './cloth-sim.js';
import { type CarrierName, type CarrierSpec, CHANNELS, type Driver } from './driver.js';
import type { FollowerNote } from './follower.js';
import type { SampledTrack } from './follower-track.js';
import type { DriverReader } from './read-driver.js';
import type { LinkTracks } from './strand.js';

/** How a cloth follows. */
export interface ClothOptions {
  /** What it hangs from. Default `hips`. */
  readonly carrier?: CarrierName | CarrierSpec;
  /** Bars it cannot enter, such as thighs. Default none. */
  readonly obstacles?: readonly Obstacle[];
  /** Steps per cycle of a driver that repeats, 32…4096. Default 240. */
  readonly steps?: number;
  /** Time in s that is added after the end of a driver that does not repeat. Default 0. */
  readonly settle?: number;
  /** Time between samples in s on a driver that does not repeat. Default 1/240. */
  readonly every?: number;
}

/** A cloth that has been made to follow. */
export interface ClothFollower {
  readonly kind: 'cloth';
  readonly repeats: boolean;
  readonly start: number;
  readonly duration: number;
  /** Strand by strand, link by link: angles in rad against the link above, away from rest. */
  readonly strands: readonly (readonly LinkTracks[])[];
  /** Largest change of any angle in rad, or of its speed in rad/s over 2π, from one cycle to the next. */
  readonly residual: number;
  readonly driverError: number;
  readonly notes: readonly FollowerNote[];
}

const OPTIONS = ['carrier', 'obstacles', 'steps', 'settle', 'every'];
/** Turns of the period map that a loop may take, and the change that counts as closed, in rad. */
const TURNS = 200;
const CLOSED = 1e-9;

type BarReader = (t: number, out: Float64Array) => void;

/**
 * The angles in rad of a cloth's strands, hung in the felt weight of a driver and coupled side to side.
 *
 * Small angles: each strand's modes are stepped exactly, felt weight and coupling taken as kicks of second
 * order in the step; links that enter a bar are moved out of it and stopped. On a driver that repeats the
 * loop is solved for by Anderson mixing of the period's map, closed to the residual that is returned. No
 * self-collision.
 *
 * @param driver - a motion, paths or samples
 * @param part - a strand's fields, and how many strands, ring or panel, radius, ripple, flare
 * @param options - carrier, obstacles by paths relative to the carrier, steps
 * @returns strands of links with pitch and roll, and the residual
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { followCloth, planWalk } from 'underfoot';
 *
 * const skirt = { length: 0.5, links: 3, dampingRatio: 0.3, strands: 6, ring: true, flare: 0.3, frequencyHz: 1.4 };
 * const { strands, residual } = followCloth(planWalk({ pace: 'ordinary' }), skirt);
 * console.log(strands.length, residual < 1e-8); // → 6 true
 * ```
 */
export function followCloth(driver: Driver, part: ClothPart, options: ClothOptions = {}): ClothFollower {
  const where = 'followCloth';
  refuseAny(where, [recordProblem('options', options, OPTIONS)]);
  const { obstacles = [], steps = 240, settle = 0, every = 1 / 240 } = options;
  refuseAny(where, [
    numberProblem('steps', steps, { min: 32, max: 4096, whole: true }),
    numberProblem('settle', settle, { min: 0, unit: 's' }),
    numberProblem('every', every, { above: 0, unit: 's' }),
  ]);
  const shape = readClothPart(where, part);
  const reader = readCarrier(where, driver, options.carrier);
  const sim = new ClothSim(where, shape, reader.gravity);
  const readBars = readObstacles(where, obstacles);
  const bars = new Float64Array(BAR_SIZE * obstacles.length);
  const whole = reader.repeats ? reader.duration : reader.duration + settle;
  const count = reader.repeats ? steps : Math.max(1, Math.round(whole / every));
  const h = whole / count;
  const push = new Float64Array(3);
  const run = (visit?: () => void): void => {
    pushAt(reader, sim.alpha, reader.start, push);
    sim.next.set(push, 1);
    sim.feelNext();
    sim.next[0] = h;
    for (let i = 1; i <= count; i++) {
      visit?.();
      const t = reader.start + i * h;
      pushAt(reader, sim.alpha, t, push);
      sim.next.set(push, 1);
      readBars(t, bars);
      sim.step(bars);
    }
  };
  let residual = 0;
  const notes: FollowerNote[] = [];
  if (reader.repeats) {
    const size = angleSize(sim);
    const guess = new Float64Array(sim.stateSize);
    const found = findFixedPoint(
      (state) => {
        sim.load(state);
        run();
        sim.save(state);
      },
      guess,
      size,
      CLOSED,
      TURNS,
    );
    residual = found.residual;
    sim.load(found.state);
    if (residual > 1e-4) {
      const text = `The cloth does not come back within ${TURNS} cycles; ${residual.toPrecision(3)} rad is left over.`;
      notes.push({ code: 'does-not-repeat', text, values: { residual } });
    }
  }
  const recorded = record(sim, reader.start, h, reader.repeats && residual <= 1e-4 ? whole : undefined);
  run(recorded.visit);
  if (!reader.repeats) recorded.visit();
  return {
    kind: 'cloth',
    repeats: reader.repeats && residual <= 1e-4,
    start: reader.start,
    duration: whole,
    strands: recorded.strands,
    residual,
    driverError: reader.loopError,
    notes,
  };
}

/** What one rad at the tip is in the first mode, to measure states by. */
function angleSize(sim: ClothSim): number {
  const { shapes, links } = sim.planes[0][0].tables;
  return 1 / Math.max(Math.abs(shapes[(links - 1) * links]), 1e-12);
}

const jets = new Float64Array(9);

function pushAt(reader: DriverReader, alpha: number, t: number, out: Float64Array): void {
  if (!reader.repeats && t > reader.start + reader.duration + 1e-12) {
    out.fill(0);
    return;
  }
  reader.sample(t, jets);
  for (let i = 0; i < 3; i++) out[i] = jets[3 * i + 2] + alpha * jets[3 * i + 1];
}

function readObstacles(where: string, obstacles: readonly Obstacle[]): BarReader {
  requireArray(where, 'obstacles', obstacles);
  const jet = new Float64Array(3);
  const readers = obstacles.flatMap((bar, b) => {
    const field = `obstacles[${b}]`;
    refuseAny(where, [
      recordProblem(field, bar, ['radius', 'top', 'bottom']),
      numberProblem(`${field}.radius`, bar.radius, { above: 0, unit: 'm' }),
      recordProblem(`${field}.top`, bar.top, CHANNELS),
      recordProblem(`${field}.bottom`, bar.bottom, CHANNELS),
    ]);
    const values: (number | Curve | Series)[] = [bar.top, bar.bottom].flatMap((point, p) =>
      CHANNELS.map((channel) => {
        const value = point[channel];
        const name = `${field}.${p === 0 ? 'top' : 'bottom'}.${channel}`;
        if (!isRecord(value)) refuseAny(where, [numberProblem(name, value, { unit: 'm' })]);
        return value;
      }),
    );
    return [...values, bar.radius].map((value) => {
      if (typeof value === 'number') return () => value;
      if ('cos' in value) {
        return (t: number) => {
          sampleSeries(value, t, jet);
          return jet[0];
        };
      }
      const sampler = createSampler(value);
      return (t: number) => {
        sampler.sample(t, jet);
        return jet[0];
      };
    });
  });
  return (t, out) => {
    for (let i = 0; i < readers.length; i++) out[i] = readers[i](t);
  };
}

interface Recording {
  readonly strands: LinkTracks[][];
  readonly visit: () => void;
}

function record(sim: ClothSim, start: number, every: number, period: number | undefined): Recording {
  const { links, planes } = sim;
  const track = (): SampledTrack & { values: number[]; slopes: number[] } => ({
    start,
    every,
    values: [],
    slopes: [],
    ...(period === undefined ? {} : { period }),
  });
  const strands = planes.map(() => Array.from({ length: links }, () => ({ pitch: track(), roll: track() })));
  const angles = new Float64Array(links);
  const speeds = new Float64Array(links);
  const visit = (): void => {
    planes.forEach((pair, s) => {
      pair.forEach(({ stepper, tables }, axis) => {
        stepper.readAngles(angles, speeds);
        const sign = axis === 0 ? -1 : 1;
        for (let i = 0; i < links; i++) {
          const to = axis === 0 ? strands[s][i].pitch : strands[s][i].roll;
          const off = angles[i] - tables.chain.rest[i];
          const above = i > 0 ? angles[i - 1] - tables.chain.rest[i - 1] : 0;
          to.values.push(sign * (off - above));
          to.slopes.push(sign * (speeds[i] - (i > 0 ? speeds[i - 1] : 0)));
        }
      });
    });
  };
  return { strands, visit };
}
