import type { Curve } from '../../curves/curve.js';
import { createSampler } from '../../curves/sampler.js';
import { heelOf, toeOf } from '../../gait/feet/foot-shape.js';
import type { Side, Sides } from '../../gait/walk.js';
import type { DocumentFoot, MotionDocument } from '../document.js';
import { type FigureShape, figureShapeOf } from './figure-shape.js';

/** A point or direction: forward, height, side (to the left), in m. */
export type Triple = readonly [number, number, number];

/** One leg's joints. */
export interface LegPose {
  readonly hip: Triple;
  readonly knee: Triple;
  readonly ankle: Triple;
  readonly heel: Triple;
  readonly ball: Triple;
  readonly toe: Triple;
  /** Pitch of the foot, positive with the front down, and bend of the toes, positive up, in rad. */
  readonly pitch: number;
  readonly toeBend: number;
}

/** One arm's joints. */
export interface ArmPose {
  readonly shoulder: Triple;
  readonly elbow: Triple;
  readonly hand: Triple;
}

/** The figure at one time. */
export interface FigurePose {
  readonly pelvis: Triple;
  readonly neck: Triple;
  readonly head: Triple;
  readonly legs: Sides<LegPose>;
  readonly arms: Sides<ArmPose>;
  /** Values of the followers' curves, in their own units, in the document's order. */
  readonly followers: readonly number[];
}

/** A figure ready to be posed. */
export interface Figure {
  readonly shape: FigureShape;
  /** Height of the hips over the document's root in m: 0 for a root, less for a centre of mass. */
  readonly hipDrop: number;
  /** The pose at a time in s; the character is carried on along the way. */
  at(time: number): FigurePose;
}

const FOOT = ['forward', 'height', 'side', 'pitch', 'toeBend'] as const;

/** Times looked at to find how far the legs have to reach. */
const LOOKS = 64;

/** How far the arms swing over how far the opposite thigh does, and how bent the elbow is, in rad. By eye. */
const ARM_SWING = 0.7;
const ELBOW = 0.35;

/**
 * A figure that walks a document's motion: hips from the root, legs solved between hips and planted feet,
 * arms against the legs. A preview: only root, feet and followers are computed motion.
 */
export function makeFigure(document: MotionDocument): Figure {
  const { root, body, followers, feet } = document;
  const rootSampler = createSampler([root.forward, root.height, root.side]);
  const parts = followers.length > 0 ? createSampler(followers.map(({ curve }) => curve)) : undefined;
  const samplers = { left: footSampler(feet.left), right: footSampler(feet.right) };
  const place = new Float64Array(5);
  const partValues = new Float64Array(followers.length);
  // The root is the pelvis; a centre of mass rides higher, and the hips are hung below it.
  const drop = root.of === 'root' ? 0 : body.legLength - meanOf(root.height, document);
  const half = 0.05 * body.stature;

  const pelvisAt = (time: number): Triple => {
    rootSampler.sample(time, place);
    return [place[0], place[1] + drop, place[2]];
  };
  const footAt = (side: Side, time: number, shape: Pick<FigureShape, 'ankleHeight' | 'ankleForward'>) => {
    samplers[side].sample(time, place);
    const [forward, height, across, pitch, toeBend] = place;
    const at = { forward, height, side: across, pitch, toeBend };
    const sole = feet[side].shape;
    const heel = heelOf(at, sole);
    const toe = toeOf(at, sole);
    const [c, s] = [Math.cos(pitch), Math.sin(pitch)];
    const ankle: Triple = [
      heel.forward + shape.ankleForward * c + shape.ankleHeight * s,
      heel.height - shape.ankleForward * s + shape.ankleHeight * c,
      across,
    ];
    const ball: Triple = [forward, height, across];
    return {
      heel: [heel.forward, heel.height, across] as Triple,
      toe: [toe.forward, toe.height, across] as Triple,
      ball,
      ankle,
      pitch,
      toeBend,
    };
  };
  const hipOf = (pelvis: Triple, side: Side): Triple => [
    pelvis[0],
    pelvis[1],
    pelvis[2] + (side === 'left' ? half : -half),
  ];
  let reach = 0;
  const draft = figureShapeOf(body, 0);
  const { start, duration } = document.span;
  for (let i = 0; i < LOOKS; i++) {
    const time = start + (duration * i) / LOOKS;
    for (const side of ['left', 'right'] as const) {
      reach = Math.max(reach, distance(hipOf(pelvisAt(time), side), footAt(side, time, draft).ankle));
    }
  }
  const shape = figureShapeOf(body, reach);

  const at = (time: number): FigurePose => {
    const pelvis = pelvisAt(time);
    const leg = (side: Side): LegPose => {
      const foot = footAt(side, time, shape);
      const hip = hipOf(pelvis, side);
      return { hip, knee: bend(hip, foot.ankle, shape.thigh, shape.shin), ...foot };
    };
    const legs = { left: leg('left'), right: leg('right') };
    const neck: Triple = [pelvis[0], pelvis[1] + shape.trunk, pelvis[2]];
    const arm = (side: Side): ArmPose => {
      const other = legs[side === 'left' ? 'right' : 'left'];
      const thigh = Math.atan2(other.knee[0] - other.hip[0], other.hip[1] - other.knee[1]);
      return armOf(neck, side, ARM_SWING * thigh, shape);
    };
    if (parts) parts.sample(time, partValues);
    return {
      pelvis,
      neck,
      head: [neck[0], neck[1] + shape.neck + shape.headRadius, neck[2]],
      legs,
      arms: { left: arm('left'), right: arm('right') },
      followers: Array.from(partValues),
    };
  };
  return { shape, hipDrop: drop, at };
}

function footSampler(foot: DocumentFoot) {
  return createSampler(FOOT.map((name) => foot[name]));
}

function meanOf(curve: Curve, { span }: MotionDocument): number {
  const sampler = createSampler(curve);
  const out = new Float64Array(1);
  let sum = 0;
  for (let i = 0; i < LOOKS; i++) {
    sampler.sample(span.start + (span.duration * i) / LOOKS, out);
    sum += out[0];
  }
  return sum / LOOKS;
}

function armOf(neck: Triple, side: Side, swing: number, shape: FigureShape): ArmPose {
  const out = side === 'left' ? 1 : -1;
  const { upperArm, lowerArm, shoulderWidth } = shape;
  const shoulder: Triple = [neck[0], neck[1] - 0.02 * shape.trunk, neck[2] + (out * shoulderWidth) / 2];
  const elbow: Triple = [
    shoulder[0] + upperArm * Math.sin(swing),
    shoulder[1] - upperArm * Math.cos(swing),
    shoulder[2] + out * 0.06 * upperArm,
  ];
  const lower = swing + ELBOW;
  const hand: Triple = [
    elbow[0] + lowerArm * Math.sin(lower),
    elbow[1] - lowerArm * Math.cos(lower),
    elbow[2],
  ];
  return { shoulder, elbow, hand };
}

/** The knee between hip and ankle: in front of the line between them, in the upright plane along the way. */
function bend(hip: Triple, ankle: Triple, thigh: number, shin: number): Triple {
  const d = distance(hip, ankle);
  const along = (thigh * thigh - shin * shin + d * d) / (2 * d);
  const out = Math.sqrt(Math.max(0, thigh * thigh - along * along));
  const [fx, fy, fz] = [0, 1, 2].map((i) => (ankle[i] - hip[i]) / d);
  // Forward, made perpendicular to the line.
  const lean = [1 - fx * fx, -fx * fy, -fx * fz];
  const length = Math.hypot(...lean) || 1;
  return [
    hip[0] + along * fx + (out * lean[0]) / length,
    hip[1] + along * fy + (out * lean[1]) / length,
    hip[2] + along * fz + (out * lean[2]) / length,
  ];
}

function distance(a: Triple, b: Triple): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}
