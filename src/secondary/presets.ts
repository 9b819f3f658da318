import type { BouncePart } from './bounce-part.js';
import type { StrandPart } from './strand-part.js';

/** A part that is ready to use, and where its numbers come from. */
export interface Preset<Part> {
  readonly part: Part;
  /** Published source, or `common practice, no source`. */
  readonly source: string;
}

const PRACTICE = 'common practice, no source';
const ROD = 'frequency: hanging chain, physics; damping: common practice, no source';

/**
 * Strands by material and length. Longer is slower; wet is slower to swing out and sooner still than dry;
 * a plait is heavier and swings longer than loose hair; heavy cloth drags further and settles later than
 * light.
 */
export const STRANDS = Object.freeze({
  shortHair: {
    part: { length: 0.12, links: 4, taper: 0.5, dampingRatio: 0.45, frequencyHz: 3.2 },
    source: PRACTICE,
  },
  longHair: { part: { length: 0.4, links: 8, taper: 0.5, dampingRatio: 0.25 }, source: ROD },
  wetHair: { part: { length: 0.4, links: 8, taper: 0.8, dampingRatio: 0.6 }, source: ROD },
  ponytail: {
    part: { length: 0.35, links: 7, taper: 0.6, dampingRatio: 0.2, frequencyHz: 1.9, rest: { pitch: 0.7 } },
    source: PRACTICE,
  },
  plait: { part: { length: 0.4, links: 8, taper: 0.7, tipMass: 0.1, dampingRatio: 0.15 }, source: ROD },
  tail: {
    part: { length: 0.5, links: 10, taper: 0.2, dampingRatio: 0.3, frequencyHz: 1.8, rest: { pitch: 0.8 } },
    source: PRACTICE,
  },
  floppyEar: {
    part: { length: 0.15, links: 4, taper: 0.7, dampingRatio: 0.3, frequencyHz: 2.5 },
    source: PRACTICE,
  },
  sleeve: { part: { length: 0.3, links: 5, taper: 1, dampingRatio: 0.5, dampedBy: 'air' }, source: ROD },
  sash: { part: { length: 0.5, links: 8, taper: 1, dampingRatio: 0.3, dampedBy: 'air' }, source: ROD },
  keyChain: { part: { length: 0.15, links: 6, tipMass: 1, dampingRatio: 0.05 }, source: ROD },
  lightCloth: {
    part: { length: 0.5, links: 6, dampingRatio: 0.5, dampedBy: 'air', frequencyHz: 2 },
    source: PRACTICE,
  },
  heavyCloth: { part: { length: 0.5, links: 6, tipMass: 0.3, dampingRatio: 0.2 }, source: ROD },
} as const satisfies Record<string, Preset<StrandPart>>);

/** Names of the strands that are ready to use. */
export type StrandPresetName = keyof typeof STRANDS;

/** Bouncing parts ready to use, but for the belly, which goes by mass: see `bellyOf`. */
export const BOUNCES = Object.freeze({
  softTissue: {
    part: { frequencyHz: 5, dampingRatio: 0.1 },
    source:
      'damping: 53 % of collision energy returned (Zelik & Kuo 2010); frequency: common practice, no source',
  },
  breast: {
    part: { frequencyHz: { height: 4, side: 4.5 }, dampingRatio: 0.215 },
    source: 'height: Chen et al. 2013; side: common practice, no source',
  },
  tightPack: {
    part: { frequencyHz: { height: 4, forward: 5, side: 4 }, dampingRatio: 0.4 },
    source: PRACTICE,
  },
  loosePack: {
    part: { frequencyHz: { height: 2.6, forward: 2.2, side: 2 }, dampingRatio: 0.25 },
    source: PRACTICE,
  },
  purse: {
    part: { frequencyHz: { height: 6, forward: 0.8, side: 0.8 }, dampingRatio: 0.12 },
    source: PRACTICE,
  },
} as const satisfies Record<string, Preset<BouncePart>>);

/** Names of the bouncing parts that are ready to use. */
export type BouncePresetName = keyof typeof BOUNCES;

/** A belly of 10 kg: within the abdomen's 4–8 Hz when seated (memory), at its soft end; damping common practice. */
const BELLY = { mass: 10, frequencyHz: 4, dampingRatio: 0.2 };

/**
 * A belly of some mass in kg, as a bouncing part.
 *
 * What it hangs by grows with its section, so its frequency falls with the sixth root of its mass and its
 * damping ratio with the same: heavier drags further and settles later.
 *
 * @param mass - of the part that moves, in kg, > 0
 * @returns a part for height, forward and side
 * @throws RangeError where the mass is not a positive number
 *
 * @example
 * ```ts
 * import { bellyOf } from 'underfoot';
 *
 * console.log(bellyOf(10).source); // → 10 kg at 4 Hz: memory; scaling and damping: common practice, no source
 * ```
 */
export function bellyOf(mass: number): Preset<BouncePart> {
  if (!(mass > 0 && mass < Number.POSITIVE_INFINITY)) {
    throw new RangeError(`bellyOf: mass must be > 0 kg, got ${mass}`);
  }
  const by = (BELLY.mass / mass) ** (1 / 6);
  const frequencyHz = BELLY.frequencyHz * by;
  return {
    part: {
      frequencyHz: { height: frequencyHz, forward: 1.25 * frequencyHz, side: 1.1 * frequencyHz },
      dampingRatio: BELLY.dampingRatio * by,
    },
    source: '10 kg at 4 Hz: memory; scaling and damping: common practice, no source',
  };
}
