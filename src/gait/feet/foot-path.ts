import type { Side, Walk } from '../walk.js';
import { type FootShape, footShapeOf } from './foot-shape.js';
import { type Jet3, joinJets, writeQuintic } from './quintic.js';

/** When a foot does what, in s since it landed. */
export interface FootTiming {
  readonly flat: number;
  readonly heelOff: number;
  readonly lift: number;
  /** When it lands again. */
  readonly next: number;
}

/** Offsets of the channels in what a path writes: value, first and second derivative of each. */
export const FORWARD = 0;
export const SIDE = 3;
export const HEIGHT = 6;
export const PITCH = 9;
export const BEND = 12;
export const FOOT_NUMBERS = 15;

/** One foot's exact path from one landing to the next. */
export interface FootPath {
  readonly timing: FootTiming;
  readonly shape: FootShape;
  /**
   * Writes ball forward (from where the heel stands), side, height (m), pitch and toe bend (rad), each with
   * two derivatives, `since` s after landing, in [0, next].
   */
  write(since: number, out: Float64Array): void;
}

/** Pitch at landing and at lift over step length in legs, and their limits in rad. From memory of adults. */
const STRIKE = { perStep: 0.45, most: 0.45 } as const;
const PUSH = { perStep: 1.2, most: 1.2 } as const;

/** Pitch in rad at landing, front up, after a step of so many leg lengths. */
export function strikeAfter(step: number): number {
  return Math.min(STRIKE.perStep * step, STRIKE.most);
}

/** Pitch in rad at lift, front down, before a step of so many leg lengths. */
export function pushBefore(step: number): number {
  return Math.min(PUSH.perStep * step, PUSH.most);
}

/** Rate of pitch at lift over its mean rate since heel-off: the peel slows before the foot leaves. */
const PUSH_END = 0.8;

/** Fraction of swing at which the toe is nearest to the floor (Moosabhoy & Gard 2006: 51 %). */
const NEAREST = 0.51;

/** Least toe clearance over leg length (Moosabhoy & Gard 2006: 1.9 cm, at the adult leg of 0.90 m). */
export const CLEARANCE = 0.019 / 0.9;

/** Fraction of swing at which the toe is high for the first time, and how high over the clearance. Memory. */
const FIRST_HIGH = 0.2;
const HIGH_OVER_CLEARANCE = 2;

/** How hard the toe leaves, and how round its high and low are: of the clearance per swing squared. By eye. */
const TOE_START = 126;
const ROUNDING = 58;

/** Fraction of swing after which the toes are straight. Memory. */
const STRAIGHT = 0.35;

/**
 * How hard the ball leaves and arrives: second derivative of travel, of the way per swing squared. By eye: it
 * arrives late, so that the leg need hardly be longer than it is before it lands.
 */
const START = 6;
const ARRIVE = 8;

/**
 * The path of one foot: still on its heel, flat, still on its ball, and through the air to its next place.
 *
 * @param strikeScale - factor on the angle at landing
 */
export function makeFootPath(walk: Walk, side: Side, timing: FootTiming, strikeScale = 1): FootPath {
  const shape = footShapeOf(walk.body);
  const { legLength } = walk.body;
  const step = walk.pace.stepLength / legLength;
  const strike = strikeScale * strikeAfter(step);
  return makeStepPath({
    timing,
    shape,
    legLength,
    side,
    strike,
    push: pushBefore(step),
    landing: strike,
    reach: walk.pace.strideLength + shape.heelToBall * (Math.cos(strike) - 1),
    across: walk.stance[side].side,
  });
}

/** What one stance and the swing after it are made of; m, rad and s. */
export interface StepShape {
  readonly timing: FootTiming;
  readonly shape: FootShape;
  readonly legLength: number;
  readonly side: Side;
  /** How far the front is up as the foot lands, and down as it leaves. */
  readonly strike: number;
  readonly push: number;
  /** How far the front is up as it lands again. */
  readonly landing: number;
  /** How far the ball travels through the air. */
  readonly reach: number;
  /** Where the foot stands sideways. */
  readonly across: number;
  /** How many times as high as a walk's the foot is carried. Default 1. */
  readonly carried?: number;
}

/** The path of one foot through a stance and the swing after it, on level ground along a straight line. */
export function makeStepPath(step: StepShape): FootPath {
  const {
    timing,
    shape,
    legLength,
    side,
    strike,
    push,
    landing: strikeNext,
    reach,
    across,
    carried = 1,
  } = step;
  const { heelToBall, ballToToe } = shape;
  const { flat, heelOff, lift, next } = timing;
  const swing = next - lift;
  const turn = strikeNext + push;

  // Jets are written per fraction of swing and brought to seconds here.
  const inSwing = ([value, slope, bend]: Jet3): Jet3 => [value, slope / swing, bend / swing ** 2];
  const pushRate = (PUSH_END * push * swing) / (lift - heelOff);
  const leaving = inSwing([push, pushRate, -12 * push - 3 * pushRate]);
  const nearPitch: Jet3 = [0.2 * push, -0.9 * turn, 3.3 * turn];
  const landing = inSwing([-strikeNext, 0, 1.5 * turn]);
  const near = NEAREST * swing;
  const straight = STRAIGHT * swing;
  const high = FIRST_HIGH * swing;
  const pitchDown = joinJets(leaving, inSwing(nearPitch), near);
  const pitchUp = joinJets(inSwing(nearPitch), landing, swing - near);
  const straighten = joinJets(leaving, [0, 0, 0], straight);

  const clearance = carried * CLEARANCE * legLength;
  const highToe = HIGH_OVER_CLEARANCE * clearance;
  const round = ROUNDING * clearance;
  const toeUp = joinJets(inSwing([0, 0, TOE_START * clearance]), inSwing([highToe, 0, -round]), high);
  const toeDown = joinJets(inSwing([highToe, 0, -round]), inSwing([clearance, 0, round]), near - high);
  // From the toe's nearest point on, it is the heel that has to come down softly; `nearPitch` is such that
  // the control values of its polynomial are not negative, and so neither is its height.
  const heelNear = liftBySine([clearance, 0, round], nearPitch, heelToBall + ballToToe);
  const heelDown = joinJets(
    inSwing(heelNear),
    inSwing([0, 0, (3 * heelNear[0]) / (1 - NEAREST) ** 2]),
    swing - near,
  );
  const travel = joinJets(
    [heelToBall, 0, (START * reach) / swing ** 2],
    [heelToBall + reach, 0, (-ARRIVE * reach) / swing ** 2],
    swing,
  );
  const room = Math.max(0, shape.breadth - 2 * Math.abs(across)) * (side === 'left' ? 1 : -1);

  const write = (since: number, out: Float64Array): void => {
    out.fill(0);
    out[SIDE] = across;
    out[FORWARD] = heelToBall;
    if (since < flat) {
      settle(-strike, since / flat, flat, out);
      turnAboutHeel(heelToBall, out);
    } else if (since > heelOff && since <= lift) {
      peel(push, (since - heelOff) / (lift - heelOff), lift - heelOff, out);
    } else if (since > lift) {
      fly(since - lift, out);
    }
  };

  const scratch = new Float64Array(3);
  const fly = (t: number, out: Float64Array): void => {
    writeQuintic(travel, t, out, FORWARD);
    if (room !== 0) addSwerve(room, t / swing, swing, out);
    const late = t >= near;
    writeQuintic(late ? pitchUp : pitchDown, late ? t - near : t, out, PITCH);
    if (t < straight) writeQuintic(straighten, t, out, BEND);
    if (late) {
      writeQuintic(heelDown, t - near, out, HEIGHT);
      addSine(out, -heelToBall, out[PITCH], out[PITCH + 1], out[PITCH + 2]);
    } else {
      writeQuintic(t < high ? toeUp : toeDown, t < high ? t : t - high, out, HEIGHT);
      for (let i = 0; i < 3; i++) scratch[i] = out[PITCH + i] - out[BEND + i];
      addSine(out, ballToToe, scratch[0], scratch[1], scratch[2]);
    }
  };
  return { timing, shape, write };
}

/** Pitch from `from` to 0 by a cubic that is at rest at both ends. */
function settle(from: number, u: number, span: number, out: Float64Array): void {
  out[PITCH] = from * (1 - u * u * (3 - 2 * u));
  out[PITCH + 1] = (-6 * from * u * (1 - u)) / span;
  out[PITCH + 2] = (-6 * from * (1 - 2 * u)) / span ** 2;
}

/** The ball turns about a heel at rest. */
function turnAboutHeel(heelToBall: number, out: Float64Array): void {
  const [p, dp, ddp] = [out[PITCH], out[PITCH + 1], out[PITCH + 2]];
  const [c, s] = [Math.cos(p), Math.sin(p)];
  out[FORWARD] = heelToBall * c;
  out[FORWARD + 1] = -heelToBall * s * dp;
  out[FORWARD + 2] = -heelToBall * (s * ddp + c * dp * dp);
  addSine(out, -heelToBall, p, dp, ddp);
}

/** Pitch from rest to `to` while the toes stay flat, by a cubic that ends at `PUSH_END` of its mean rate. */
function peel(to: number, u: number, span: number, out: Float64Array): void {
  const [a, b] = [3 - PUSH_END, PUSH_END - 2];
  out[PITCH] = to * u * u * (a + b * u);
  out[PITCH + 1] = (to * u * (2 * a + 3 * b * u)) / span;
  out[PITCH + 2] = (to * (2 * a + 6 * b * u)) / span ** 2;
  for (let i = 0; i < 3; i++) out[BEND + i] = out[PITCH + i];
}

/** Adds `size` times the sine of an angle, given with its derivatives, to the height. */
function addSine(out: Float64Array, size: number, angle: number, rate: number, change: number): void {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  out[HEIGHT] += size * s;
  out[HEIGHT + 1] += size * c * rate;
  out[HEIGHT + 2] += size * (c * change - s * rate * rate);
}

/** A jet with `size` times the sine of an angle's jet added. */
function liftBySine(jet: Jet3, [angle, rate, change]: Jet3, size: number): Jet3 {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return [jet[0] + size * s, jet[1] + size * c * rate, jet[2] + size * (c * change - s * rate * rate)];
}

/** Swings out sideways by `room` at mid-swing, so that a foot does not pass through the other one. */
function addSwerve(room: number, u: number, span: number, out: Float64Array): void {
  const w = u * (1 - u);
  const slope = 1 - 2 * u;
  out[SIDE] += 64 * room * w ** 3;
  out[SIDE + 1] = (192 * room * w * w * slope) / span;
  out[SIDE + 2] = (384 * room * w * (slope * slope - w)) / span ** 2;
}
