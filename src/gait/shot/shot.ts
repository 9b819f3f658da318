import type { Note } from '../note.js';
import type { Body, Side, Walk } from '../walk.js';
import type { ShotSpec } from './shot-spec.js';

/** How a step moves. */
export type Gait = 'walk' | 'run';

/**
 * Polynomials end to end, of fifth degree but for those of a run: between `times[i]` and `times[i + 1]` the value is the sum of
 * `powers[i][k] · u^k` with u the elapsed fraction. Continuous with two derivatives where pieces meet.
 */
export interface PieceTrack {
  /** Ends of the pieces in s, rising; one more than there are pieces. */
  readonly times: readonly number[];
  /** Six coefficients of each piece; up to eight where somebody runs. */
  readonly powers: readonly (readonly number[])[];
}

/** Where a foot stands. In the fixed axes of the shot: forward is the heading at its beginning. */
export interface Plant {
  /** Where the back of the heel lands, in m. */
  readonly forward: number;
  /** Positive to the left, in m. */
  readonly side: number;
  /** Of the ground under the heel, in m. */
  readonly height: number;
  /** Direction in which the foot points, in rad; positive is turned left. */
  readonly heading: number;
  /** Of the ground along the foot, in rad; positive with the front down, so negative uphill. */
  readonly pitch: number;
}

/**
 * How the pressure rolls along a foot while it stands: fraction `from` at `start` s, `to` at `end` s, evenly
 * between, and held outside. 0 is how it lands, 1 how it leaves, ½ how it stands still.
 */
export interface Roll {
  readonly from: number;
  readonly to: number;
  readonly start: number;
  readonly end: number;
}

/** One standing of one foot: a step, or where a foot stood already when the shot began. */
export interface ShotStep {
  /** Its place in `Shot.steps`, in order of landing. */
  readonly index: number;
  readonly foot: Side;
  readonly gait: Gait;
  /** Index of the stretch that it belongs to. */
  readonly stretch: number;
  /** Index in `Shot.cycles` of the walk that shapes its foot path and the aim of its force. */
  readonly cycle: number;
  /** How the foot came there: it stood there already, it stepped, or it closed beside the other one. */
  readonly kind: 'begin' | 'step' | 'close';
  /** When it lands in s. Where it stood already: 0 from standing, before 0 in a shot that walks in. */
  readonly land: number;
  /** When it leaves the floor in s; the end of the shot where it stands on, later where the shot walks out. */
  readonly lift: number;
  /** Whether it stands on when the shot ends. */
  readonly ends: boolean;
  /** Time in s since the landing before; 0 where it stood already. */
  readonly duration: number;
  /** How far the shot advances along its line with this step, in m; 0 where it stood already or closes. */
  readonly length: number;
  /** Place of the heel along the line in m, and beside it, positive to the left. */
  readonly along: number;
  readonly beside: number;
  readonly plant: Plant;
  readonly roll: Roll;
}

/** How the load goes over from foot to foot: the left foot's share of it, eased between two times. */
export interface HandOver {
  /** In s. */
  readonly start: number;
  readonly end: number;
  /** Share of the left foot before and after; the right foot has the rest. */
  readonly from: number;
  readonly to: number;
}

/**
 * A repeating motion riding on the shot: the oscillation of a cycle about its means, read at a phase and
 * weighted. Outside its pieces it weighs nothing.
 */
export interface Layer {
  /** Index in `Shot.cycles`. */
  readonly cycle: number;
  /** Phase of the cycle in strides. */
  readonly phase: PieceTrack;
  /** Weight, from 0 (not there) to 1 (the cycle itself). */
  readonly weight: PieceTrack;
  /** Whether it only turns the body, and moves it nowhere: while somebody runs, whose path is the base's own. */
  readonly turnsOnly?: true;
}

/** One piece of a centre line: its curvature goes smoothly from one value to another over its length. */
export interface LineSegment {
  /** Where it begins along the line, in m, and its length. */
  readonly start: number;
  readonly length: number;
  /** Curvature in 1/m at its ends; positive turns left. */
  readonly from: number;
  readonly to: number;
  /** Heading in rad and position in m at its start. */
  readonly heading: number;
  readonly forward: number;
  readonly side: number;
}

/** The line that the body follows, seen from above. Straight on before the first segment and after the last. */
export interface CentreLine {
  readonly segments: readonly LineSegment[];
}

/** Smooth progress of the centre of mass, which the layers ride on. */
export interface ShotBase {
  /** Along the line, beside it and above the floor's zero, in m. */
  readonly along: PieceTrack;
  readonly beside: PieceTrack;
  readonly height: PieceTrack;
  /** Heading of the body in rad beyond the line's, where it turns by itself. */
  readonly turn?: PieceTrack;
  /** What the root's height has beyond the layers, in m, where a walk gives way to a run. */
  readonly root?: PieceTrack;
}

/** What one stretch of a shot became. */
export interface PlannedStretch {
  /** Index in `Shot.cycles`. */
  readonly cycle: number;
  /** Landings of its first and last step, as indices in `Shot.steps`. */
  readonly firstStep: number;
  readonly lastStep: number;
  /** From when to when it goes, in s. */
  readonly start: number;
  readonly end: number;
  /** Where its own walk holds exactly, in s, from a contact to a contact; left out where it never does. */
  readonly steady?: { readonly start: number; readonly end: number };
}

/**
 * A motion that begins and ends: steps, and the path of the centre of mass over them. Read-only data that
 * survives JSON; `readMotion`, `rootAt` and `shotPathAt` read it.
 *
 * Its axes are fixed in the world: forward is the heading at the beginning, side is to the left of it, and
 * `along` and `beside` are measured along the line that turns with the body.
 */
export interface Shot {
  readonly kind: 'shot';
  /** What was asked for. */
  readonly spec: ShotSpec;
  /** Gravity in m/s². */
  readonly gravity: number;
  readonly body: Body;
  /** Length in s; it begins at 0. */
  readonly duration: number;
  readonly stretches: readonly PlannedStretch[];
  /** The steady motions that the stretches follow, as `planWalk` gives them; see the notes where a swing was held back. */
  readonly cycles: readonly Walk[];
  /** Every standing of a foot, in order of landing. */
  readonly steps: readonly ShotStep[];
  /** Hand-overs of the load between the feet, in order; between them the shares stay. */
  readonly handOvers: readonly HandOver[];
  readonly line: CentreLine;
  readonly base: ShotBase;
  readonly layers: readonly Layer[];
  /** How far the centre of mass is above the root (hip joints) without the layers, in m. */
  readonly centreAboveRoot: number;
  /** Possible but odd things, with their numbers. */
  readonly notes: readonly Note[];
}
