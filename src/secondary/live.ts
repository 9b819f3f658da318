/**
 * Followers for games: stepped frame by frame with any time step, nothing allocated after they are made,
 * state that can be saved and put back, the same bytes on every engine that keeps IEEE 754.
 */
import { isRecord, numberProblem, recordProblem, refuseAny } from '../internal/check.js';
import type { BouncePart } from './bounce-part.js';
import type { ClothPart } from './cloth-part.js';
import { createBounceFollower } from './live-bounce.js';
import { createClothFollower } from './live-cloth.js';
import { createStrandFollower } from './live-strand.js';
import type { StrandPart } from './strand-part.js';

/** A follower that is stepped live. */
export interface LiveFollower {
  /** How many numbers `step` writes. */
  readonly size: number;
  /** How many numbers hold its state. */
  readonly stateSize: number;
  /**
   * Steps by `dt` s, in [0, 60]; 0 is a pause. `driver` holds the carrier's acceleration at the end of the
   * step, height, forward, side in m/s², and, read only where air damps, its velocity after that in m/s; it
   * runs straight within the step. Writes the part's numbers into `out`.
   */
  step(dt: number, driver: ArrayLike<number>, out: Float64Array): void;
  /**
   * Steps by `dt` s with the carrier at a position, height, forward, side in m, at the end of the step. Its
   * path is taken as straight between calls. The first call, and the first after a teleport, only learns
   * where the carrier is; the second learns its speed, without a kick.
   */
  move(dt: number, position: ArrayLike<number>, out: Float64Array): void;
  /** Forgets where the carrier was: the next `move` begins there, the part keeping how it hangs. */
  teleport(): void;
  /** Back to rest. */
  reset(): void;
  /** Copies the state into `into`, which holds at least `stateSize` numbers. */
  save(into: Float64Array): void;
  /** Puts a saved state back: rewinding is loading. */
  load(from: ArrayLike<number>): void;
}

/** How a live follower is made. */
export interface LiveOptions {
  /** Gravity in m/s², ≥ 0. Default 9.80665. */
  readonly gravity?: number;
}

/**
 * A live follower of a part: displacements in m of its channels in the order height, forward, side for a
 * bouncing part; angles in rad for a strand, each link's pitch and roll against the one above, from the
 * root down; the same strand by strand for a cloth, without obstacles.
 *
 * Bouncing parts are stepped exactly for a drive that runs straight within the step; strands in small
 * angles, exactly but for the change of their stiffness with the felt weight, which is of second order.
 *
 * @param part - a bouncing part, a strand or a cloth
 * @param options - gravity
 * @returns the follower, at rest
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { createFollower } from 'underfoot';
 *
 * const belly = createFollower({ frequencyHz: 4, dampingRatio: 0.2 });
 * const out = new Float64Array(belly.size);
 * for (let frame = 0; frame < 60; frame++) belly.step(1 / 60, [3, 0, 0], out);
 * console.log(out[0].toFixed(4)); // → -0.0047
 * ```
 */
export function createFollower(
  part: BouncePart | StrandPart | ClothPart,
  options: LiveOptions = {},
): LiveFollower {
  const where = 'createFollower';
  const gravity = readGravity(where, options);
  if (isRecord(part) && 'strands' in part)
    return createClothFollower(where, part as unknown as ClothPart, gravity);
  if (isRecord(part) && 'length' in part)
    return createStrandFollower(where, part as unknown as StrandPart, gravity);
  return createBounceFollower(where, part as BouncePart);
}

function readGravity(where: string, options: LiveOptions): number {
  refuseAny(where, [recordProblem('options', options, ['gravity'])]);
  const { gravity = 9.80665 } = options;
  refuseAny(where, [numberProblem('gravity', gravity, { min: 0, unit: 'm/s²' })]);
  return gravity;
}
