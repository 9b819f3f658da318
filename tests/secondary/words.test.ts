import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { springFromWords, wordsFromSpring } from '../../src/secondary/words.js';
import { assertClose } from '../support/assert-close.js';

describe('the trade words for a spring', () => {
  it.each([
    [0.5, 0.2155, 5e-5],
    [0.25, 0.404, 5e-4],
  ])('give a ladder of overshoots of %d the damping ratio %d', (overshoot, zeta, lastPlace) => {
    // Source: arithmetic, ζ = ln r / √(π² + ln² r); good to half the last place of the table.
    const spring = springFromWords({ fps: 24, overshoot, settleFrames: 12 });
    assertClose(spring.dampingRatio, zeta, { abs: lastPlace });
  });

  it.each([
    ['air', 1.9],
    ['parent', 0.9],
  ] as const)('give the delay of the trade, damped by the %s', (dampedBy, frames) => {
    // Source: common practice (2 Hz drive, 2.5 Hz natural, ζ 0.35).
    const words = wordsFromSpring(
      { frequencyHz: 2.5, dampingRatio: 0.35, dampedBy },
      { fps: 24, driveHz: 2 },
    );
    assertClose(words.delayFrames, frames, { abs: 0.05 });
  });

  it('come back from the spring that they ask for, whichever two are given', () => {
    const springs = fc.record({
      frequencyHz: fc.double({ min: 0.8, max: 8, noNaN: true }),
      dampingRatio: fc.double({ min: 0.05, max: 0.95, noNaN: true }),
      dampedBy: fc.constantFrom('parent' as const, 'air' as const),
    });
    fc.assert(
      fc.property(springs, fc.double({ min: 0.5, max: 3, noNaN: true }), (spring, driveHz) => {
        const { dampedBy } = spring;
        const at = { fps: 24, driveHz };
        const { delayFrames, overshoot, settleFrames } = wordsFromSpring(spring, at);
        const asked = [
          { delayFrames, driveHz, overshoot },
          { delayFrames, driveHz, settleFrames },
          { overshoot, settleFrames },
        ];
        for (const words of asked) {
          const back = wordsFromSpring(springFromWords({ fps: 24, dampedBy, ...words }), at);
          // Two springs may share a delay; what was asked for has to come back either way.
          for (const [name, value] of Object.entries(words)) {
            if (name !== 'driveHz')
              assertClose(back[name as keyof typeof back], value as number, { rel: 1e-7 }, name);
          }
        }
      }),
    );
  });

  it('refuse a delay out of reach and name the nearest that is not', () => {
    const ask = (delayFrames: number) => () =>
      springFromWords({ fps: 24, delayFrames, driveHz: 2, overshoot: 0.1 });
    let nearest = Number.NaN;
    try {
      ask(6)();
    } catch (error) {
      nearest = Number(/the nearest is ([\d.]+) frames, got 6$/.exec(String(error))?.[1]);
    }
    expect(nearest).toBeGreaterThan(1);
    expect(ask(nearest * 0.999)).not.toThrow();
    expect(ask(nearest * 1.01)).toThrow(/nearest/);
  });

  it('refuse what is not two words', () => {
    expect(() => springFromWords({ fps: 24, overshoot: 0.5 })).toThrow(/must give two of/);
    expect(() => springFromWords({ fps: 24, overshoot: 0.5, delayFrames: 2 })).toThrow(
      /driveHz must be given/,
    );
    expect(() => springFromWords({ fps: 24, overshoot: 1, settleFrames: 3 })).toThrow(
      /overshoot must be in \[0, 1\)/,
    );
  });
});
