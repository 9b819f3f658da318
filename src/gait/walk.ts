import type { Series } from '../curves/series.js';
import type { Note } from './note.js';
import type { Run } from './run/run.js';
import type { Shot } from './shot/shot.js';

/** Which foot. */
export type Side = 'left' | 'right';

/** One of something for each side of the body. */
export interface Sides<T> {
  readonly left: T;
  readonly right: T;
}

/**
 * The three directions of travel, a right-handed triad in the order forward, side, height.
 * Positions and motions in m.
 */
export interface Channels<T> {
  /** Height above the floor. */
  readonly height: T;
  /** Along the direction of travel. */
  readonly forward: T;
  /** Positive to the character's left. */
  readonly side: T;
}

/** The three components of the force the floor puts on a foot, in BW, in the directions of `Channels`. */
export interface Force<T> {
  /** Upwards. */
  readonly vertical: T;
  /** Along the direction of travel; negative brakes, positive propels. */
  readonly forward: T;
  /** Positive to the character's left. */
  readonly side: T;
}

/** Names for the three paces whose numbers are promised: 0.86, 1.28 and 1.66 m/s at a leg of 0.90 m. */
export type PaceName = 'slow' | 'ordinary' | 'brisk';

/**
 * How fast and how: any two of speed, length and rate; or one of them; or frames per step at a frame
 * rate, alone or with a speed or a length. More than two have to agree. What is missing comes from the
 * body.
 */
export interface PaceSpec {
  /** Speed in m/s, > 0. */
  readonly speed?: number;
  /** Length of a stride (two steps) in m, > 0. */
  readonly strideLength?: number;
  /** Strides per second, > 0. */
  readonly strideRate?: number;
  /** Frames from contact to contact, > 0; needs `fps`. */
  readonly framesPerStep?: number;
  /** Frames per second that `framesPerStep` counts in, > 0. */
  readonly fps?: number;
}

/** Whose walk it is. */
export interface BodySpec {
  /** Mass in kg, > 0; scales newtons, not the motion. Default 70. */
  readonly mass?: number;
  /** Hip joint to floor in m, > 0. Default 0.53 × stature where that is given, else 0.90. */
  readonly legLength?: number;
  /** Standing height in m, > 0. Default leg length / 0.53. */
  readonly stature?: number;
}

/** Where a load is carried. */
export type CarryPlace = 'back' | 'front' | 'left' | 'right' | 'head';

/** What is carried, and where. */
export interface CarrySpec {
  /** Mass in kg, ≥ 0. */
  readonly mass: number;
  /** On the back, before the chest, in the left or right hand, on the head. */
  readonly where: CarryPlace;
}

/** What sets one side apart from the other; what is left out is even. */
export interface UnevenSpec {
  /** Fraction of the stride that this foot is on the ground, in (0.5, 0.85). */
  readonly stanceFraction?: number;
  /** Length of the step onto this foot over the mean step, in (0, 2). */
  readonly stepLength?: number;
  /** Time of the step onto this foot over the mean step, in (0.5, 1.5). */
  readonly stepTime?: number;
  /** Fraction of the whole load over the stride that this foot takes, in [0.3, 0.7]. */
  readonly loadShare?: number;
}

/**
 * What to plan. Plain numbers in SI units; every field but `pace` optional, and each dial left alone
 * changes nothing, to the bit.
 */
export interface WalkSpec {
  /** A named pace, or numbers. */
  readonly pace: PaceName | PaceSpec;
  /** The body. */
  readonly body?: BodySpec;
  /** Gravity in m/s², > 0. Default 9.80665. */
  readonly gravity?: number;
  /** Step length over leg length at a dimensionless speed of 1, > 0. Default 1.12; see `stepLengthFor`. */
  readonly stepFactor?: number;
  /** Fraction of the stride that a foot is on the ground, in (0.5, 0.85]. Default from the speed. */
  readonly stanceFraction?: number;
  /** Sideways distance between the feet in m, ≥ 0. Default 0.13 leg lengths. */
  readonly stepWidth?: number;
  /** The foot whose contact is phase 0. Default `right`. */
  readonly firstFoot?: Side;
  /** How heavy the walk reads, in [0, 1]: sets the defaults of the dials below. Default 0. */
  readonly heft?: number;
  /** Factor on the load's swing about 1 BW, in [0, 10]; 1 as measured. Default from `heft`. */
  readonly swing?: number;
  /** How far the give is lengthened, in [0, 1]; 0 as measured. Default from `heft`. */
  readonly linger?: number;
  /** How far the rise after the give is slowed, in [0, 1]; 0 as measured. Default from `heft`. */
  readonly recovery?: number;
  /** Bob of the centre of mass from lowest to highest in m, ≥ 0, in place of `swing`. */
  readonly bob?: number;
  /** Where the low and high fall, in [0, 1]: 0 as measured, 1 as in the trade's timing charts. Default 0. */
  readonly poseTiming?: number;
  /** How far the knees are bent, in [0, 1]: lowers the root, by 0.25 leg lengths at 1. Default 0. */
  readonly crouch?: number;
  /** Lean of the trunk in rad beyond what a load asks for, in [−0.6, 0.6]; positive with the front down. Default 0. */
  readonly lean?: number;
  /** A carried load. */
  readonly carry?: CarrySpec;
  /** What sets the sides apart. */
  readonly uneven?: { readonly left?: UnevenSpec; readonly right?: UnevenSpec };
}

/** The pace of a planned walk, complete. */
export interface Pace {
  /** Mean speed in m/s. */
  readonly speed: number;
  /** Length of a stride in m. */
  readonly strideLength: number;
  /** Duration of a stride in s. */
  readonly strideTime: number;
  /** Strides per second. */
  readonly strideRate: number;
  /** Mean length of a step in m. */
  readonly stepLength: number;
  /** Mean duration of a step in s. */
  readonly stepTime: number;
  /** Speed over √(gravity × leg length). */
  readonly dimensionlessSpeed: number;
  /** Its square, speed² / (gravity × leg length). */
  readonly froude: number;
}

/** The body of a planned walk, complete. */
export interface Body {
  /** Mass in kg, without what is carried. */
  readonly mass: number;
  /** Mass in kg that is carried. */
  readonly carried: number;
  /** Hip joint to floor in m. */
  readonly legLength: number;
  /** Standing height in m. */
  readonly stature: number;
}

/** When and where a foot stands. */
export interface Stance {
  /** Phase of its contact, in [0, 1). */
  readonly contact: number;
  /** Fraction of the stride that it stays on the ground. */
  readonly fraction: number;
  /** Where its heel lands along the direction of travel in the first stride, in m. */
  readonly forward: number;
  /** Where it lands sideways, in m. */
  readonly side: number;
}

/** A push beyond the pivot's, as a force ratio, fading to nothing at a fraction of stance. */
export interface Push {
  /** Horizontal over vertical force that is added at its height. */
  readonly size: number;
  /** Fraction of stance at which it is over. */
  readonly until: number;
}

/** The points that the floor's forces aim at, and where under the foot they start from. */
export interface Pivot {
  /** Height in m of the point that the fore-aft forces aim at. */
  readonly forwardHeight: number;
  /** Height in m of the point that the sideways forces aim at. */
  readonly sideHeight: number;
  /** How far the centre of pressure travels along the foot, in m. */
  readonly pressureTravel: number;
  /** How far it travels towards the other foot, in m. */
  readonly sideTravel: number;
  /** Forward push as the foot lands, before it brakes. */
  readonly landing: Push;
  /** Forward push that grows from a fraction of stance until the foot leaves. */
  readonly pushOff: { readonly size: number; readonly from: number };
  /** Push towards the other foot as the foot lands; negative is outwards. */
  readonly sideLanding: Push;
}

/** How the root moves beside the centre of mass. */
export interface RootRelation {
  /** How many times the centre of mass's rise and fall the root's is. */
  readonly rise: number;
  /** Mean height of the root (hip joints) above the floor in m, as high as the legs reach. */
  readonly height: number;
}

/** Steady lean of the trunk in rad, right-handed about the axes of travel. */
export interface Lean {
  /** Positive with the front down. */
  readonly pitch: number;
  /** Positive with the left side up. */
  readonly roll: number;
}

/** A planned steady walk: one stride that repeats. Read-only data that survives JSON. */
export interface Walk {
  readonly kind: 'walk';
  /** What was asked for. */
  readonly spec: WalkSpec;
  /** Gravity in m/s². */
  readonly gravity: number;
  readonly body: Body;
  readonly pace: Pace;
  /** The two feet's stances. */
  readonly stance: Sides<Stance>;
  readonly pivot: Pivot;
  /** Sum of both feet's forces in BW, as series over the stride in s. */
  readonly total: Force<Series>;
  /** Path of the centre of mass in m, as series over the stride in s. */
  readonly centre: Channels<Series>;
  readonly root: RootRelation;
  readonly lean: Lean;
  /** Possible but odd things, with their numbers. */
  readonly notes: readonly Note[];
}

/**
 * Anything that moves and has forces: what every function downstream of planning takes.
 * Told apart by `kind`; see `readMotion`, the one door to it.
 */
export type Motion = Walk | Shot | Run;
