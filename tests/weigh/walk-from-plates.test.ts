import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { evaluateSeries, type Series } from '../../src/curves/index.js';
import { planWalk, rootMotion } from '../../src/gait/index.js';
import {
  averageStride,
  centreFromPlates,
  readPlates,
  walkFromPlates,
  writePlates,
} from '../../src/weigh/index.js';
import { searchBox } from '../../src/weigh/search-box.js';
import { assertClose } from '../support/assert-close.js';

const text = readFileSync(new URL('../fixtures/treadmill-1.30.tsv', import.meta.url), 'utf8');
const treadmill = readPlates(text, { rate: 300 });

/** Peak-to-peak of a series' oscillation. */
function reach(series: Series): number {
  const values = Array.from(
    { length: 720 },
    (_, i) => evaluateSeries({ ...series, drift: 0 }, (i / 720) * series.period).value,
  );
  return Math.max(...values) - Math.min(...values);
}

describe('the mean stride of a recording', () => {
  const stride = averageStride(treadmill);

  it('takes the whole strides and how much they differ', () => {
    expect(stride.strides).toBe(29);
    // Stride times vary by about 2 to 4 % (references: variability).
    expect(stride.strideTimeSpread / stride.strideTime).toBeLessThan(0.04);
    expect(Math.max(...stride.spread.left.vertical)).toBeGreaterThan(0.02);
  });

  it('lands the other foot halfway', () => {
    assertClose(stride.events.left.land, 0.5, { abs: 0.02 });
    assertClose(stride.events.right.lift, 0.59, { abs: 0.02 });
  });
});

describe('the centre of mass from forces', () => {
  it('moves as the walk that the forces were written from', () => {
    for (const pace of ['slow', 'ordinary', 'brisk'] as const) {
      const walk = planWalk({ pace });
      const recording = readPlates(writePlates(walk, { rate: 1000 }), {
        lowPass: false,
        landAbove: 2,
        liftBelow: 2,
      });
      const centre = centreFromPlates(recording, { speed: walk.pace.speed });
      const planned = rootMotion(walk);
      // Forces below 2 N at either end of a contact are cut off; the sideways path is the loosest.
      assertClose(reach(centre.height), reach(planned.height), { abs: 2e-4 }, `${pace} height`);
      assertClose(reach(centre.forward), reach(planned.forward), { abs: 2e-4 }, `${pace} forward`);
      assertClose(reach(centre.side), reach(planned.side), { abs: 1e-3 }, `${pace} side`);
      assertClose(centre.forward.drift, walk.pace.strideLength, { rel: 1e-3 });
    }
  });

  it('rises and falls by 20 to 40 mm on the treadmill', () => {
    // Bob of a stiff-legged walk s²/(8 L) with s = 0.66 m and L = 0.85 m is 64 mm, of which 0.4 to 0.55 stays.
    const centre = centreFromPlates(treadmill, { speed: 1.3 });
    const rise = reach(centre.height);
    expect(rise).toBeGreaterThan(0.02);
    expect(rise).toBeLessThan(0.04);
    expect(Math.abs(centre.removed.vertical)).toBeLessThan(0.01);
    expect(Math.abs(centre.removed.forward)).toBeLessThan(0.02);
  });
});

describe('a walk from plates', () => {
  it('is the walk that they were written from', () => {
    const body = { legLength: 0.9, mass: 70 };
    const walk = planWalk({ pace: { speed: 1.2 }, body, swing: 1.3, recovery: 0.3, stanceFraction: 0.64 });
    const recording = readPlates(writePlates(walk, { rate: 1000 }), { lowPass: false });
    const fit = walkFromPlates(recording, { speed: 1.2, body: { legLength: 0.9 } });
    assertClose(fit.walk.spec.swing!, 1.3, { abs: 0.03 });
    assertClose(fit.walk.spec.stanceFraction!, 0.64, { abs: 0.005 });
    expect(fit.residual.total.vertical).toBeLessThan(0.01);
    expect(fit.tried).toBeLessThanOrEqual(1500);
  });

  it('explains the treadmill better than the defaults do, and says by how much', () => {
    const fit = walkFromPlates(treadmill, { speed: 1.3 });
    const size = ({ vertical, forward }: { vertical: number; forward: number }) =>
      Math.hypot(vertical, forward);
    expect(size(fit.residual.feet)).toBeLessThan(size(fit.unfitted.feet));
    // One walker against a model of the mean; one subject's steps repeat to about 0.05 BW.
    expect(fit.residual.feet.vertical).toBeLessThan(0.06);
    expect(fit.residual.feet.forward).toBeLessThan(0.03);
    assertClose(fit.walk.pace.strideTime, averageStride(treadmill).strideTime, { rel: 1e-9 });
    expect(fit.comparison.verdict.length).toBeGreaterThan(20);
  });

  it('takes the leg from the steps where nothing is said of the body', () => {
    const walk = planWalk({ pace: { speed: 1.1 }, body: { legLength: 0.83 } });
    const recording = readPlates(writePlates(walk, { rate: 1000 }), { lowPass: false });
    assertClose(walkFromPlates(recording, { speed: 1.1 }).walk.body.legLength, 0.83, { rel: 1e-3 });
    // An adult of 57 kg: legs between those of small and of tall adults, 0.53 of 1.45 to 1.85 m.
    const { legLength } = walkFromPlates(treadmill, { speed: 1.3 }).walk.body;
    expect(legLength).toBeGreaterThan(0.77);
    expect(legLength).toBeLessThan(0.98);
  });

  it('needs a speed', () => {
    expect(() => walkFromPlates(treadmill, {} as never)).toThrow(
      'walkFromPlates: speed must be > 0 m/s, got undefined',
    );
    expect(() => walkFromPlates({} as never, { speed: 1 })).toThrow('recording.kind must be "recording"');
  });
});

describe('the search in a box', () => {
  it('finds the bottom of a bent valley, and the edge where the bottom is outside', () => {
    // Rosenbrock's function; its least value is 0 at (1, 1).
    const valley = ([x, y]: readonly number[]) => (1 - x) ** 2 + 10 * (y - x * x) ** 2;
    const box = { min: -2, max: 2, step: 0.5 };
    const { at } = searchBox(valley, [-1, 1], [box, box], 3000);
    assertClose(at[0], 1, { abs: 0.02 });
    const edge = searchBox(([x]) => (x - 5) ** 2, [0], [box], 3000);
    expect(edge.at).toEqual([2]);
  });

  it('ends at its limit', () => {
    const box = { min: -1e9, max: 1e9, step: 1 };
    expect(searchBox(([x]) => -x, [0], [box], 100).tried).toBeLessThanOrEqual(103);
  });
});
