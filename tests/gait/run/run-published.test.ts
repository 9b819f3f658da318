import { describe, expect, it } from 'vitest';
import { checkRunSpec, planRun, planWalk, type Run, sampleReactions } from '../../../src/gait/index.js';
import { readRun } from '../../../src/gait/run/read-run.js';
import { assertClose } from '../../support/assert-close.js';

/** A run at a leg of 0.90 m, which the published speeds are read at. */
const runAt = (speed: number): Run => planRun({ pace: { speed }, body: { legLength: 0.9 } });

const SPEEDS = [1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6, 7, 8];

/** Largest and smallest of something over a stride. */
function rangeOf(run: Run, read: (centre: Float64Array, forces: Float64Array) => number): [number, number] {
  const reader = readRun(run);
  const [centre, forces] = [new Float64Array(9), new Float64Array(6)];
  const values = Array.from({ length: 2000 }, (_, i) => {
    const t = (i / 2000) * reader.duration;
    reader.sampleCentre(t, centre);
    reader.sampleForces(t, forces);
    return read(centre, forces);
  });
  return [Math.min(...values), Math.max(...values)];
}

describe('a run beside published runners', () => {
  it('stands and steps as Munro, Miller & Fuglevand 1987 measured', () => {
    // Memory of their table: contact 270 to 199 ms, mean load 1.40 to 1.70 BW from 3 to 5 m/s.
    for (const [speed, contact, mean] of [[3, 0.27, 1.4] as const, [5, 0.199, 1.7] as const]) {
      const run = runAt(speed);
      assertClose(
        run.stance.left.fraction * run.pace.strideTime,
        contact,
        { rel: 0.02 },
        `contact at ${speed}`,
      );
      assertClose(run.pulse.mean, mean, { rel: 0.01 }, `mean load at ${speed}`);
    }
  });

  it('peaks between 2 and 3 BW at 3 to 4 m/s, rising with speed', () => {
    const peaks = SPEEDS.map((speed) => rangeOf(runAt(speed), (_, forces) => forces[0] + forces[3])[1]);
    for (let i = 1; i < peaks.length; i++) expect(peaks[i]).toBeGreaterThan(peaks[i - 1]);
    for (const [i, speed] of SPEEDS.entries()) {
      if (speed < 3 || speed > 4) continue;
      expect(peaks[i]).toBeGreaterThan(2);
      expect(peaks[i]).toBeLessThan(3);
    }
  });

  it('thrusts with about 1.2 BW walking at 1.5 m/s and about 2.5 running at 6 (Keller et al. 1996)', () => {
    const walk = sampleReactions(planWalk({ pace: { speed: 1.5 } }));
    assertClose(Math.max(...walk.right.vertical), 1.2, { rel: 0.1 });
    assertClose(runAt(6).pulse.peak, 2.5, { rel: 0.1 });
    // Slow jogging has more than half as much again as a walk of the same speed.
    expect(runAt(1.5).pulse.peak).toBeGreaterThan(1.5 * 1.2);
  });

  it('peaks within what Nilsson & Thorstensson 1989 span from 1.5 to 6 m/s, 2.0 to 2.9 BW', () => {
    // Memory of their summary.
    for (const speed of [1.5, 3, 4.5, 6]) {
      expect(runAt(speed).pulse.peak).toBeGreaterThan(1.98);
      expect(runAt(speed).pulse.peak).toBeLessThan(2.9);
    }
  });

  it('loses and regains 0.15 to 0.25 m/s in a contact at 3 to 5 m/s', () => {
    // Munro et al. 1987, braking impulse over mass, from memory.
    for (const speed of [3, 4, 5]) {
      const [slow, fast] = rangeOf(runAt(speed), (centre) => centre[4]);
      expect(fast - slow).toBeGreaterThan(0.15);
      expect(fast - slow).toBeLessThan(0.25);
    }
  });

  it('bobs by 7 to 11 cm at jogging and running speeds', () => {
    // Memory: 8 to 10 cm at 3 m/s, less when faster.
    const bobs = [2, 3, 4, 5, 6].map((speed) => {
      const [low, high] = rangeOf(runAt(speed), (centre) => centre[0]);
      return high - low;
    });
    for (const bob of bobs) {
      expect(bob).toBeGreaterThan(0.07);
      expect(bob).toBeLessThan(0.11);
    }
    for (let i = 1; i < bobs.length; i++) expect(bobs[i]).toBeLessThan(bobs[i - 1]);
  });

  it('takes longer and quicker steps as it gets faster, and shorter contacts', () => {
    for (let i = 1; i < SPEEDS.length; i++) {
      const [before, now] = [runAt(SPEEDS[i - 1]), runAt(SPEEDS[i])];
      expect(now.pace.stepLength).toBeGreaterThan(before.pace.stepLength);
      expect(now.pace.stepTime).toBeLessThan(before.pace.stepTime);
      expect(now.stance.left.fraction).toBeLessThan(before.stance.left.fraction);
    }
  });

  it('keeps a sprinter’s foot down for about a ninth to a fifth of the stride at 10 m/s', () => {
    // Weyand et al. 2000, from memory: contacts of about 0.1 s in strides of about 0.45 s.
    const { fraction } = runAt(10).stance.left;
    expect(fraction).toBeGreaterThan(0.15);
    expect(fraction).toBeLessThan(0.25);
  });
});

describe('a run spec', () => {
  it('takes any way of giving the pace, and fills in the same', () => {
    const { pace } = planRun({ pace: { speed: 3.4 } });
    const close = (other: Run): void => {
      assertClose(other.pace.speed, pace.speed, { rel: 1e-9 });
      assertClose(other.pace.strideTime, pace.strideTime, { rel: 1e-9 });
    };
    close(planRun({ pace: { strideLength: pace.strideLength } }));
    close(planRun({ pace: { strideRate: pace.strideRate } }));
    close(planRun({ pace: { speed: 3.4, strideRate: pace.strideRate } }));
    expect(planRun({ pace: { framesPerStep: 8, fps: 24 } }).pace.stepTime).toBe(8 / 24);
  });

  it('is refused by field, rule and value', () => {
    expect(() => planRun({ pace: { speed: 3 }, dutyFactor: 0.5 })).toThrow(
      'planRun: dutyFactor must be in [0.1, 0.49], got 0.5',
    );
    expect(() => planRun({ pace: 'slow' } as never)).toThrow(
      'planRun: pace must be an object of numbers, got "slow"',
    );
    expect(() => planRun({ pace: { speed: Number.NaN } })).toThrow(
      /planRun: pace.speed must be > 0 m\/s, got NaN/,
    );
    expect(() => planRun({ pace: { speed: 3 }, heft: 1 } as never)).toThrow(/spec must have no fields but/);
    expect(() => planRun(undefined as never)).toThrow(TypeError);
    expect(checkRunSpec({ pace: { speed: -1 }, gravity: 0, lean: 2 }).map(({ field }) => field)).toEqual([
      'pace.speed',
      'gravity',
      'lean',
    ]);
    expect(checkRunSpec({ pace: { speed: 3 } })).toEqual([]);
  });

  it('says where nobody was measured, and where people would walk', () => {
    const codes = (speed: number): string[] => runAt(speed).notes.map(({ code }) => code);
    expect(codes(1)).toEqual(['slower-than-measured', 'before-run-transition']);
    expect(codes(3)).toEqual([]);
    expect(codes(9)).toEqual(['faster-than-measured']);
    const reaching = planRun({ pace: { speed: 6, strideRate: 0.7 }, dutyFactor: 0.49 });
    expect(reaching.notes.map(({ code }) => code)).toContain('legs-overreach');
  });
});
