import { errorOf, numberProblem, recordProblem, refuseAny } from '../internal/check.js';
import type { DampedBy } from './bounce-part.js';

/**
 * What an animator asks of a follower: any two of the three, or a delay with a damping ratio. Frames are
 * counted at `fps`.
 */
export interface TradeWords {
  readonly fps: number;
  /** Frames by which the part moves later than its parent while being driven at `driveHz`. */
  readonly delayFrames?: number;
  /** Drive in Hz that the delay is meant at: for a bob, steps per second. */
  readonly driveHz?: number;
  /** Each overshoot over the one before, in (0, 1): 0.5 is the halving ladder. 0 asks for none at all. */
  readonly overshoot?: number;
  /** Frames after which less than `settled` of a start is left. */
  readonly settleFrames?: number;
  /** What counts as settled. Default 0.05. */
  readonly settled?: number;
  /** Default `parent`. */
  readonly dampedBy?: DampedBy;
}

/** A spring in numbers, as parts take it, and what it comes to in the trade's words. */
export interface SpringNumbers {
  readonly frequencyHz: number;
  readonly dampingRatio: number;
  readonly dampedBy: DampedBy;
}

const FIELDS = ['fps', 'delayFrames', 'driveHz', 'overshoot', 'settleFrames', 'settled', 'dampedBy'];
const WHERE = 'springFromWords';

/** Slowest and quickest springs that are looked for, as parts of the drive. */
const SLOWEST = 0.02;
const QUICKEST = 100;
const PLACES = 4000;
/** Most damping that is returned. */
const MOST_DAMPING = 5;

/** Damping ratio of a ladder of overshoots: ln r = −πζ/√(1 − ζ²). */
export function dampingOfOvershoot(ratio: number): number {
  if (ratio === 0) return 1;
  const log = -Math.log(ratio);
  return log / Math.hypot(Math.PI, log);
}

/** Each overshoot over the one before, for a damping ratio; 0 from critical damping on. */
export function overshootOfDamping(zeta: number): number {
  return zeta >= 1 ? 0 : Math.exp((-Math.PI * zeta) / Math.sqrt((1 - zeta) * (1 + zeta)));
}

/**
 * By what part of a turn the part's displacement in the world lags its parent's, driven at `driveHz`.
 * Source: transmissibility of a base-excited oscillator; against still air the damper does not drive.
 */
export function lagOf(spring: SpringNumbers, driveHz: number): number {
  const { frequencyHz: own, dampingRatio: zeta, dampedBy } = spring;
  const behind = Math.atan2(2 * zeta * own * driveHz, (own - driveHz) * (own + driveHz));
  const ahead = dampedBy === 'air' ? 0 : Math.atan2(2 * zeta * driveHz, own);
  return (behind - ahead) / (2 * Math.PI);
}

function unreachable(field: string, got: number, rule: string): never {
  throw errorOf(WHERE, { field, rule, got: String(got), kind: 'range' });
}

/**
 * Frequency in Hz and damping ratio that do what was asked for in the trade's words.
 *
 * Overshoot fixes the damping ratio, settling the rate of decay, and the delay the rest: in closed form
 * against still air, by a search over 4000 springs and halving against the parent. Where several springs
 * have the delay the stiffest is taken.
 *
 * @param words - two of delay (with the drive it is meant at), overshoot and settle frames
 * @returns frequency in Hz, damping ratio, and what the damper is tied to
 * @throws RangeError or TypeError naming field, rule and value; where the request is out of reach the rule
 * names the nearest that is not
 *
 * @example
 * ```ts
 * import { springFromWords } from 'underfoot';
 *
 * const spring = springFromWords({ fps: 24, delayFrames: 2, driveHz: 2, overshoot: 0.5, dampedBy: 'air' });
 * console.log(spring.frequencyHz.toFixed(3), spring.dampingRatio.toFixed(4)); // → 2.264 0.2155
 * ```
 */
export function springFromWords(words: TradeWords): SpringNumbers {
  refuseAny(WHERE, [recordProblem('words', words, FIELDS)]);
  const { fps, delayFrames, driveHz, overshoot, settleFrames, settled = 0.05, dampedBy = 'parent' } = words;
  const optional = (field: string, value: unknown, bounds: object) =>
    value === undefined ? undefined : numberProblem(field, value, bounds);
  refuseAny(WHERE, [
    numberProblem('fps', fps, { above: 0, unit: '1/s' }),
    optional('delayFrames', delayFrames, { above: 0 }),
    optional('driveHz', driveHz, { above: 0, unit: 'Hz' }),
    optional('overshoot', overshoot, { min: 0, below: 1 }),
    optional('settleFrames', settleFrames, { above: 0 }),
    numberProblem('settled', settled, { above: 0, below: 1 }),
  ]);
  if (dampedBy !== 'parent' && dampedBy !== 'air')
    unreachable('dampedBy', Number.NaN, 'must be "parent" or "air"');
  const asked = [delayFrames, overshoot, settleFrames].filter((x) => x !== undefined).length;
  if (asked !== 2) unreachable('words', asked, 'must give two of delayFrames, overshoot and settleFrames');
  if ((delayFrames === undefined) !== (driveHz === undefined)) {
    unreachable('driveHz', driveHz ?? Number.NaN, 'must be given with delayFrames, and only then');
  }
  const decay = settleFrames === undefined ? undefined : (-Math.log(settled) * fps) / settleFrames;
  if (delayFrames === undefined || driveHz === undefined) {
    const zeta = dampingOfOvershoot(overshoot as number);
    return { frequencyHz: (decay as number) / (2 * Math.PI * zeta), dampingRatio: zeta, dampedBy };
  }
  const lag = (delayFrames * driveHz) / fps;
  const zetaFor = (own: number): number =>
    overshoot === undefined ? (decay as number) / (2 * Math.PI * own) : dampingOfOvershoot(overshoot);
  return searchLag(lag, driveHz, fps, zetaFor, dampedBy);
}

/** The stiffest spring with a lag, among those whose damping is at most 5. */
function searchLag(
  lag: number,
  driveHz: number,
  fps: number,
  zetaFor: (own: number) => number,
  dampedBy: DampedBy,
): SpringNumbers {
  const springAt = (own: number): SpringNumbers => ({
    frequencyHz: own,
    dampingRatio: zetaFor(own),
    dampedBy,
  });
  const place = (i: number): number => driveHz * QUICKEST * (SLOWEST / QUICKEST) ** (i / PLACES);
  let nearest = Number.NaN;
  let before = Number.NaN;
  for (let i = 0; i <= PLACES; i++) {
    const spring = springAt(place(i));
    if (spring.dampingRatio > MOST_DAMPING) break;
    const here = lagOf(spring, driveHz);
    if (!(Math.abs(here - lag) >= Math.abs(nearest - lag))) nearest = here;
    if ((before - lag) * (here - lag) <= 0) {
      let [stiff, soft] = [place(i - 1), place(i)];
      for (let k = 0; k < 80; k++) {
        const middle = Math.sqrt(stiff * soft);
        if (lagOf(springAt(middle), driveHz) < lag === before < lag) stiff = middle;
        else soft = middle;
      }
      return springAt(Math.sqrt(stiff * soft));
    }
    before = here;
  }
  const frames = ((nearest * fps) / driveHz).toPrecision(4);
  return unreachable(
    'delayFrames',
    (lag * fps) / driveHz,
    `must be within reach; the nearest is ${frames} frames`,
  );
}

/** What a spring comes to in the trade's words. */
export interface SpringInWords {
  readonly delayFrames: number;
  readonly overshoot: number;
  readonly settleFrames: number;
}

/**
 * A spring in the trade's words: frames of delay at a drive, overshoot ratio, frames to settle.
 *
 * @param spring - frequency in Hz, damping ratio, and what damps it
 * @param at - frames per second, drive in Hz, and what counts as settled (default 0.05)
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { wordsFromSpring } from 'underfoot';
 *
 * const spring = { frequencyHz: 2.5, dampingRatio: 0.35, dampedBy: 'air' } as const;
 * console.log(wordsFromSpring(spring, { fps: 24, driveHz: 2 }).delayFrames.toFixed(1)); // → 1.9
 * ```
 */
export function wordsFromSpring(
  spring: SpringNumbers,
  at: { readonly fps: number; readonly driveHz: number; readonly settled?: number },
): SpringInWords {
  const where = 'wordsFromSpring';
  const { settled = 0.05 } = at;
  refuseAny(where, [
    recordProblem('spring', spring),
    recordProblem('at', at, ['fps', 'driveHz', 'settled']),
    numberProblem('spring.frequencyHz', spring.frequencyHz, { above: 0, unit: 'Hz' }),
    numberProblem('spring.dampingRatio', spring.dampingRatio, { above: 0 }),
    numberProblem('at.fps', at.fps, { above: 0 }),
    numberProblem('at.driveHz', at.driveHz, { above: 0, unit: 'Hz' }),
    numberProblem('at.settled', settled, { above: 0, below: 1 }),
  ]);
  const { frequencyHz, dampingRatio: zeta } = spring;
  const rate =
    2 * Math.PI * frequencyHz * (zeta <= 1 ? zeta : 1 / (zeta + Math.sqrt((zeta - 1) * (zeta + 1))));
  return {
    delayFrames: (lagOf(spring, at.driveHz) * at.fps) / at.driveHz,
    overshoot: overshootOfDamping(zeta),
    settleFrames: (-Math.log(settled) / rate) * at.fps,
  };
}
