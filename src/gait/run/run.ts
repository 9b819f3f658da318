import type { Note } from '../note.js';
import type {
  Body,
  BodySpec,
  Channels,
  Force,
  Lean,
  Pace,
  PaceSpec,
  RootRelation,
  Side,
  Sides,
  Stance,
} from '../walk.js';
import type { PartedPath } from './parted-path.js';

/** What to plan. Plain numbers in SI units; every field but `pace` optional. */
export interface RunSpec {
  /** Any two of speed, stride length and rate, or one of them, or frames per step at a frame rate; a stride is two steps. */
  readonly pace: PaceSpec;
  /** The body. */
  readonly body?: BodySpec;
  /** Gravity in m/s², > 0. Default 9.80665. */
  readonly gravity?: number;
  /** Step length over leg length at a dimensionless speed of 1, > 0. Default 1.252. */
  readonly stepFactor?: number;
  /** Fraction of the stride that a foot is on the ground, in [0.1, 0.49]. Default from the speed. */
  readonly dutyFactor?: number;
  /** Sideways distance between the feet in m, ≥ 0. Default 0.04 leg lengths. */
  readonly stepWidth?: number;
  /** The foot whose contact is phase 0. Default `right`. */
  readonly firstFoot?: Side;
  /** Lean of the trunk in rad, in [−0.6, 0.6]; positive with the front down. Default 0.05. */
  readonly lean?: number;
}

/** How a foot pushes while it stands. */
export interface Pulse {
  /** Mean load in BW over the contact. */
  readonly mean: number;
  /** Largest load in BW, in the middle of the contact. */
  readonly peak: number;
  /** Fore-aft over vertical force as the foot lands (against the motion) and as it leaves (along it). */
  readonly push: number;
  /** Sideways over vertical force, towards the other foot. */
  readonly inwards: number;
}

/** A planned steady run: one stride that repeats. Read-only data that survives JSON. */
export interface Run {
  readonly kind: 'run';
  /** What was asked for. */
  readonly spec: RunSpec;
  /** Gravity in m/s². */
  readonly gravity: number;
  readonly body: Body;
  readonly pace: Pace;
  /** The two feet's stances; `fraction` is the duty factor, below one half. */
  readonly stance: Sides<Stance>;
  /** How far the centre of pressure travels along the foot, in m. */
  readonly pressureTravel: number;
  readonly pulse: Pulse;
  /** Sum of both feet's forces in BW over the stride in s; in flight exactly 0. */
  readonly total: Force<PartedPath>;
  /** Path of the centre of mass in m over the stride in s: the exact double integral of the forces. */
  readonly centre: Channels<PartedPath>;
  readonly root: RootRelation;
  readonly lean: Lean;
  /** Possible but odd things, with their numbers. */
  readonly notes: readonly Note[];
}
