import type { Curve } from '../../curves/curve.js';
import { createSampler } from '../../curves/sampler.js';
import type { Side, Sides } from '../../gait/walk.js';
import type { FollowerCarrier, MotionDocument } from '../document.js';
import { type FigureShape, figureShapeOf } from './figure-shape.js';
import { type ArmPose, armOf, kneeOf } from './limbs.js';
import { homesOf, type PartPose, type PartShape, partShapes, posePart } from './part-shapes.js';
import { type BodyTurns, type FootPose, footReader, turnReader } from './read-body.js';
import { distance, minus, plus, type Triple, type Turn, turned, turnWithin } from './turns.js';

/** One leg's joints. */
export interface LegPose extends FootPose {
  readonly hip: Triple;
  readonly knee: Triple;
}

/** The figure at one time. */
export interface FigurePose {
  /** Middle of the hip joints, where the trunk bends, where the neck begins, and middle of the head. */
  readonly pelvis: Triple;
  readonly waist: Triple;
  readonly neck: Triple;
  readonly head: Triple;
  readonly turns: BodyTurns;
  readonly legs: Sides<LegPose>;
  readonly arms: Sides<ArmPose>;
  /** Values of the followers' curves, in their own units, in the document's order. */
  readonly followers: readonly number[];
  /** What hangs from the figure, in the order of `Figure.parts`. */
  readonly parts: readonly PartPose[];
  /** Where each part hangs: its ball at rest, or the roots of its strands. */
  readonly homes: readonly (readonly Triple[])[];
}

/** A figure ready to be posed. */
export interface Figure {
  readonly shape: FigureShape;
  /** Height of the hips over the document's root in m: 0 for a root, less for a centre of mass. */
  readonly hipDrop: number;
  readonly parts: readonly PartShape[];
  /** The pose at a time in s, with its parts unless told otherwise; the character is carried on along the way. */
  at(time: number, parts?: boolean): FigurePose;
}

/** Times a second, and at least, looked at to find how far the legs have to reach. */
const LOOKS = 64;

/** How far the arms swing over how far the opposite thigh does, and how bent the elbow is, in rad. By eye. */
const ARM_SWING = 0.7;
const ELBOW = 0.35;

/** Where the trunk bends, from the hips up. By eye. */
export const WAIST = 0.34;

const SIDES = ['left', 'right'] as const;

/**
 * A figure that walks a document's motion: hips from the root, turned as the document says, legs solved
 * between hips and planted feet, arms and what hangs on from their own curves. Where a document has no turns
 * the trunk is upright and the arms swing against the legs.
 */
export function makeFigure(document: MotionDocument): Figure {
  const { root, body, followers, feet } = document;
  const rootSampler = createSampler([root.forward, root.height, root.side]);
  const values = new Float64Array(followers.length);
  const followerSampler =
    followers.length > 0 ? createSampler(followers.map(({ curve }) => curve)) : undefined;
  const readFoot = { left: footReader(feet.left), right: footReader(feet.right) };
  const readTurns = turnReader(document);
  const place = new Float64Array(3);
  // The root is the pelvis; a centre of mass rides higher, and the hips are hung below it.
  const drop = root.of === 'root' ? 0 : body.legLength - meanOf(root.height, document);
  const half = 0.05 * body.stature;

  const pelvisAt = (time: number): Triple => {
    rootSampler.sample(time, place);
    return [place[0], place[1] + drop, place[2]];
  };
  const hipOf = (pelvis: Triple, turn: Turn, side: Side): Triple =>
    plus(pelvis, turned(turn, [0, 0, side === 'left' ? half : -half]));
  const shape = figureShapeOf(body, farthestReach());
  const parts = partShapes(document, shape);

  function farthestReach(): number {
    const draft = figureShapeOf(body, 0);
    const { start, duration } = document.span;
    let reach = 0;
    const looks = Math.ceil(LOOKS * Math.min(60, Math.max(1, duration)));
    for (let i = 0; i <= looks; i++) {
      const time = start + (duration * i) / looks;
      const pelvis = pelvisAt(time);
      const turns = readTurns(time);
      for (const side of SIDES) {
        const hip = hipOf(pelvis, turns.pelvis, side);
        reach = Math.max(reach, distance(hip, readFoot[side](time, draft).ankle));
      }
    }
    return reach;
  }

  const at = (time: number, hanging = true): FigurePose => {
    const pelvis = pelvisAt(time);
    const turns = readTurns(time);
    const ahead = turned(turns.heading, [1, 0, 0]);
    const leg = (side: Side): LegPose => {
      const foot = readFoot[side](time, shape);
      const hip = hipOf(pelvis, turns.pelvis, side);
      return { hip, knee: kneeOf(hip, foot.ankle, shape.thigh, shape.shin, ahead), ...foot };
    };
    const legs = { left: leg('left'), right: leg('right') };
    const waist = plus(pelvis, turned(turns.pelvis, [0, WAIST * shape.trunk, 0]));
    const neck = plus(waist, turned(turns.chest, [0, (1 - WAIST) * shape.trunk, 0]));
    const head = plus(
      plus(neck, turned(turns.chest, [0, shape.neck, 0])),
      turned(turns.head, [0, shape.headRadius, 0]),
    );
    const arm = (side: Side): ArmPose => {
      const out = (side === 'left' ? 0.5 : -0.5) * shape.shoulderWidth;
      const shoulder = plus(neck, turned(turns.chest, [0, -0.02 * shape.trunk, out]));
      const other = legs[side === 'left' ? 'right' : 'left'];
      const asked = turns.arms?.[side] ?? { pitch: -ARM_SWING * swingOf(other, turns.heading), elbow: ELBOW };
      return armOf(shoulder, side, asked, turns.heading, shape);
    };
    if (hanging) followerSampler?.sample(time, values);
    const carriers: Readonly<Record<FollowerCarrier, { readonly at: Triple; readonly turn: Turn }>> = {
      hips: { at: pelvis, turn: turns.pelvis },
      chest: { at: neck, turn: turns.chest },
      head: { at: head, turn: turns.head },
    };
    return {
      pelvis,
      waist,
      neck,
      head,
      turns,
      legs,
      arms: { left: arm('left'), right: arm('right') },
      followers: Array.from(values),
      parts: hanging
        ? parts.map((part) => posePart(part, values, carriers[part.carrier], turns.heading))
        : [],
      homes: parts.map((part) => homesOf(part, carriers[part.carrier])),
    };
  };
  return { shape, hipDrop: drop, parts, at };
}

/** How far a thigh swings ahead, in rad. */
function swingOf({ hip, knee }: LegPose, heading: Turn): number {
  const [ahead, up] = turned(turnWithin(heading, [0, 0, 0, 1]), minus(knee, hip));
  return Math.atan2(ahead, -up);
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
