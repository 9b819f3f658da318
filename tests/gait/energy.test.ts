import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { energyOf } from '../../src/gait/energy.js';
import { planWalk, readMotion, type Walk, type WalkSpec } from '../../src/gait/index.js';
import { assertClose } from '../support/assert-close.js';
import { walkSpecs } from '../support/walk-specs.js';

const at = (speed: number): Walk => planWalk({ pace: { speed } });
const recoveryAt = (speed: number): number => energyOf(at(speed)).recovery;
const span = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);

/** Work in J done where the floor's force and gravity push along the motion, from forces and speeds alone. */
function positiveWork(walk: Walk, steps: number): { external: number; side: number; forward: number } {
  const reader = readMotion(walk);
  const centre = new Float64Array(9);
  const forces = new Float64Array(6);
  const weight = (walk.body.mass + walk.body.carried) * walk.gravity;
  const dt = reader.duration / steps;
  const work = { external: 0, side: 0, forward: 0 };
  for (let i = 0; i < steps; i++) {
    reader.sampleCentre((i + 0.5) * dt, centre);
    reader.sampleForces((i + 0.5) * dt, forces);
    const up = (forces[0] + forces[3]) * centre[1];
    const along = (forces[1] + forces[4]) * centre[4];
    work.external += Math.max(0, weight * (up + along) * dt);
    work.forward += Math.max(0, weight * along * dt);
    work.side += Math.max(0, weight * (forces[2] + forces[5]) * centre[7] * dt);
  }
  return work;
}

describe('energyOf', () => {
  it('does the work that the floor’s forces do along the motion', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const walk = planWalk(spec);
        const { work, potential, forward } = energyOf(walk);
        const pushed = positiveWork(walk, 4000);
        // Midpoint sums of a power with corners where it changes sign, 4000 to a stride.
        const bound = { rel: 1e-4, abs: 1e-5 * (span(potential) + span(forward)) };
        assertClose(work.external, pushed.external, bound, 'external');
        assertClose(work.forward, pushed.forward, bound, 'forward');
        assertClose(work.side, pushed.side, { ...bound, rel: 1e-3 }, 'side');
      }),
      { numRuns: 60 },
    );
  });

  it('starts from the lowest point and half the mass times the speed squared', () => {
    const walk = planWalk({ pace: 'ordinary', body: { mass: 80 }, carry: { mass: 10, where: 'head' } });
    const { potential, forward } = energyOf(walk);
    expect(Math.min(...potential)).toBe(0);
    const mean = forward.reduce((sum, e) => sum + e, 0) / forward.length;
    // Half m v² of the mean speed, and what the swing about it adds: under 2 %.
    assertClose(mean, (90 * walk.pace.speed ** 2) / 2, { rel: 0.02 });
  });

  it('recovers between nothing and everything, whatever the dials', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const { recovery, work, externalPerKgMetre } = energyOf(planWalk(spec));
        for (const x of [recovery, ...Object.values(work), externalPerKgMetre]) {
          expect(Number.isFinite(x)).toBe(true);
          expect(x).toBeGreaterThanOrEqual(0);
        }
        expect(recovery).toBeLessThanOrEqual(1);
      }),
      { numRuns: 200 },
    );
  });

  it('does no negative work where the swing is next to nothing', () => {
    // Found at random: the rises of a column that is flat but for rounding.
    const spec: WalkSpec = {
      pace: { strideLength: 1 },
      body: { legLength: 1 },
      gravity: 1,
      stepFactor: 0.9,
      swing: 2.5376855783269765e-161,
      carry: { mass: 187.86742363644692, where: 'back' },
    };
    expect(Math.min(...Object.values(energyOf(planWalk(spec)).work))).toBeGreaterThanOrEqual(0);
  });

  it('scales with the mass, and keeps the recovery of a bigger body at the same Froude number', () => {
    const spec: WalkSpec = { pace: 'ordinary', body: { mass: 70, legLength: 0.9 } };
    const small = energyOf(planWalk(spec));
    const heavy = energyOf(planWalk({ ...spec, body: { mass: 140, legLength: 0.9 } }));
    assertClose(heavy.work.external, 2 * small.work.external, { rel: 1e-12 });
    const big = energyOf(planWalk({ ...spec, body: { mass: 70, legLength: 1.8 } }));
    assertClose(big.recovery, small.recovery, { abs: 1e-9 });
    assertClose(big.work.external, 2 * small.work.external, { rel: 1e-9 });
  });

  it('recovers most, between 55 and 72 %, somewhere from 1.1 to 1.5 m/s', () => {
    // Cavagna, Thys & Zamboni 1976: maximum about 65 % at an intermediate speed.
    const speeds = Array.from({ length: 41 }, (_, i) => 0.4 + 0.04 * i);
    const recoveries = speeds.map(recoveryAt);
    const best = Math.max(...recoveries);
    const where = speeds[recoveries.indexOf(best)];
    expect(best).toBeGreaterThan(0.55);
    expect(best).toBeLessThan(0.72);
    expect(where).toBeGreaterThanOrEqual(1.1 - 1e-9);
    expect(where).toBeLessThanOrEqual(1.5 + 1e-9);
  });

  it('recovers less when slower and when faster than that', () => {
    // Cavagna, Thys & Zamboni 1976.
    const best = recoveryAt(1.3);
    for (const speed of [0.4, 0.6, 0.8]) expect(recoveryAt(speed)).toBeLessThan(best);
    for (const speed of [1.8, 2.0, 2.2]) expect(recoveryAt(speed)).toBeLessThan(best);
    expect(recoveryAt(0.4)).toBeLessThan(recoveryAt(0.7));
    expect(recoveryAt(2.2)).toBeLessThan(recoveryAt(1.9));
  });

  it('works more upwards than forwards when slow and more forwards when fast', () => {
    // Cavagna, Thys & Zamboni 1976.
    const [slow, fast] = [energyOf(at(0.6)).work, energyOf(at(1.7)).work];
    expect(slow.vertical).toBeGreaterThan(slow.forward);
    expect(fast.forward).toBeGreaterThan(fast.vertical);
  });

  it('works as much forwards as upwards at 1.1 m/s, within 0.15 m/s', () => {
    // Cavagna, Thys & Zamboni 1976: equal near 1.1 m/s; the width of "near" is this project's.
    const [before, after] = [energyOf(at(0.95)).work, energyOf(at(1.25)).work];
    expect(before.vertical).toBeGreaterThan(before.forward);
    expect(after.forward).toBeGreaterThan(after.vertical);
  });

  it('needs few samples: highs and lows are found between them', () => {
    const walk = planWalk({ pace: 'ordinary' });
    const [coarse, fine] = [energyOf(walk, { samples: 90 }), energyOf(walk, { samples: 20000 })];
    for (const name of ['vertical', 'forward', 'side', 'external'] as const) {
      // A parabola misses a high by the fourth power of the spacing.
      assertClose(coarse.work[name], fine.work[name], { rel: 3e-4 }, name);
    }
  });

  it('refuses bad input by name', () => {
    expect(() => energyOf(at(1), { samples: 2 })).toThrow(
      'energyOf: samples must be a whole number in [8, 1000000], got 2',
    );
    expect(() => energyOf(null as never)).toThrow(/^energyOf: motion must be an object/);
  });
});
