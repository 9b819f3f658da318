import type { Curve } from '../curves/curve.js';
import type { FitResult } from '../curves/fit/fit-curve.js';
import { createSampler } from '../curves/sampler.js';
import { type Series, sampleSeries } from '../curves/series.js';
import { isRecord, numberProblem, recordProblem, refuseAny, requireArray } from '../internal/check.js';
import { findFixedPoint } from './anderson.js';
import { readCarrier } from './carrier.js';
import { type Chain, type Swing, swingOf } from './chain.js';
import { type ClothPart, type ClothShape, type Obstacle, readClothPart } from './cloth-part.js';
import { type BarReader, ClothRun } from './cloth-run.js';
import { ClothSim } from './cloth-sim.js';
import { solveCloth } from './cloth-small.js';
import { type CarrierName, type CarrierSpec, CHANNELS, type Driver } from './driver.js';
import { findRepeat, MOST_CYCLES } from './find-loop.js';
import { checkKeys, type FollowerNote, type KeyOptions, keyTrack, settleToFrame } from './follower.js';
import { type FollowerTrack, scaleTrack, subtractTrack, trackExtent } from './follower-track.js';
import type { DriverReader } from './read-driver.js';
import type { LinkTracks } from './strand.js';
import { readPlaneDrive } from './strand-drive.js';

/** How a cloth follows. */
export interface ClothOptions {
  /** What it hangs from. Default `hips`. */
  readonly carrier?: CarrierName | CarrierSpec;
  /** Bars it cannot enter, such as thighs. Default none. */
  readonly obstacles?: readonly Obstacle[];
  /** Keys on whole frames besides the tracks; their tolerance in rad. Default none. */
  readonly keys?: KeyOptions;
  /** Steps per cycle where obstacles or limits are struck on a driver that repeats, 32…4096. Default 240. */
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
  /** Cycles of the driver after which it repeats; 0 where it does not. */
  readonly cycles: number;
  /**
   * What the equations leave over, as a part of the drive; where bars or limits are struck, the largest
   * change of any mode from one time round to the next, in rad at the tip.
   */
  readonly residual: number;
  /** Factor by which a small sway grows (> 1) or dies per cycle of the drive; free loops only. */
  readonly growth?: number;
  readonly driverError: number;
  /** The tracks as keys, where asked for. */
  readonly keyed?: readonly (readonly { readonly pitch: FitResult; readonly roll: FitResult }[])[];
  readonly notes: readonly FollowerNote[];
}

const OPTIONS = ['carrier', 'obstacles', 'steps', 'settle', 'every', 'keys'];
/** Turns of the period map that a loop may take, and the change that counts as closed, in rad. */
const TURNS = 200;
const CLOSED = 1e-9;
/** A change over a cycle below this, in rad, is taken for coming back. */
const REPEATS = 1e-4;
/** What linear equations may leave over, as a part of the drive. */
const UNSOLVED = 1e-9;
/** Growth per cycle that is no more than what was watched for can tell. */
const STEADY = 1.001;
/** Bend of a joint in rad past which sine and angle part by 6 %. */
const SMALL = 0.6;

/**
 * The angles in rad of a cloth's strands, hung in the felt weight of a driver and coupled side to side.
 *
 * Small angles, about where the cloth hangs in the wind of steady travel. On a driver that repeats the linear
 * equations of a cloth that touches nothing are solved by harmonic balance. Against bars and joint limits, and
 * on a driver that does not repeat, each strand's modes are stepped exactly, felt weight and coupling taken as
 * kicks of second order in the step; links that enter a bar are moved out of it and stopped, and the loop is
 * solved for by Anderson mixing of the period's map. No self-collision.
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
  const { obstacles = [], steps = 240, settle = 0, every = 1 / 240, keys } = options;
  refuseAny(where, [
    numberProblem('steps', steps, { min: 32, max: 4096, whole: true }),
    numberProblem('settle', settle, { min: 0, unit: 's' }),
    numberProblem('every', every, { above: 0, unit: 's' }),
  ]);
  checkKeys(where, keys);
  const shape = readClothPart(where, part);
  const reader = readCarrier(where, driver, options.carrier);
  const speed = reader.repeats ? reader.travel : 0;
  const sim = new ClothSim(where, shape, reader.gravity, speed);
  const readBars = readObstacles(where, obstacles);
  const run = new ClothRun(reader, sim, readBars, obstacles.length, {
    steps,
    settle: settleToFrame(reader, settle, keys),
    every,
    speed,
  });
  const free = obstacles.length === 0 && !Number.isFinite(shape.strands[0].spec.limit);
  const answer = reader.repeats
    ? free
      ? loopOf(reader, sim, shape, run)
      : struckLoopOf(sim, run)
    : { strands: run.shot(), residual: 0, cycles: 0, notes: [] };
  const { strands, cycles } = answer;
  const notes = [...answer.notes, ...reachNotes(strands, reader.start, reader.duration)];
  return {
    kind: 'cloth',
    repeats: cycles > 0,
    start: reader.start,
    duration: reader.repeats ? reader.duration * (cycles || MOST_CYCLES) : run.whole,
    cycles,
    strands,
    residual: answer.residual,
    ...(answer.growth === undefined ? {} : { growth: answer.growth }),
    driverError: reader.loopError,
    ...(keys
      ? {
          keyed: strands.map((links) =>
            links.map(({ pitch, roll }) => ({ pitch: keyTrack(pitch, keys), roll: keyTrack(roll, keys) })),
          ),
        }
      : {}),
    notes,
  };
}

interface Answer {
  readonly strands: readonly (readonly LinkTracks[])[];
  readonly residual: number;
  readonly cycles: number;
  readonly growth?: number;
  readonly notes: readonly FollowerNote[];
}

/** The loop of a cloth that touches nothing: linear equations, exactly. */
function loopOf(reader: DriverReader, sim: ClothSim, shape: ClothShape, run: ClothRun): Answer {
  const swings = new Map<Chain, Swing>();
  const planes = ([0, 1] as const).map((axis) => {
    const chains = sim.planes.map((pair) => pair[axis].tables.chain);
    if (axis === 1) swings.clear();
    for (const chain of chains) {
      if (!swings.has(chain)) swings.set(chain, swingOf(chain, axis === 0 ? reader.travel : 0));
    }
    const own = chains.map((chain) => swings.get(chain) as Swing);
    const drive = readPlaneDrive(reader, axis === 0 ? 'forward' : 'side', sim.alpha);
    const loop = solveCloth(own, drive, shape.coupling, shape.ring);
    // From plumb: the mean that the swing is about, added.
    const strands = loop.strands.map((links, s) =>
      links.map((series, i) => ({ ...series, mean: series.mean + own[s].mean[i] - chains[s].rest[i] })),
    );
    return { strands, residual: loop.residual };
  });
  const strands = sim.planes.map((_, s) =>
    Array.from({ length: sim.links }, (_, i): LinkTracks => {
      const of = (axis: 0 | 1, sign: number): FollowerTrack => {
        const links = planes[axis].strands[s];
        const bend = i > 0 ? subtractTrack(links[i], links[i - 1]) : links[i];
        return scaleTrack(bend, sign, 0);
      };
      return { pitch: of(0, -1), roll: of(1, 1) };
    }),
  );
  const residual = Math.max(...planes.map((plane) => plane.residual));
  const growth = run.growth();
  const notes: FollowerNote[] = [];
  if (residual > UNSOLVED) {
    const text = `The equations leave ${residual.toPrecision(3)} of the drive over.`;
    notes.push({ code: 'not-solved', text, values: { residual } });
  }
  if (growth > STEADY) {
    const text = `A small sway grows by ${growth.toPrecision(4)} each cycle of the driver.`;
    notes.push({ code: 'sways-by-itself', text, values: { growth } });
  }
  return { strands, residual, cycles: 1, growth, notes };
}

/** The loop of a cloth that strikes bars: a state that comes back after one cycle, or after some. */
function struckLoopOf(sim: ClothSim, run: ClothRun): Answer {
  const size = angleSize(sim);
  const map = (state: Float64Array): void => run.cycle(state);
  const found = findFixedPoint(map, new Float64Array(sim.stateSize), size, CLOSED, TURNS);
  if (found.residual <= REPEATS) {
    return { strands: run.loop(found.state, 1), residual: found.residual, cycles: 1, notes: [] };
  }
  const later = findRepeat(map, found.state, size, REPEATS);
  const { cycles, residual } = later;
  const note: FollowerNote =
    cycles > 0
      ? {
          code: 'repeats-after-cycles',
          text: `The cloth repeats after ${cycles} cycles of the driver.`,
          values: { cycles },
        }
      : {
          code: 'does-not-repeat',
          text: `The cloth does not come back within ${MOST_CYCLES} cycles; ${residual.toPrecision(3)} rad is left over.`,
          values: { residual },
        };
  return {
    strands: run.loop(later.state, cycles || MOST_CYCLES, cycles > 0),
    residual,
    cycles,
    notes: [note],
  };
}

/** Whether small angles are still what the answer is. */
function reachNotes(
  strands: readonly (readonly LinkTracks[])[],
  start: number,
  duration: number,
): readonly FollowerNote[] {
  let most = 0;
  for (const links of strands) {
    for (const { pitch, roll } of [links[0], links[links.length - 1]]) {
      for (const track of [pitch, roll]) {
        const [low, high] = trackExtent(track, start, duration);
        most = Math.max(most, Math.abs(low), Math.abs(high));
      }
    }
  }
  if (most <= SMALL) return [];
  const text = `A link bends by ${most.toPrecision(3)} rad, more than small angles are good for.`;
  return [{ code: 'past-small-angles', text, values: { bend: most } }];
}

/** What one rad at the tip is in the first mode, to measure states by. */
function angleSize(sim: ClothSim): number {
  const { shapes, links } = sim.planes[0][0].tables;
  return 1 / Math.max(Math.abs(shapes[(links - 1) * links]), 1e-12);
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
