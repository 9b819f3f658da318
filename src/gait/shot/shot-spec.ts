import type { BodySpec, CarrySpec, PaceName, PaceSpec, Side, WalkSpec } from '../walk.js';

/** How a stretch turns: along an arc of a radius, or by a change of heading spread over the stretch. */
export interface TurnSpec {
  /** Radius in m of the path of the body; positive turns left, negative right. In place of `by`. */
  readonly radius?: number;
  /** Change of heading over the stretch in rad; positive turns left. In place of `radius`. */
  readonly by?: number;
}

/** Stairs under a stretch: each step goes up or down one riser. */
export interface StairsSpec {
  /** Height in m from one tread to the next; negative goes down. */
  readonly riser: number;
  /** Depth of a tread in m, > 0: the length of every step on it. */
  readonly tread: number;
}

/** How far a stretch goes; exactly one of its fields is given. */
export interface StretchExtent {
  /** How far it goes along the path of the body, seen from above, in m, > 0. Steps are lengthened or shortened to fit. */
  readonly distance?: number;
  /** How long it takes in s, > 0. Steps are quickened or slowed to fit, at the same speed. */
  readonly duration?: number;
  /** How many steps it has, whole, ≥ 1; a step that closes beside the other foot counts. */
  readonly steps?: number;
}

/**
 * One stretch of a shot: how far it goes, at what pace and over what ground. Every dial of `planWalk` may
 * be given with it; exactly one of `distance`, `duration` and `steps` is.
 */
export interface ShotStretch
  extends Omit<WalkSpec, 'pace' | 'body' | 'gravity' | 'firstFoot' | 'carry'>,
    StretchExtent {
  /**
   * Pace to come to. Default that of the stretch before, else `ordinary`; in a turn that default slows down.
   * On stairs it sets the rate of the steps, whose length is the tread's.
   */
  readonly pace?: PaceName | PaceSpec;
  /** How it turns. Default straight on. */
  readonly turn?: TurnSpec;
  /** Rise over run of the ground, in [−1, 1]; positive is uphill. Default level. */
  readonly slope?: number;
  /** Stairs in place of a slope; the stretch is given by its `steps`. */
  readonly stairs?: StairsSpec;
}

/** How a shot begins or ends. */
export type ShotEnd = 'standing' | 'walking';

/** How much one step differs from the next. */
export interface VariationSpec {
  /** Whole number in [0, 2³² − 1]; the same seed gives the same shot, to the bit. */
  readonly seed: number;
  /** Standard deviation over the mean of the steps' times, in [0, 0.15]. Default 0.02. */
  readonly time?: number;
  /** The same of their lengths. Default 0.025. */
  readonly length?: number;
}

/** A contact that the author has chosen; it is kept to the bit. */
export interface ChosenContact {
  readonly foot: Side;
  /** When it lands in s. */
  readonly land: number;
  /** When it leaves the floor in s: after the other foot has landed, before it lands again. Default as in walking. */
  readonly lift?: number;
  /** Where the back of the heel stands, in the fixed axes, in m; heading and pitch of the floor in rad. */
  readonly plant: {
    readonly forward: number;
    /** Positive to the left. */
    readonly side: number;
    /** Default 0. */
    readonly height?: number;
    /** Positive is turned left. Default 0. */
    readonly heading?: number;
    /** Positive with the front down. Default 0. */
    readonly pitch?: number;
  };
}

/** The dials of `planWalk` that go with chosen contacts. */
export type ContactDials = Omit<
  WalkSpec,
  'pace' | 'body' | 'gravity' | 'firstFoot' | 'carry' | 'stepWidth' | 'stepFactor' | 'uneven'
>;

/** What to plan. Plain numbers in SI units; exactly one of `stretches` and `contacts` has to be given. */
export interface ShotSpec {
  readonly body?: BodySpec;
  /** Gravity in m/s², > 0. Default 9.80665. */
  readonly gravity?: number;
  /** What is carried throughout. */
  readonly carry?: CarrySpec;
  /** How it begins. Default `standing`. */
  readonly from?: ShotEnd;
  /** How it ends. Default `standing`. */
  readonly to?: ShotEnd;
  /** The foot that steps first, or whose contact the shot begins with. Default `right`. */
  readonly firstFoot?: Side;
  /** Time in s of standing still before the first step and after the last, ≥ 0. Default 0. */
  readonly still?: { readonly before?: number; readonly after?: number };
  /** Brings every contact onto a whole frame; the paces change as in `snapToFrames`. */
  readonly wholeFrames?: { readonly fps: number };
  /**
   * Lets steps vary naturally about what they would be. A shot that walks in and out of one stretch then ends
   * as it began, so that it may be repeated.
   */
  readonly variation?: VariationSpec;
  /** The stretches, in order. */
  readonly stretches?: readonly ShotStretch[];
  /**
   * Contacts in order, left and right in turn, in place of stretches. The first two are the feet that are down
   * when the shot begins: both since 0 from standing; the first before 0 and the second at 0 from walking.
   * Where the shot ends standing, the last two stand on.
   */
  readonly contacts?: readonly ChosenContact[];
  /** Dials of the walk that chosen contacts are walked with; pace and step width follow from them. */
  readonly dials?: ContactDials;
}

/** A spec that is given by stretches. */
export type StretchedSpec = ShotSpec & { readonly stretches: readonly ShotStretch[] };

/** A spec that is given by contacts. */
export type ChosenSpec = ShotSpec & { readonly contacts: readonly ChosenContact[] };
