import { recordProblem, refuseAny } from '../internal/check.js';
import { readCarrier } from './carrier.js';
import type { CarrierName, CarrierSpec, Driver } from './driver.js';

/** How a driver is prepared for live followers. */
export interface LiveDriverOptions {
  /** What the part hangs from. Default `hips`. */
  readonly carrier?: CarrierName | CarrierSpec;
}

/** A driver that live followers are stepped along. */
export interface LiveDriver {
  /** First moment in s. */
  readonly start: number;
  /** Length in s, of the cycle or of the whole. */
  readonly duration: number;
  readonly repeats: boolean;
  /** Gravity in m/s², for `createFollower`. */
  readonly gravity: number;
  /**
   * Writes what `step` takes at time `t` (s): acceleration of height, forward and side in m/s², then velocity
   * in m/s, into `out[0..5]`; forward and side are the body's own where it turns.
   */
  sample(t: number, out: Float64Array): void;
}

/**
 * A walk, a shot, paths or samples as live followers take them, seen by a carrier.
 *
 * Past the end of a driver that does not repeat its carrier stands; before its start it is not moved.
 *
 * @param driver - a motion, paths or samples
 * @param options - carrier
 * @returns a prepared reader that allocates nothing
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { createDriver, createFollower, planShot } from 'underfoot';
 *
 * const hips = createDriver(planShot({ stretches: [{ steps: 6 }] }));
 * const belly = createFollower({ frequencyHz: 4, dampingRatio: 0.2 });
 * const [drive, out] = [new Float64Array(6), new Float64Array(belly.size)];
 * let most = 0;
 * for (let t = 0; t <= hips.duration + 3; t += 1 / 60) {
 *   hips.sample(t, drive);
 *   belly.step(1 / 60, drive, out);
 *   most = Math.max(most, Math.abs(out[0]));
 * }
 * console.log(most > 0.004, Math.abs(out[0]) < 1e-6); // → true true
 * ```
 */
export function createDriver(driver: Driver, options: LiveDriverOptions = {}): LiveDriver {
  const where = 'createDriver';
  refuseAny(where, [recordProblem('options', options, ['carrier'])]);
  const reader = readCarrier(where, driver, options.carrier);
  const { start, duration, repeats, gravity } = reader;
  const jets = new Float64Array(9);
  return {
    start,
    duration,
    repeats,
    gravity,
    sample(t, out) {
      if (!repeats && (t < start || t > start + duration)) {
        out.fill(0, 0, 6);
        return;
      }
      reader.sample(t, jets);
      for (let i = 0; i < 3; i++) {
        out[i] = jets[3 * i + 2];
        out[3 + i] = jets[3 * i + 1];
      }
    },
  };
}
