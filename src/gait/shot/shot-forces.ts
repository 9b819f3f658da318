import { bernstein } from '../bernstein.js';
import { COEFFICIENTS } from '../coefficients.js';
import { pressureProgress } from '../pressure.js';
import type { Pivot } from '../walk.js';
import type { Shot, ShotStep } from './shot.js';
import type { ShotSampler } from './shot-sampler.js';
import { findPiece } from './tracks.js';

/** Writes the left foot's share of the load at a time; remembers where it read last. */
function prepareShare(shot: Shot): (t: number) => number {
  const { handOvers, steps } = shot;
  const count = handOvers.length;
  const starts = Float64Array.from([...handOvers.map(({ start }) => start), Number.POSITIVE_INFINITY]);
  const first = steps[0].foot === 'left' ? 1 : 0;
  let last = 0;
  return (t) => {
    if (count === 0 || t < starts[0]) return count === 0 ? first : handOvers[0].from;
    last = findPiece(starts, count, t, last);
    const { start, end, from, to } = handOvers[last];
    if (t >= end) return to;
    return from + (to - from) * bernstein(COEFFICIENTS.handOver, (t - start) / (end - start));
  };
}

/** Everything about one standing of one foot that its force follows from. */
interface Standing {
  readonly step: ShotStep;
  readonly pivot: Pivot;
  readonly cos: number;
  readonly sin: number;
}

/** Writes the standing of a foot at a time, the last one that had landed. */
function prepareStandings(shot: Shot, foot: 'left' | 'right'): (t: number) => Standing | undefined {
  const own = shot.steps.filter((step) => step.foot === foot);
  const lands = Float64Array.from([...own.map(({ land }) => land), Number.POSITIVE_INFINITY]);
  const standings = own.map((step): Standing => {
    const { heading } = step.plant;
    const { pivot } = shot.cycles[step.cycle];
    return { step, pivot, cos: Math.cos(heading), sin: Math.sin(heading) };
  });
  let last = 0;
  return (t) => {
    if (own.length === 0 || t < lands[0]) return undefined;
    last = findPiece(lands, own.length, t, last);
    return standings[last];
  };
}

const square = (x: number): number => x * x;

/**
 * Writes what each foot would push from its pressure at its pivot, left then right, and what the total force
 * holds beyond that, forward and to the side, in BW; returns the left foot's share. All in the fixed axes.
 */
export type AimReader = (t: number, feet: Float64Array, rest: Float64Array) => number;

/** A prepared reader of the feet's aims; allocates nothing. Leaves the sampler at the time that it read. */
export function prepareAims(shot: Shot, sampler: ShotSampler): AimReader {
  const { gravity, duration } = shot;
  const shareOfLeft = prepareShare(shot);
  const standing = [prepareStandings(shot, 'left'), prepareStandings(shot, 'right')];
  const centre = new Float64Array(9);
  const aim = new Float64Array(2);
  return (time, out, rest) => {
    const t = Math.min(Math.max(time, 0), duration);
    sampler.read(t);
    sampler.write(centre, 'centreOfMass');
    const load = 1 + centre[2] / gravity;
    rest[0] = centre[5] / gravity;
    rest[1] = centre[8] / gravity;
    const left = shareOfLeft(t);
    const heading = sampler.state.heading[0];
    const c = Math.cos(heading);
    const s = Math.sin(heading);
    for (let i = 0; i < 2; i++) {
      const carried = load * (i === 0 ? left : 1 - left);
      out[3 * i] = carried;
      out[3 * i + 1] = 0;
      out[3 * i + 2] = 0;
      const foot = standing[i](t);
      if (carried === 0 || foot === undefined) continue;
      aimOf(foot, i === 0 ? -1 : 1, t, centre, c, s, aim);
      const along = carried * aim[0];
      const across = carried * aim[1];
      out[3 * i + 1] = along * c - across * s;
      out[3 * i + 2] = along * s + across * c;
      rest[0] -= out[3 * i + 1];
      rest[1] -= out[3 * i + 2];
    }
    return left;
  };
}

/**
 * A prepared reader of both feet's forces in BW, in the fixed axes: left vertical, forward, side, then right,
 * into `out[0..5]`; allocates nothing.
 *
 * The total is what moves the centre of mass: (acceleration + gravity) / gravity. Each foot takes its share
 * of the load, aimed from its pressure at its pivot, and of what the total holds beyond that its share.
 */
export function prepareShotForces(shot: Shot, sampler: ShotSampler): (t: number, out: Float64Array) => void {
  const aims = prepareAims(shot, sampler);
  const rest = new Float64Array(2);
  return (t, out) => {
    const left = aims(t, out, rest);
    out[1] += rest[0] * left;
    out[2] += rest[1] * left;
    out[4] += rest[0] * (1 - left);
    out[5] += rest[1] * (1 - left);
  };
}

/**
 * Horizontal over vertical force of a standing foot, along the body's heading and to its left: from the
 * centre of pressure to the pivot, and the pushes at landing and push-off.
 *
 * @param inwards - 1 where inwards is to the left
 */
function aimOf(
  { step, pivot, cos, sin }: Standing,
  inwards: number,
  t: number,
  centre: Float64Array,
  c: number,
  s: number,
  out: Float64Array,
): void {
  const { plant, roll } = step;
  const span = roll.end - roll.start;
  const part = span > 0 ? Math.min(1, Math.max(0, (t - roll.start) / span)) : 1;
  const u = roll.from + (roll.to - roll.from) * part;
  const ahead = pivot.pressureTravel * pressureProgress(u);
  const aside = inwards * pivot.sideTravel * (u - 0.5);
  const forward = centre[3] - (plant.forward + ahead * cos - aside * sin);
  const side = centre[6] - (plant.side + ahead * sin + aside * cos);
  const { landing, pushOff, sideLanding } = pivot;
  out[0] = (forward * c + side * s) / pivot.forwardHeight;
  out[1] = (side * c - forward * s) / pivot.sideHeight;
  if (u < landing.until) out[0] += landing.size * square(1 - u / landing.until);
  if (u > pushOff.from) out[0] += pushOff.size * square((u - pushOff.from) / (1 - pushOff.from));
  if (u < sideLanding.until) out[1] += inwards * sideLanding.size * square(1 - u / sideLanding.until);
}
