import type { Curve, Tracked } from '../curves/curve.js';
import type { FootShape } from '../gait/feet/foot-shape.js';
import type { FootContact, FootPlant } from '../gait/feet/foot-tracks.js';
import type { KeyedError } from '../gait/key-root.js';
import type { Note } from '../gait/note.js';
import type { PoseTurns } from '../gait/pose/pose-series.js';
import type { Pose } from '../gait/timing-chart.js';
import type { Body, Channels, Force, Pace, Side, Sides } from '../gait/walk.js';
import type { Scene } from './scene.js';

/** What every document begins with. */
export const DOCUMENT_FORMAT = 'underfoot-motion';

/**
 * Version that this library writes; it reads every earlier one with the same first number. 1.1 added `turns`,
 * a follower's `part`, and for shots `heading` and the height and pitch of plants.
 */
export const DOCUMENT_VERSION = '1.1';

/** The keyed path of the root or of the centre of mass, in m over s. */
export interface DocumentRoot extends Channels<Curve> {
  readonly of: Tracked;
  /** Direction of travel in rad from the one at the beginning, where it changes; positive is turned left. */
  readonly heading?: Curve;
  /** Achieved error of each channel, where the curves were fitted. */
  readonly error?: Partial<Channels<KeyedError>>;
}

/** Where a foot stands once. */
export interface DocumentPlant extends FootPlant {
  /** Height of the ground under the heel in m; level with the floor where left out. */
  readonly height?: number;
  /** Slope of the ground along the foot in rad, positive with the front down. */
  readonly pitch?: number;
}

/**
 * One foot: the path of its ball in m, the pitch of the foot and the bend of its toes in rad, when it is on
 * the floor, and where it stands each time.
 */
export interface DocumentFoot extends Channels<Curve> {
  /** Of the foot from heel to ball; positive with the front down. */
  readonly pitch: Curve;
  /** Of the toes against the foot; positive with the toes up. */
  readonly toeBend: Curve;
  /** Direction in which the foot points, in rad, where it changes; positive is turned left. */
  readonly heading?: Curve;
  readonly contacts: readonly FootContact[];
  /** One plant for each contact; those of a shot say how high the ground under the heel is, and how it slopes. */
  readonly plants: readonly DocumentPlant[];
  readonly shape: FootShape;
  /** Farthest in m that what is planted slips, and that the curves stray from the path in the air. */
  readonly error: { readonly slip: number; readonly path: number };
}

/** How pelvis, chest, head and arms turn, in rad against the direction of travel, as `keyMotion` gives it. */
export interface DocumentTurns extends PoseTurns<Curve> {
  /** Largest error of any of the curves in rad. */
  readonly error?: number;
}

/** Sampled forces of the floor in BW; the samples fall on whole parts of frames, the first at time 0. */
export interface DocumentForces {
  /** Samples per frame; every `perFrame`-th sample falls on a frame. */
  readonly perFrame: number;
  /** Times in s. */
  readonly time: readonly number[];
  readonly left: Force<readonly number[]>;
  readonly right: Force<readonly number[]>;
  readonly total: Force<readonly number[]>;
  /** Newtons in one body weight. */
  readonly newtonsPerBodyWeight: number;
}

/** One pose of the timing chart. */
export interface DocumentMark {
  readonly pose: Pose;
  readonly foot: Side;
  /** Time in s. */
  readonly time: number;
  /** Whole frame of the scene. */
  readonly frame: number;
}

/** What a follower hangs from. */
export type FollowerCarrier = 'hips' | 'chest' | 'head';

/**
 * Which piece of a part a follower's curve moves, so that a figure can show the part whole: the curves of one
 * name belong together. A strand or cloth has two curves a link, about forward and about side.
 */
export interface FollowerPart {
  readonly name: string;
  readonly kind: 'bounce' | 'strand' | 'cloth';
  readonly carrier: FollowerCarrier;
  /** Where it hangs, in m from the carrier; a place by its kind where left out. */
  readonly at?: Channels<number>;
  /** Which strand, and which link of it from its root down; whole, from 0. */
  readonly strand?: number;
  readonly link?: number;
  /** Length of the link in m. */
  readonly length?: number;
  /** Angle from plumb that the link has at rest, in rad. */
  readonly rest?: number;
  /** Whether the strands of a cloth close to a ring. */
  readonly ring?: boolean;
}

/** Something that hangs from the character and follows it. */
export interface DocumentFollower {
  readonly name: string;
  /** What the curve is: a displacement in m or an angle in rad. */
  readonly unit: 'm' | 'rad';
  /** Direction it moves along, or turns about for an angle. */
  readonly channel: keyof Channels<unknown>;
  /** `relative`: relative to what it hangs from; `world`: with the carrier's own motion. */
  readonly space: 'relative' | 'world';
  readonly curve: Curve;
  /** The part that it is a piece of; a follower without one is shown by itself. */
  readonly part?: FollowerPart;
  /** Largest distance of the keys from the exact answer, in the curve's unit. */
  readonly error?: number;
}

/**
 * One motion with all that was computed about it. Curves, forces and feet are in metres, seconds, radians
 * and body weights along forward, side and height; `scene` says how the host counts and which way its axes
 * point, and everything that writes for a host converts by it.
 */
export interface MotionDocument {
  readonly format: typeof DOCUMENT_FORMAT;
  readonly version: string;
  /** Any text in any language. */
  readonly name: string;
  /** What made it, and from what. */
  readonly made: { readonly by: 'underfoot'; readonly version: string; readonly spec: unknown };
  readonly scene: Scene;
  readonly units: {
    readonly length: 'm';
    readonly time: 's';
    readonly angle: 'rad';
    readonly force: 'BW';
    readonly mass: 'kg';
  };
  readonly body: Body;
  /** m/s². */
  readonly gravity: number;
  /** Pace of a steady walk. */
  readonly pace?: Pace;
  /** Begin and length in s, and whether it repeats. */
  readonly span: { readonly start: number; readonly duration: number; readonly repeats: boolean };
  readonly root: DocumentRoot;
  readonly feet: Sides<DocumentFoot>;
  /** Turning of the body, where it was keyed. */
  readonly turns?: DocumentTurns;
  readonly forces: DocumentForces;
  readonly chart: readonly DocumentMark[];
  readonly followers: readonly DocumentFollower[];
  readonly notes: readonly Note[];
}
