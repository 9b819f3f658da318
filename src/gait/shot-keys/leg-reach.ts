import type { Note } from '../note.js';
import { pressureProgress } from '../pressure.js';
import type { PieceTrack, Shot, ShotStep } from '../shot/shot.js';
import { createShotSampler, type ShotSampler } from '../shot/shot-sampler.js';
import { trackThrough } from '../shot/tracks.js';

/** Half the distance between the hip joints over leg length, as where a walk's root is placed. From memory. */
const HALF_HIPS = 0.095;

/** Times between two landings at which the legs are looked at. */
const LOOKS = 10;

/** What is lost to a leg before the root is lowered, in leg lengths: rounding, and a walk's own 64 looks a stride. */
const SLACK = 2e-4;

/** How far the root has to be lowered for the legs to reach, and what is worth saying about it. */
export interface LegReach {
  /** In m, ≥ 0, smooth; left out where the legs reach everywhere. */
  readonly lowered?: PieceTrack;
  readonly notes: readonly Note[];
}

/**
 * How far the root of a shot has to be lowered between its landings, so that no standing leg is longer than it is from
 * hip joint to centre of pressure; eased from landing to landing.
 */
export function reachOf(shot: Shot): LegReach {
  const { steps, duration } = shot;
  const edges = [...new Set([0, ...steps.map(({ land }) => land), duration])]
    .filter((t) => t >= 0 && t <= duration)
    .sort((a, b) => a - b);
  const sampler = createShotSampler(shot);
  const needs = edges.slice(1).map((to, i) => mostExcess(shot, sampler, edges[i], to));
  const most = Math.max(0, ...needs);
  if (most <= SLACK * shot.body.legLength) return { notes: [] };
  // An edge is as low as the lower of the two spans beside it asks for, so that the ease between is low enough.
  const nodes = edges.map((time, i) => ({
    time,
    value: Math.max(needs[i - 1] ?? 0, needs[i] ?? 0),
    rate: 0,
  }));
  const first = needs.findIndex((need) => need > SLACK * shot.body.legLength);
  return {
    lowered: trackThrough(nodes),
    notes: [
      {
        code: 'root-lowered',
        text: `The root is lowered by up to ${most.toFixed(3)} m, from ${edges[first].toFixed(2)} s on, so that the legs reach.`,
        values: { most, from: edges[first] },
      },
    ],
  };
}

const centre = new Float64Array(9);

/** How much too high the root is, at most, between two times; 0 where the legs reach. */
function mostExcess(shot: Shot, sampler: ShotSampler, from: number, to: number): number {
  const down = shot.steps.filter(({ land, lift }) => land < to && lift > from);
  let most = 0;
  const look = (t: number): void => {
    sampler.read(t);
    sampler.write(centre, 'root');
    for (const step of down) {
      if (t >= step.land && t <= step.lift) most = Math.max(most, excessOver(shot, sampler, step, t));
    }
  };
  for (let i = 0; i <= LOOKS; i++) look(from + ((to - from) * i) / LOOKS);
  // A leg is longest as it leaves the floor.
  for (const { lift } of down) if (lift > from && lift < to) look(lift);
  return most;
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
