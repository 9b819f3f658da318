import {
  BEND,
  CLEARANCE,
  FORWARD,
  type FootPath,
  HEIGHT,
  makeStepPath,
  PITCH,
  pushBefore,
  SIDE,
  strikeAfter,
} from '../feet/foot-path.js';
import { type FootShape, footShapeOf } from '../feet/foot-shape.js';
import { joinJets, type Quintic, writeQuintic } from '../feet/quintic.js';
import { prepareLine } from '../shot/centre-line.js';
import type { Shot, ShotStep } from '../shot/shot.js';
import type { Side } from '../walk.js';
import { archOver, writeArch } from './arch-over.js';
import { clearest, leastOverSteps } from './over-nosings.js';
import type { StanceTimes } from './stance-times.js';
import { swingOverLine } from './swing-over-line.js';

/** Beside what a walk's foot has: which way it points. */
export const HEADING = 15;
export const SHOT_FOOT_NUMBERS = 18;
const PLACES = { forward: FORWARD, side: SIDE, heading: HEADING } as const;

/** One stance of a foot and the swing that follows it, in the fixed axes of the shot. */
export interface FootPiece {
  readonly step: ShotStep;
  readonly times: StanceTimes;
  /** When the foot lands again in s; left out where it stands on. */
  readonly next?: number;
  /** Angle at landing, in rad. */
  readonly strike: number;
  /** Writes the six channels, each with two derivatives, at `t` s within the piece. */
  write(t: number, out: Float64Array): void;
}

/** When a step up is done, and when a step down begins, over the swing; the way forwards waits or hurries. By eye. */
const RISE = { done: 0.45, waits: 0.18 } as const;

/** How much longer it may wait, so as to pass the edges of the steps: of the swing, the first that passes. By eye. */
const WAITS_MORE = [0, 0.03, 0.06, 0.09, 0.12, 0.15, 0.18, 0.21] as const;

/** A step up or down of this many leg lengths is taken on a flat foot. Common practice, no source. */
const FLAT_RISE = 0.12;

/** How many times as high as a walker's a runner's foot is carried. By eye. */
const RUN_CARRIES = 5;

/** Travel of a swing from 0 to 1: leaves and arrives as a walk's foot does. */
const TRAVEL: Quintic = joinJets([0, 0, 6], [1, 0, -8], 1);

/** Ease from 0 to 1, at rest at both ends to the second derivative. */
const EASE: Quintic = joinJets([0, 0, 0], [1, 0, 0], 1);

/** A foot of a shot: its pieces in order of time. */
export interface ShotFoot {
  readonly side: Side;
  readonly shape: FootShape;
  readonly pieces: readonly FootPiece[];
}

/**
 * The path of one foot through a shot. On level ground and straight on it is a walk's: still on its heel, flat, still
 * on its ball, through the air. Angles at landing and lift follow from how far the foot came and goes; a slope tips
 * all of it, a step up or down raises it early or lowers it late, in a turn it goes round with the shot's line.
 *
 * @param strikeScale - factor on the angle at landing of each stance
 */
export function shotFootPath(
  shot: Shot,
  side: Side,
  times: readonly StanceTimes[],
  strikeScale: readonly number[],
): ShotFoot {
  const shape = footShapeOf(shot.body);
  const stances = shot.steps.filter(({ foot }) => foot === side);
  const strikes = stances.map((step, i) => {
    return i === 0 && step.kind === 'begin' && standsAtFirst(shot)
      ? 0
      : strikeScale[i] * strikeOf(shot, stances[i - 1], step);
  });
  const pieces = stances.map((step, i): FootPiece => {
    const to = stances[i + 1];
    const ground = { step, to, times: times[i], next: times[i + 1]?.land };
    return pieceOf(shot, side, shape, ground, strikes[i], strikes[i + 1] ?? 0);
  });
  return { side, shape, pieces };
}

function standsAtFirst({ spec }: Shot): boolean {
  return (spec.from ?? 'standing') === 'standing';
}

/** Half of the way between two stances of a foot, in leg lengths: the step that shapes what lies between. */
function stepBetween(shot: Shot, from: ShotStep, to: ShotStep): number {
  const { forward, side } = from.plant;
  return Math.hypot(to.plant.forward - forward, to.plant.side - side) / 2 / shot.body.legLength;
}

function strikeOf(shot: Shot, from: ShotStep | undefined, to: ShotStep): number {
  if (!from) return strikeAfter(shot.cycles[to.cycle].pace.stepLength / shot.body.legLength);
  const rise = Math.abs(stepUp(from, to)) / shot.body.legLength;
  return strikeAfter(stepBetween(shot, from, to)) * Math.max(0, 1 - rise / FLAT_RISE);
}

/** How far the front is down as the foot leaves: where the shot walks out, as its walk's does. */
function pushOf(shot: Shot, from: ShotStep, to: ShotStep | undefined): number {
  if (to) return pushBefore(stepBetween(shot, from, to));
  return from.ends ? 0 : pushBefore(shot.cycles[from.cycle].pace.stepLength / shot.body.legLength);
}

/** What one plant is higher than another, beyond what the slope of the ground between them makes of it. */
function stepUp(from: ShotStep, to: ShotStep): number {
  const [a, b] = [from.plant, to.plant];
  const way = Math.hypot(b.forward - a.forward, b.side - a.side);
  const forwards = (b.forward - a.forward) * Math.cos(a.heading) + (b.side - a.side) * Math.sin(a.heading);
  const sloped = -Math.sign(forwards) * way * Math.tan((a.pitch + b.pitch) / 2);
  const up = b.height - a.height - sloped;
  // Slopes whose pitch changes on the way leave a little; that is no step.
  return a.pitch === 0 && b.pitch === 0 ? up : 0;
}

interface Ground {
  readonly step: ShotStep;
  readonly to?: ShotStep;
  readonly times: StanceTimes;
  readonly next?: number;
}

function pieceOf(
  shot: Shot,
  side: Side,
  shape: FootShape,
  { step, to, times, next }: Ground,
  strike: number,
  landing: number,
): FootPiece {
  const { land, flat, heelOff, lift } = times;
  const push = pushOf(shot, step, to);
  const across = to ? (step.beside + to.beside) / 2 : step.beside;
  const local: FootPath = makeStepPath({
    timing: {
      flat: flat - land,
      // A foot that stays has no peel; its empty one must have a length.
      heelOff: step.ends ? (lift - land) / 2 : heelOff - land,
      lift: lift - land,
      next: (next ?? lift + 1) - land,
    },
    shape,
    legLength: shot.body.legLength,
    side,
    strike,
    push,
    landing,
    reach: 1,
    across,
    carried: step.gait === 'run' && to?.gait === 'run' ? RUN_CARRIES : 1,
  });
  const stand = standOn(step);
  const fly =
    to && next !== undefined
      ? archedFlight(shot, { local, step, to, landing, span: next - lift })
      : undefined;
  return {
    step,
    times,
    next,
    strike,
    write(t, out) {
      const since = Math.max(0, t - land);
      local.write(since, out);
      if (since <= lift - land || !fly) stand(out);
      else fly(t - lift, across, out);
    },
  };
}

/** Puts a standing foot, given along its own heading from its heel on level ground, on its plant. */
function standOn({ plant }: ShotStep): (out: Float64Array) => void {
  const [c, s] = [Math.cos(plant.heading), Math.sin(plant.heading)];
  const [level, steep] = [Math.cos(plant.pitch), Math.sin(plant.pitch)];
  return (out) => {
    for (let i = 0; i < 3; i++) {
      const [ahead, up] = [out[FORWARD + i], out[HEIGHT + i]];
      const along = ahead * level + up * steep;
      out[HEIGHT + i] = up * level - ahead * steep;
      out[FORWARD + i] = along * c;
      out[SIDE + i] = along * s;
      out[HEADING + i] = 0;
    }
    out[FORWARD] += plant.forward;
    out[SIDE] += plant.side;
    out[HEIGHT] += plant.height;
    out[PITCH] += plant.pitch;
    out[HEADING] = plant.heading;
  };
}

type Flight = (since: number, across: number, out: Float64Array) => void;

/** The way of a flying foot over its ground: arched where the ground bends up between its plants. */
function archedFlight(
  shot: Shot,
  swing: {
    readonly local: FootPath;
    readonly step: ShotStep;
    readonly to: ShotStep;
    readonly landing: number;
    readonly span: number;
  },
): Flight {
  const { local, step, to, landing, span } = swing;
  const { heelToBall } = local.shape;
  const read = prepareLine(shot.line);
  const { lift } = local.timing;
  const travel = new Float64Array(3);
  const between = shot.steps.slice(step.index + 1, to.index);
  const leaves = ballOn(step, heelToBall, 0).ahead;
  const lands = ballOn(to, heelToBall * Math.cos(landing), heelToBall * Math.sin(landing)).ahead;
  const flightOf = (more: number): Flight => flyTo(read, step, to, heelToBall, landing, span, more);
  if (climbsForwards(step, between, to)) {
    const way = to.along - step.along + lands - leaves;
    const least = (more: number): number => {
      const flight = flightOf(more);
      const { goes, gone } = riseTimes(stepUp(step, to), more);
      const write = (u: number, out: Float64Array): number => {
        local.write(lift + u * span, out);
        flight(u * span, 0, out);
        writePart(TRAVEL, u, goes, gone, span, travel);
        return step.along + leaves + way * travel[0];
      };
      return leastOverSteps({ shape: local.shape, from: step, to, between, write });
    };
    return flightOf(clearest(WAITS_MORE, least));
  }
  const flight = flightOf(0);
  const up = archOver({
    from: step,
    to,
    between,
    level: local,
    lift,
    span,
    write(since, out) {
      local.write(lift + since, out);
      flight(since, 0, out);
    },
    travel(u) {
      writeQuintic(TRAVEL, u, travel, 0);
      return travel[0];
    },
    leaves,
    lands,
    clearance: CLEARANCE * shot.body.legLength,
  });
  if (up === 0) return flight;
  const arch = new Float64Array(3);
  return (since, across, out) => {
    flight(since, across, out);
    writeArch(since / span, span, arch);
    for (let i = 0; i < 3; i++) out[HEIGHT + i] += up * arch[i];
  };
}

/** Whether a swing goes on to another step of stairs. */
function climbsForwards(from: ShotStep, between: readonly ShotStep[], to: ShotStep): boolean {
  const level = [from, ...between, to].every(({ plant }) => plant.pitch === 0);
  const onTheWay = between.every(({ along }) => along > from.along && along < to.along);
  return level && onTheWay && from.plant.height !== to.plant.height;
}

/** A step up rises first and then goes forwards, a step down the other way about; as fractions of the swing. */
function riseTimes(up: number, more: number) {
  return {
    goes: up > 0 ? RISE.waits + more : 0,
    gone: up < 0 ? 1 - RISE.waits : 1,
    rises: up < 0 ? 1 - RISE.done + more : 0,
    risen: up > 0 ? RISE.done : 1,
  };
}

/** Takes a flying foot, given by its swerve and its height above the floor, from plant to plant. */
function flyTo(
  read: ReturnType<typeof prepareLine>,
  from: ShotStep,
  to: ShotStep,
  heelToBall: number,
  landing: number,
  span: number,
  more: number,
): Flight {
  const [a, b] = [from.plant, to.plant];
  const leaves = ballOn(from, heelToBall, 0);
  const lands = ballOn(to, heelToBall * Math.cos(landing), heelToBall * Math.sin(landing));
  const plan = swingOverLine(read, from, to, leaves.ahead, lands.ahead);
  const high = lands.height - heelToBall * Math.sin(landing);
  const up = stepUp(from, to);
  const sloped = high - leaves.height - up;
  const tip = b.pitch - a.pitch;
  const { goes, gone, rises, risen } = riseTimes(up, more);
  const [travel, climb, ease, swerve] = [0, 1, 2, 3].map(() => new Float64Array(3));
  return (since, across, out) => {
    const u = since / span;
    writePart(TRAVEL, u, goes, gone, span, travel);
    writePart(EASE, u, rises, risen, span, climb);
    writePart(EASE, u, 0, 1, span, ease);
    for (let i = 0; i < 3; i++) {
      swerve[i] = out[SIDE + i] - (i === 0 ? across : 0);
      out[HEIGHT + i] += sloped * travel[i] + up * climb[i];
      out[PITCH + i] += tip * ease[i];
    }
    out[HEIGHT] += leaves.height;
    out[PITCH] += a.pitch;
    plan(travel, ease, swerve, out, PLACES);
  };
}

/** Where the ball of a foot is that stands with its heel on a plant; `ahead` and `up` on its own ground, in m. */
function ballOn({ plant }: ShotStep, ahead: number, up: number) {
  return {
    ahead: ahead * Math.cos(plant.pitch) + up * Math.sin(plant.pitch),
    height: plant.height + up * Math.cos(plant.pitch) - ahead * Math.sin(plant.pitch),
  };
}

/** Writes a polynomial from 0 to 1 that runs between two fractions of a span and rests outside. */
function writePart(
  quintic: Quintic,
  u: number,
  from: number,
  to: number,
  span: number,
  out: Float64Array,
): void {
  const part = (u - from) / (to - from);
  writeQuintic(quintic, Math.min(1, Math.max(0, part)), out, 0);
  const length = span * (to - from);
  const moves = part >= 0 && part <= 1;
  out[1] = moves ? out[1] / length : 0;
  out[2] = moves ? out[2] / (length * length) : 0;
}

/** Names of the channels at their offsets, for whatever keys them. */
export const SHOT_FOOT_CHANNELS = {
  forward: FORWARD,
  side: SIDE,
  height: HEIGHT,
  pitch: PITCH,
  toeBend: BEND,
  heading: HEADING,
} as const;
