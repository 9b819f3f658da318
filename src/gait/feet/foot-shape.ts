import type { Body } from '../walk.js';

/** Foot length over stature (Drillis & Contini 1966, in Winter, Biomechanics; from memory). */
const FOOT_PER_STATURE = 0.152;

/** Heel to ball over foot length. From memory: the ball lies at 0.7 to 0.75 of the foot. */
const BALL_PER_FOOT = 0.72;

/** Foot breadth over stature (Drillis & Contini 1966, in Winter, Biomechanics; from memory). */
const BREADTH_PER_STATURE = 0.055;

/** The sole of a foot, in m. */
export interface FootShape {
  /** Back of the heel to the ball of the foot, where the toes bend. */
  readonly heelToBall: number;
  /** Ball to the tip of the toes. */
  readonly ballToToe: number;
  /** Greatest breadth. */
  readonly breadth: number;
}

/** The foot of a body: 0.152 of its stature long, its ball at 0.72 of that. */
export function footShapeOf(body: Body): FootShape {
  const length = FOOT_PER_STATURE * body.stature;
  return {
    heelToBall: BALL_PER_FOOT * length,
    ballToToe: (1 - BALL_PER_FOOT) * length,
    breadth: BREADTH_PER_STATURE * body.stature,
  };
}

/** Where the ball of a foot is, and how the foot and its toes are turned, in m and rad. */
export interface FootPlace {
  readonly forward: number;
  readonly side: number;
  readonly height: number;
  /** Of the foot from heel to ball; positive with the front down. */
  readonly pitch: number;
  /** Of the toes against the foot; positive with the toes up. */
  readonly toeBend: number;
}

/** A point in m. */
export interface FootPoint {
  readonly forward: number;
  readonly side: number;
  readonly height: number;
}

/** Back of the heel of a foot whose ball and pitch are known, in m. */
export function heelOf(place: FootPlace, shape: FootShape): FootPoint {
  return {
    forward: place.forward - shape.heelToBall * Math.cos(place.pitch),
    side: place.side,
    height: place.height + shape.heelToBall * Math.sin(place.pitch),
  };
}

/** Tip of the toes of a foot whose ball, pitch and toe bend are known, in m. */
export function toeOf(place: FootPlace, shape: FootShape): FootPoint {
  const pitch = place.pitch - place.toeBend;
  return {
    forward: place.forward + shape.ballToToe * Math.cos(pitch),
    side: place.side,
    height: place.height - shape.ballToToe * Math.sin(pitch),
  };
}
