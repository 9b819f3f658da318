import type { Note } from '../note.js';
import { pressureProgress } from '../pressure.js';
import type { PieceTrack, Shot, ShotStep } from '../shot/shot.js';
import { createShotSampler, type ShotSampler } from '../shot/shot-sampler.js';
import { prepareTrack, type TrackSampler, trackThrough } from '../shot/tracks.js';

/** Half the distance between the hip joints over leg length, as where a walk's root is placed. From memory. */
const HALF_HIPS = 0.095;

/** Times between two landings at which the legs are looked at. */
const LOOKS = 10;

/** What is lost to a leg before the root is lowered, in leg lengths: rounding, and a walk's own 64 looks a stride. */
const SLACK = 2e-4;

/** Most that the root is lowered by, in leg lengths: about as deep as somebody squats in stride. By eye. */
const MOST = 0.25;

/** What a leg may lack before it is said that it cannot reach, in leg lengths: what lies between the looks. */
const LACKS = 2e-3;

/** How far the root has to be lowered for the legs to reach, and what is worth saying about it. */
export interface LegReach {
  /** In m, ≥ 0, smooth; left out where the legs reach everywhere. */
  readonly lowered?: PieceTrack;
  /** Whether all legs reach then. */
  readonly reached: boolean;
  readonly notes: readonly Note[];
}

/** How much too high the root is, at most, and when. */
interface Excess {
  readonly most: number;
  readonly at: number;
}

/**
 * How far the root of a shot has to be lowered between its landings, so that no standing leg is longer than it is from
 * hip joint to centre of pressure; eased from landing to landing, from nothing as a standing body sets out. A root is
 * lowered by a quarter of the leg at most: steps too far apart for that are too far apart.
 */
export function reachOf(shot: Shot): LegReach {
  const { steps, duration, body } = shot;
  const still = stillUntil(shot);
  const sets = (shot.spec.from ?? 'standing') === 'standing';
  const lifts = sets ? Math.min(...steps.map(({ lift }) => lift)) : 0;
  const edges = [...new Set([0, still, lifts, ...steps.map(({ land }) => land), duration])]
    .filter((t) => t >= 0 && t <= duration)
    .sort((a, b) => a - b);
  const sampler = createShotSampler(shot);
  const stands = (to: number): boolean => sets && to <= still;
  const excess = edges.slice(1).map((to, i) => mostExcess(shot, sampler, edges[i], to));
  const needs = excess.map(({ most }, i) =>
    stands(edges[i + 1]) ? 0 : Math.min(most, MOST * body.legLength),
  );
  const most = Math.max(0, ...needs);
  if (most <= SLACK * body.legLength) return { reached: true, notes: [] };
  // An edge is as low as the lower of the two spans beside it asks for, so that the ease between is low enough.
  const nodes = edges.map((time, i) => ({
    time,
    value: stands(time) ? 0 : Math.max(needs[i - 1] ?? 0, needs[i] ?? 0),
    rate: 0,
  }));
  const lowered = trackThrough(nodes);
  const from = edges[Math.max(0, nodes.findIndex(({ value }) => value > SLACK * body.legLength) - 1)];
  const { at } = excess[needs.indexOf(most)];
  const notes: Note[] = [
    {
      code: 'root-lowered',
      text: `The root is lowered from ${from.toFixed(2)} s on so that the legs reach, most at ${at.toFixed(2)} s, by ${most.toFixed(3)} m.`,
      values: { most, at, from },
    },
  ];
  const short = edges
    .slice(1)
    .map((to, i) => mostExcess(shot, sampler, edges[i], to, prepareTrack(lowered)))
    .reduce((a, b) => (b.most > a.most ? b : a));
  const reached = short.most <= LACKS * body.legLength;
  if (!reached) {
    notes.push({
      code: 'legs-cannot-reach',
      text: `With the root lowered it is still ${short.most.toFixed(3)} m too high for the legs at ${short.at.toFixed(2)} s: the steps are too far apart.`,
      values: { short: short.most, at: short.at, mostLowered: MOST * body.legLength },
    });
  }
  return { lowered, reached, notes };
}

/** Until when a body that stands at first stays where it is, in s. */
function stillUntil({ base: { along, beside, turn } }: Shot): number {
  const tracks = turn ? [along, beside, turn] : [along, beside];
  return Math.min(
    ...tracks.map(({ times, powers }) => {
      const moves = powers.findIndex((own) => own.some((power, k) => k > 0 && power !== 0));
      return moves < 0 ? times[times.length - 1] : times[moves];
    }),
  );
}

const centre = new Float64Array(9);
const down = new Float64Array(3);

/** How much too high the root is, at most, between two times; 0 where the legs reach. */
function mostExcess(
  shot: Shot,
  sampler: ShotSampler,
  from: number,
  to: number,
  lowered?: TrackSampler,
): Excess {
  const standing = shot.steps.filter(({ land, lift }) => land < to && lift > from);
  let [most, at] = [0, from];
  const look = (t: number): void => {
    sampler.read(t);
    sampler.write(centre, 'root');
    lowered?.(t, down, 0);
    for (const step of standing) {
      if (t < step.land || t > step.lift) continue;
      const excess = excessOver(shot, sampler, step, t) - (lowered ? down[0] : 0);
      if (excess > most) [most, at] = [excess, t];
    }
  };
  for (let i = 0; i <= LOOKS; i++) look(from + ((to - from) * i) / LOOKS);
  // A leg is longest as it leaves the floor.
  for (const { lift } of standing) if (lift > from && lift < to) look(lift);
  return { most, at };
}

/** How much too high the root is over one standing foot, at the time that was read last. */
function excessOver(shot: Shot, { state }: ShotSampler, step: ShotStep, t: number): number {
  const { legLength } = shot.body;
  const heading = state.heading[0];
  const pressure = pressureAt(shot, step, t);
  const hip = (step.foot === 'left' ? HALF_HIPS : -HALF_HIPS) * legLength;
  const along = centre[3] - Math.sin(heading) * hip - pressure.forward;
  const across = centre[6] + Math.cos(heading) * hip - pressure.side;
  const reach = Math.sqrt(Math.max(0, legLength * legLength - along * along - across * across));
  return centre[0] - (step.plant.height + reach);
}

/** Where the pressure under a foot is, in m. */
function pressureAt(
  shot: Shot,
  { plant, roll, cycle }: ShotStep,
  t: number,
): { forward: number; side: number } {
  const span = roll.end - roll.start;
  const part = span > 0 ? Math.min(1, Math.max(0, (t - roll.start) / span)) : 1;
  const u = roll.from + (roll.to - roll.from) * part;
  const ahead = shot.cycles[cycle].pivot.pressureTravel * pressureProgress(u);
  return {
    forward: plant.forward + ahead * Math.cos(plant.heading),
    side: plant.side + ahead * Math.sin(plant.heading),
  };
}
