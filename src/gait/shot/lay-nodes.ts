import { STEP_EXPONENT } from '../pace.js';
import type { Side, Walk } from '../walk.js';
import { advanceOnto, leadOf, otherFoot, stepTimeOnto } from './cycle-steps.js';
import { mixAtNodes } from './mix-nodes.js';
import { rateBetween } from './rates.js';
import type { ShotEnd, StairsSpec, TurnSpec } from './shot-spec.js';
import { startFraction, stopFraction } from './speed-profile.js';

/** What a stretch is laid out from. */
export interface CourseStretch {
  /** Index in the course's cycles. */
  readonly cycle: number;
  readonly steps: number;
  /** How it turns and what it goes over, as it was asked for. */
  readonly turn?: TurnSpec;
  readonly slope?: number;
  readonly stairs?: StairsSpec;
}

/** What a shot is laid out from: a cycle for each stretch and how many steps it has. */
export interface Course {
  readonly cycles: readonly Walk[];
  readonly stretches: readonly CourseStretch[];
  readonly from: ShotEnd;
  readonly to: ShotEnd;
  readonly firstFoot: Side;
  /** Time in s of standing before the first step. */
  readonly before: number;
  /** Frames per second where contacts and the end are on whole frames. */
  readonly fps?: number;
  /** How many times longer the first step and the last take than they would. */
  readonly patience: number;
}

/** One contact, or where the shot stands before the first. */
export interface ShotNode {
  readonly time: number;
  /** The foot that lands; at a standing start the one that stays behind. */
  readonly foot: Side;
  /** Stretch of the step that ends here. */
  readonly stretch: number;
  /** Even progress along the line in m, what the step added to it, and where the heel lands. */
  readonly progress: number;
  readonly length: number;
  readonly heel: number;
  /** Height of the floor under the heel in m, and what the step rose by. */
  readonly floor: number;
  readonly rise: number;
  /** The centre of mass without the layers: place along the line in m, and rate in m/s. */
  readonly centre: number;
  readonly speed: number;
  /** How much of each cycle it is: adds to 1. */
  readonly mix: readonly number[];
  /** Fraction of the pace: 0 standing, 1 at pace. */
  readonly profile: number;
  /** The cycle that holds here by itself, where one does. */
  readonly pure?: number;
  /** When the foot lifts in s, where that was chosen. */
  readonly lift?: number;
}

/** A laid-out shot. */
export interface Layout {
  readonly nodes: readonly ShotNode[];
  /** When the centre of mass begins to move along, and when it rests, in s. */
  readonly departs: number;
  readonly rests: number;
  /** When the layers set in: a step's time before the first contact. */
  readonly setsIn: number;
  /** Where the foot before the first node's stands and since when, where that is not as the walk has it. */
  readonly earlier?: { readonly land: number; readonly along: number; readonly lift?: number };
  /** When the first foot lifts from standing in s, where that was chosen. */
  readonly opening?: number;
  /** Whether the end is followed by the beginning, so that rates at both are the same. */
  readonly loops?: boolean;
}

/** Length of the last step before closing over what it would be. Common practice: the last step is shorter. */
const LAST_STEP = 0.85;

/** The first step's length goes with this power of its fraction of the pace: about 0.87 of a full one. Memory. */
const FIRST_EXPONENT = 0.3;

/** Time of shifting the weight before the first foot lifts, over a step's time. Memory of Jian et al. 1993. */
const SHIFT = 0.9;

/** When the closing foot lands, over the time that the centre of mass takes to come to rest. By eye. */
const CLOSE = 0.95;

/** The centre of mass moves at least this fraction of a step in the first and in the last one. */
const LEAST_MOVE = 0.2;

/** Lays out contacts, lengths, times and speeds of a shot. */
export function layNodes(course: Course): Layout {
  const { cycles, from, to, before } = course;
  const stepStretch = course.stretches.flatMap(({ steps }, k) => new Array<number>(steps).fill(k));
  const count = stepStretch.length;
  const standing = from === 'standing';
  const stops = to === 'standing';
  const mixes = mixAtNodes(course, stepStretch);
  const weigh = (mix: readonly number[], of: (walk: Walk) => number): number => {
    let sum = 0;
    for (let k = 0; k < mix.length; k++) if (mix[k] !== 0) sum += mix[k] * of(cycles[k]);
    return sum;
  };
  const profile = (i: number): number => {
    if ((standing && i === 0) || (stops && i === count)) return 0;
    const v = weigh(mixes[i], ({ pace }) => pace.dimensionlessSpeed);
    const start = standing ? startFraction(v, i) : 1;
    return stops ? Math.min(start, stopFraction(v, count - i)) : start;
  };
  const purity = (i: number): number | undefined => {
    const at = mixes[i].indexOf(1);
    return at >= 0 && profile(i) === 1 ? at : undefined;
  };
  const offset = (walk: Walk): number => walk.pivot.pressureTravel / 2;
  const nodes: ShotNode[] = [];
  let foot = standing ? otherFoot(course.firstFoot) : course.firstFoot;
  const first = mixes[0];
  let departs = 0;
  let rests = 0;
  let setsIn = 0;
  for (let i = 0; i <= count; i++) {
    const mix = mixes[i];
    const part = profile(i);
    const pure = purity(i);
    const speed = pure === undefined ? part * weigh(mix, ({ pace }) => pace.speed) : cycles[pure].pace.speed;
    const common = { mix, profile: part, pure, stretch: stepStretch[Math.max(0, i - 1)], speed };
    if (i === 0) {
      const heel = standing ? 0 : weigh(mix, (walk) => leadOf(walk, foot));
      const centre = standing ? weigh(first, offset) : weigh(mix, ({ centre }) => centre.forward.mean);
      const { slope = 0, stairs } = course.stretches[0];
      // A shot that walks in has come up what it goes on up.
      const rise = standing ? 0 : (stairs?.riser ?? slope * weigh(mix, (walk) => advanceOnto(walk, foot)));
      nodes.push({ ...common, time: 0, foot, progress: 0, length: 0, heel, floor: 0, rise, centre });
      continue;
    }
    foot = otherFoot(foot);
    const last = nodes[i - 1];
    const half = mix.map((x, k) => (x + mixes[i - 1][k]) / 2);
    const full = weigh(half, (walk) => advanceOnto(walk, foot));
    const closes = stops && i === count;
    const g = closes ? 0 : lengthFactor(last.profile, part, standing && i === 1, stops && i === count - 1);
    const { slope = 0, stairs } = course.stretches[common.stretch];
    // A step on stairs is as long as the tread, whatever it comes from.
    const length = stairs && !closes ? stairs.tread : g * full;
    const rise = stairs ? (closes ? 0 : stairs.riser) : slope * length;
    const risen = { rise, floor: last.floor + rise };
    const progress = last.progress + length;
    const ahead = weigh(mix, ({ centre }) => centre.forward.mean);
    if (closes) {
      const heel = last.heel;
      const least = last.centre + LEAST_MOVE * full;
      const centre = Math.max(heel + weigh(mix, offset), least);
      const rest = (course.patience * (2 * (centre - last.centre))) / last.speed;
      const time = last.time + CLOSE * rest;
      nodes.push({ ...common, ...risen, time, foot, progress, length, heel, centre });
      rests = last.time + rest;
      continue;
    }
    const heel = progress + weigh(mix, (walk) => leadOf(walk, foot));
    const shorter = pure === undefined ? (full - length) / 2 : 0;
    const centre = progress + ahead + shorter;
    if (standing && i === 1) {
      // A short first step leaves little to go: then the body stands farther back over its feet.
      const start = Math.min(last.centre, centre - LEAST_MOVE * length);
      nodes[0] = { ...nodes[0], centre: start };
      const ramp = (course.patience * (2 * (centre - start))) / speed;
      const stepTime = weigh(mix, (walk) => stepTimeOnto(walk, foot));
      const swing = weigh(mix, (walk) => (1 - walk.stance[foot].fraction) * walk.pace.strideTime);
      const time = before + Math.max(ramp, course.patience * (SHIFT * stepTime + swing));
      departs = time - ramp;
      setsIn = Math.max(before, time - course.patience * 1.15 * stepTime);
      nodes.push({ ...common, ...risen, time, foot, progress, length, heel, centre });
      continue;
    }
    // Steady steps keep their time; so do those to and from stairs, whose length comes from the treads.
    const steady = pure !== undefined && pure === last.pure;
    const timed = steady || (part === 1 && last.profile === 1 && meetsStairs(course, half));
    const duration = timed
      ? weigh(half, (walk) => stepTimeOnto(walk, foot))
      : (2 * (centre - last.centre)) / (speed + last.speed);
    nodes.push({ ...common, ...risen, time: last.time + duration, foot, progress, length, heel, centre });
  }
  if (!stops) rests = nodes[count].time;
  return { nodes: nodes.map((node, i) => paceThrough(course, nodes, node, i)), departs, rests, setsIn };
}

function meetsStairs({ stretches }: Course, mix: readonly number[]): boolean {
  return stretches.some(({ stairs, cycle }) => stairs && mix[cycle] > 0);
}

/** A node between steps whose times were given, with the speed that goes between them. */
function paceThrough(course: Course, nodes: readonly ShotNode[], node: ShotNode, i: number): ShotNode {
  const [before, after] = [nodes[i - 1], nodes[i + 1]];
  if (!before || !after || node.pure !== undefined || node.profile !== 1) return node;
  if (!meetsStairs(course, node.mix)) return node;
  return { ...node, speed: rateBetween(before, node, after, ({ centre }) => centre) };
}

function lengthFactor(from: number, to: number, first: boolean, last: boolean): number {
  const base = first ? to ** FIRST_EXPONENT : from === 1 && to === 1 ? 1 : ((from + to) / 2) ** STEP_EXPONENT;
  return last ? base * LAST_STEP : base;
}
