import { sampleSeries } from '../curves/series.js';
import { requireNumber, requireRecord } from '../internal/check.js';
import { requireWalk } from './motion.js';
import type { Walk } from './walk.js';

/** How densely to sample. */
export interface EnergyOptions {
  /** Number of even samples over the stride, from phase 0; whole, in [8, 1 000 000]. Default 720. */
  readonly samples?: number;
}

/** Work in J over one stride, as sums of the energy's rises. */
export interface EnergyWork {
  /** Against gravity and for the speed upwards: rises of potential and vertical kinetic energy together. */
  readonly vertical: number;
  /** For the speed forwards: rises of forward kinetic energy. */
  readonly forward: number;
  /** For the speed sideways: rises of sideways kinetic energy. */
  readonly side: number;
  /** Rises of potential, vertical and forward kinetic energy together: what a pendulum would not give back. */
  readonly external: number;
}

/** Energy of the centre of mass over one stride, in J, and what comes of it. */
export interface Energy {
  /** Times in s. */
  readonly time: readonly number[];
  /** Above the lowest point of the stride. */
  readonly potential: readonly number[];
  /** Of the speed along the direction of travel. */
  readonly forward: readonly number[];
  /** Of the speed upwards. */
  readonly vertical: readonly number[];
  /** Of the speed sideways. */
  readonly side: readonly number[];
  readonly work: EnergyWork;
  /** Fraction of work that potential and forward kinetic energy lend each other, in [0, 1]. */
  readonly recovery: number;
  /** External work over mass and distance, in J/(kg m). */
  readonly externalPerKgMetre: number;
}

/**
 * Potential and kinetic energy of the centre of mass over one stride, in J; the work done on it, and the
 * fraction that pendulum-like exchange saves.
 *
 * Work is the sum of the rises of each energy, between extremes that are refined by a parabola; recovery is
 * (vertical + forward − external) / (vertical + forward). The mass is the body's and what it carries.
 *
 * @param motion - a planned walk
 * @param options - how many samples
 * @returns energies as columns of equal length, work, recovery
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { energyOf, planWalk } from 'underfoot';
 *
 * const { recovery, work } = energyOf(planWalk({ pace: 'ordinary' }));
 * console.log(recovery > 0.5 && recovery < 0.75, work.external < work.vertical + work.forward); // → true true
 * ```
 *
 * Source: Cavagna, Thys & Zamboni 1976, for the definitions of work and recovery.
 */
export function energyOf(motion: Walk, options: EnergyOptions = {}): Energy {
  const walk = requireWalk('energyOf', motion);
  requireRecord('energyOf', 'options', options, ['samples']);
  const { samples = 720 } = options;
  requireNumber('energyOf', 'samples', samples, { min: 8, max: 1e6, whole: true });
  const columns = sampleEnergies(walk, samples);
  const { potential, forward, vertical, side } = columns;
  const up = potential.map((p, i) => p + vertical[i]);
  const work = {
    vertical: risesOf(up),
    forward: risesOf(forward),
    side: risesOf(side),
    external: risesOf(up.map((e, i) => e + forward[i])),
  };
  const spent = work.vertical + work.forward;
  const mass = walk.body.mass + walk.body.carried;
  return {
    ...columns,
    work,
    // A walk that neither rises nor changes speed has nothing to recover.
    recovery: spent === 0 ? 0 : Math.min(1, Math.max(0, (spent - work.external) / spent)),
    externalPerKgMetre: work.external / (mass * walk.pace.strideLength),
  };
}

type Columns = Pick<Energy, 'time' | 'potential' | 'forward' | 'vertical' | 'side'>;

function sampleEnergies(walk: Walk, samples: number): Columns {
  const { height, forward, side } = walk.centre;
  const mass = walk.body.mass + walk.body.carried;
  const jet = new Float64Array(3);
  const column = (): number[] => new Array<number>(samples);
  const columns = {
    time: column(),
    potential: column(),
    forward: column(),
    vertical: column(),
    side: column(),
  };
  const kinetic = (): number => (mass * jet[1] * jet[1]) / 2;
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < samples; i++) {
    const t = (i / samples) * walk.pace.strideTime;
    columns.time[i] = t;
    sampleSeries(height, t, jet);
    lowest = Math.min(lowest, jet[0]);
    columns.potential[i] = jet[0];
    columns.vertical[i] = kinetic();
    sampleSeries(forward, t, jet);
    columns.forward[i] = kinetic();
    sampleSeries(side, t, jet);
    columns.side[i] = kinetic();
  }
  const weight = mass * walk.gravity;
  columns.potential = columns.potential.map((z) => weight * (z - lowest));
  return columns;
}

/** Sum of the rises of a periodic column, each from low to high, both refined by a parabola. */
function risesOf(column: readonly number[]): number {
  const n = column.length;
  let sum = 0;
  for (let i = 0; i < n; i++) {
    const [before, here, after] = [column[(i + n - 1) % n], column[i], column[(i + 1) % n]];
    const high = here > before && here >= after;
    const low = here < before && here <= after;
    if (!high && !low) continue;
    const bend = before - 2 * here + after;
    const extreme = here - (after - before) ** 2 / (8 * bend);
    sum += high ? extreme : -extreme;
  }
  // A column that is flat but for rounding can sum to a negative speck.
  return Math.max(0, sum);
}
