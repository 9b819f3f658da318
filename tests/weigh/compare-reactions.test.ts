import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planShot, planWalk, type ReactionTable, sampleReactions } from '../../src/gait/index.js';
import { compareReactions, readPlates, writePlates } from '../../src/weigh/index.js';
import { assertClose } from '../support/assert-close.js';

const table = (spec: Parameters<typeof planWalk>[0]): ReactionTable =>
  sampleReactions(planWalk(spec), { samples: 800 });
const ordinary = table({ pace: 'ordinary' });

describe('a comparison of two tables of forces', () => {
  it('finds nothing between a table and itself', () => {
    const { rms, worst, measures, verdict } = compareReactions(ordinary, ordinary);
    expect(rms).toEqual({
      feet: { vertical: 0, forward: 0, side: 0 },
      total: { vertical: 0, forward: 0, side: 0 },
    });
    expect(worst.a).toBe(worst.b);
    expect(measures.every(({ difference }) => difference === 0)).toBe(true);
    expect(verdict).toBe('The two agree: no force differs by more than 0.000 BW.');
  });

  it('begins at the right landing, whichever foot comes first in the table', () => {
    const { rms } = compareReactions(ordinary, table({ pace: 'ordinary', firstFoot: 'left' }));
    // Only the straight lines between samples 0.7 ms apart differ.
    expect(rms.feet.vertical).toBeLessThan(1e-3);
  });

  it('finds a bump where and as large as it was put', () => {
    const bumped = structuredClone(ordinary) as unknown as { left: { forward: number[] } } & ReactionTable;
    const at = ordinary.phase.findIndex((phase) => phase > 0.8);
    for (let i = at - 8; i <= at + 8; i++) bumped.left.forward[i] += 0.2 * (1 - Math.abs(i - at) / 8);
    const { worst } = compareReactions(ordinary, bumped, { samples: 800 });
    expect([worst.foot, worst.direction]).toEqual(['left', 'forward']);
    assertClose(worst.b - worst.a, 0.2, { abs: 0.02 });
    // The phase counts from the threshold of 0.03 BW, some samples after the contact itself.
    assertClose(worst.phase, 0.8, { abs: 0.03 });
  });

  it('is the same the other way round, with signs turned', () => {
    const pace = fc.double({ min: 0.6, max: 1.9, noNaN: true });
    fc.assert(
      fc.property(pace, pace, (v, w) => {
        const [a, b] = [table({ pace: { speed: v } }), table({ pace: { speed: w } })];
        const [there, back] = [compareReactions(a, b), compareReactions(b, a)];
        assertClose(there.rms.feet.vertical, back.rms.feet.vertical, { abs: 1e-12 });
        there.measures.forEach(({ difference }, i) => {
          assertClose(difference, -back.measures[i].difference, { abs: 1e-12 });
        });
      }),
      { numRuns: 30 },
    );
  });

  it('tells a brisk walk from a slow one in words: higher peaks, lower trough, harder braking', () => {
    // Schwartz et al. 2008: at v* 0.56 against 0.29, F1 +0.24, F2 −0.25, braking +0.11, propulsion +0.105 BW.
    const { verdict, measures } = compareReactions(table({ pace: 'slow' }), table({ pace: 'brisk' }));
    for (const part of [
      'presses harder on landing',
      'presses less in mid-stance',
      'brakes harder after contact',
      'pushes harder before toe-off',
      'Its strides take',
    ]) {
      expect(verdict).toContain(part);
    }
    const difference = (name: string) =>
      measures.filter((pair) => pair.name === name).reduce((sum, pair) => sum + pair.difference / 2, 0);
    expect(difference('firstPeak')).toBeGreaterThan(0.1);
    expect(difference('trough')).toBeLessThan(-0.1);
  });

  it('draws both as plain text', () => {
    const lines = compareReactions(ordinary, table({ pace: 'brisk' })).chart.split('\n');
    expect(lines.length).toBe(10);
    expect(lines.every((line) => line.length <= 110)).toBe(true);
    expect(lines.join('')).toContain('#');
  });

  it('refuses a shot and a recording, and says what to do', () => {
    const shot = planShot({ stretches: [{ steps: 6 }] });
    expect(() => compareReactions(ordinary, sampleReactions(shot))).toThrow(
      /^compareReactions: b\.phase\[\d+\] must go evenly round once, as over one stride and not over a shot, got /,
    );
    const brief = sampleReactions(planShot({ stretches: [{ steps: 2 }] }));
    expect(() => compareReactions(brief, ordinary)).toThrow(/^compareReactions: a\.phase/);
    const recording = readPlates(writePlates(planWalk({ pace: 'ordinary' }), { strides: 3 }));
    expect(() => compareReactions(ordinary, recording as never)).toThrow(
      'compareReactions: b must be a table of one stride; averageStride makes one of it, got a recording',
    );
    expect(() => compareReactions(planWalk({ pace: 'slow' }) as never, ordinary)).toThrow(
      'a must be a table of one stride; sampleReactions makes one of it, got a walk',
    );
  });

  it('refuses what is not a table of one stride', () => {
    expect(() => compareReactions(3 as never, ordinary)).toThrow(
      'compareReactions: a must be an object, got 3',
    );
    expect(() => compareReactions(ordinary, { ...ordinary, time: [0, 1] })).toThrow(
      'b.time must have at least 16',
    );
    const holed = { ...ordinary, left: { ...ordinary.left, side: ordinary.left.side.map(() => Number.NaN) } };
    expect(() => compareReactions(ordinary, holed)).toThrow('b.left.side must be 800 finite numbers');
    const floating = { ...ordinary, right: { ...ordinary.right, vertical: ordinary.time.map(() => 0) } };
    expect(() => compareReactions(floating, ordinary)).toThrow('a.right.vertical must rise through 0.03 BW');
    expect(() => compareReactions(ordinary, ordinary, { samples: 3 })).toThrow(
      'samples must be a whole number in',
    );
  });
});
