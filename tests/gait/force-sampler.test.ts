import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluateSeries, seriesValue } from '../../src/curves/series.js';
import { planWalk, reactionsAt, sampleReactions } from '../../src/gait/index.js';
import { assertClose } from '../support/assert-close.js';
import { walkSpecs } from '../support/walk-specs.js';

/** Rounding of sums of some tens of terms of the size of a load. */
const ROUNDING = 1e-13;

// Odd and even counts, fewer than the harmonics, the planner's own 64, and more than one table of cosines keeps.
const counts = fc.constantFrom(1, 2, 3, 7, 17, 64, 100, 241, 5000);

describe('a table of reactions', () => {
  it('holds what the forces are at each of its times, of even and uneven walks, however many there are', () => {
    fc.assert(
      fc.property(walkSpecs, counts, fc.double({ min: 0, max: 1, noNaN: true }), (spec, samples, pick) => {
        const walk = planWalk(spec);
        const table = sampleReactions(walk, { samples });
        const i = Math.min(samples - 1, Math.floor(pick * samples));
        const at = reactionsAt(walk, table.time[i]);
        const size = Math.max(1, ...table.total.vertical, ...table.left.forward.map(Math.abs));
        for (const side of ['left', 'right'] as const) {
          for (const name of ['vertical', 'forward', 'side'] as const) {
            // The hand-over's slope, over rounding of the phase, is the steepest thing there.
            const bound = { abs: 1e3 * ROUNDING * size };
            assertClose(table[side][name][i], at[side][name], bound, `${side} ${name} at ${i}`);
          }
        }
      }),
      { numRuns: 300 },
    );
  });

  it('of a walk with equal steps is the same half a stride later with the feet changed over', () => {
    const { left, right } = sampleReactions(planWalk({ pace: 'brisk' }), { samples: 240 });
    for (let i = 0; i < 120; i++) {
      expect(left.vertical[i + 120]).toBe(right.vertical[i]);
      expect(left.forward[i + 120]).toBe(right.forward[i]);
      expect(left.side[i + 120]).toBe(-right.side[i]);
    }
  });

  it('reads series to the bit as their values with derivatives are', () => {
    const { height } = planWalk({ pace: 'slow' }).centre;
    for (const t of [0, 0.1, 0.37, 1.9, -3])
      expect(seriesValue(height, t)).toBe(evaluateSeries(height, t).value);
  });
});
