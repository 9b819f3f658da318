import { readMotion } from '../gait/read-motion.js';
import type { Motion } from '../gait/walk.js';
import { requireNumber, requireRecord } from '../internal/check.js';

/** How to write a planned motion as a recording. */
export interface WritePlateOptions {
  /** Strides, whole, in [1, 1000]; 1, the whole of it, for a motion that does not repeat. Default 10, or 1. */
  readonly strides?: number;
  /** Samples per second, in [50, 10 000]. Default 500. */
  readonly rate?: number;
}

/**
 * A planned motion as the CSV table that two plates, one under each foot, would record: time in s, forces
 * in N, x forwards, y to the left, z up; what `readPlates` reads back. Ends with a newline.
 *
 * @param motion - a planned walk, shot or run
 * @param options - how long and how fine
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, writePlates } from 'underfoot';
 *
 * const text = writePlates(planWalk({ pace: 'slow' }), { strides: 2 });
 * console.log(text.split('\n')[0]); // → time (s),left Fx (N),left Fy (N),left Fz (N),right Fx (N),right Fy (N),right Fz (N)
 * ```
 */
export function writePlates(motion: Motion, options: WritePlateOptions = {}): string {
  const where = 'writePlates';
  const reader = readMotion(motion);
  requireRecord(where, 'options', options, ['strides', 'rate']);
  const { strides = reader.repeats ? 10 : 1, rate = 500 } = options;
  requireNumber(where, 'strides', strides, { min: 1, max: reader.repeats ? 1000 : 1, whole: true });
  requireNumber(where, 'rate', rate, { min: 50, max: 10_000, unit: 'Hz' });
  const newtons = reader.body.mass * reader.gravity;
  const names = ['left', 'right'].flatMap((foot) => ['x', 'y', 'z'].map((axis) => `${foot} F${axis} (N)`));
  const lines = [['time (s)', ...names].join(',')];
  const forces = new Float64Array(6);
  const count = Math.floor(strides * reader.duration * rate);
  for (let i = 0; i <= count; i++) {
    const t = i / rate;
    reader.sampleForces(reader.start + t, forces);
    const [lv, lf, ls, rv, rf, rs] = forces.map((load) => load * newtons);
    lines.push([t.toFixed(6), ...[lf, ls, lv, rf, rs, rv].map((x) => x.toFixed(3))].join(','));
  }
  return `${lines.join('\n')}\n`;
}
