import { describe, expect, it } from 'vitest';
import { planShot, readMotion, type Shot } from '../../../src/gait/index.js';
import { assertClose } from '../../support/assert-close.js';

const EXACT = { abs: 1e-9 };

/** Rounding of a quotient and a product of frames. */
const FRAME = { abs: 1e-9 };

/** Everything about the body and the feet at a time, the place along the way apart. */
function stateAt(shot: Shot, t: number): number[] {
  const reader = readMotion(shot);
  const out = new Float64Array(15);
  reader.sampleCentre(t, out.subarray(0, 9));
  reader.sampleForces(t, out.subarray(9));
  return [...out].filter((_, i) => i !== 3);
}

function variationOf(values: readonly number[]): number {
  const mean = values.reduce((sum, x) => sum + x, 0) / values.length;
  return Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / values.length) / mean;
}

describe('whole frames', () => {
  const fps = 24;
  const shot = planShot({
    stretches: [{ distance: 6 }, { pace: 'brisk', steps: 6, turn: { by: 1 } }, { pace: 'slow', steps: 4 }],
    still: { before: 0.3, after: 0.3 },
    wholeFrames: { fps },
  });

  it('land every foot and end the shot on a frame', () => {
    for (const { land } of shot.steps) assertClose(land * fps, Math.round(land * fps), FRAME);
    assertClose(shot.duration * fps, Math.round(shot.duration * fps), FRAME);
  });

  it('give equal steps equal frames, and still go exactly as far', () => {
    const { firstStep, lastStep, steady } = shot.stretches[0];
    const even = shot.steps.filter(({ land }) => land > steady!.start && land <= steady!.end);
    expect(even.length).toBeGreaterThan(2);
    for (const { duration } of even) assertClose(duration, even[0].duration, EXACT);
    const way = shot.steps.slice(firstStep, lastStep + 1).reduce((sum, { length }) => sum + length, 0);
    assertClose(way, 6, EXACT);
    expect(shot.notes.map(({ code }) => code)).toContain('pace-snapped');
  });
});

describe('natural variation', () => {
  const spec = (seed: number, steps: number) =>
    ({
      from: 'walking',
      to: 'walking',
      stretches: [{ pace: 'ordinary', steps }],
      variation: { seed, time: 0.03, length: 0.04 },
    }) as const;

  it('has the coefficients of variation that were asked for over 500 strides, within 10 %', () => {
    const { steps } = planShot(spec(7, 1000));
    const made = steps.filter(({ kind }) => kind === 'step');
    expect(made.length).toBe(1000);
    assertClose(variationOf(made.map(({ duration }) => duration)), 0.03, { rel: 0.1 });
    assertClose(variationOf(made.map(({ length }) => length)), 0.04, { rel: 0.1 });
    // Strides, of two steps each that do not follow each other: less by the square root of 2.
    const strides = made.slice(1).map(({ duration }, i) => duration + made[i].duration);
    assertClose(variationOf(strides), 0.03 / Math.SQRT2, { rel: 0.1 });
  });

  it('ends as it began, so that it may be repeated over any number of strides', () => {
    for (const steps of [4, 10, 24]) {
      const shot = planShot(spec(11, steps));
      const [first, last] = [stateAt(shot, 0), stateAt(shot, shot.duration)];
      for (let i = 0; i < first.length; i++) assertClose(last[i], first[i], EXACT, `number ${i}`);
    }
  });

  it('is the same to the byte for the same seed, and another for another', () => {
    const text = (seed: number): string => JSON.stringify(planShot(spec(seed, 12)).steps);
    expect(text(5)).toBe(text(5));
    expect(text(5)).not.toBe(text(6));
  });

  it('stays on average what it would be without', () => {
    const shot = planShot(spec(3, 40));
    const { stepTime, stepLength } = shot.cycles[0].pace;
    assertClose(shot.duration, 40 * stepTime, EXACT);
    const way = shot.steps.reduce((sum, { length }) => sum + length, 0);
    assertClose(way, 40 * stepLength, EXACT);
  });
});
