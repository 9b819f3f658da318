import { describe, expect, it } from 'vitest';
import { planWalk, reactionsAt } from '../../src/gait/index.js';
import { textbookCurves } from '../../src/gait/textbook-curves.js';
import { assertClose } from '../support/assert-close.js';

const { paces } = textbookCurves({ steps: 400 });
const [slow, ordinary, brisk] = paces;
const COMPONENTS = ['vertical', 'forward', 'side'] as const;

describe('textbookCurves', () => {
  it('gives three paces, three components and two spans from one call, ends included', () => {
    const all = textbookCurves();
    expect(all.paces.map(({ name }) => name)).toEqual(['slow', 'ordinary', 'brisk']);
    for (const { stance, stride } of all.paces) {
      for (const columns of [stance, stride]) {
        expect(columns.percent.length).toBe(101);
        expect([columns.percent[0], columns.percent[100]]).toEqual([0, 100]);
        for (const component of COMPONENTS) expect(columns[component].length).toBe(101);
      }
    }
  });

  it('shows the forces that the walk has, foot in the air as nothing', () => {
    const walk = planWalk({ pace: 'ordinary' });
    const { fraction } = walk.stance.right;
    for (const i of [40, 133, 200, 260, 333]) {
      const inStance = reactionsAt(walk, (i / 400) * fraction * walk.pace.strideTime).right;
      const inStride = reactionsAt(walk, (i / 400) * walk.pace.strideTime).right;
      for (const component of COMPONENTS) {
        assertClose(ordinary.stance[component][i], inStance[component], { abs: 1e-12 });
        assertClose(ordinary.stride[component][i], inStride[component], { abs: 1e-12 });
      }
    }
    expect(ordinary.stride.vertical[350]).toBe(0);
    for (const component of COMPONENTS) {
      expect([ordinary.stance[component][0], ordinary.stance[component][400]]).toEqual([0, 0]);
    }
  });

  it('has the double hump: peaks and valley within one published SD at all three paces', () => {
    // Schwartz et al. 2008, table, at dimensionless speeds 0.29, 0.43 and 0.56: mean and SD of F1, F2, F3.
    const table = [
      { pace: slow, first: [1.029, 0.074], valley: [0.89, 0.063], second: [1.051, 0.074] },
      { pace: ordinary, first: [1.135, 0.111], valley: [0.778, 0.07], second: [1.097, 0.089] },
      { pace: brisk, first: [1.267, 0.15], valley: [0.64, 0.115], second: [1.146, 0.119] },
    ];
    for (const { pace, first, valley, second } of table) {
      assertClose(pace.points.firstPeak.value, first[0], { abs: first[1] }, `${pace.name} F1`);
      assertClose(pace.points.valley.value, valley[0], { abs: valley[1] }, `${pace.name} F2`);
      assertClose(pace.points.secondPeak.value, second[0], { abs: second[1] }, `${pace.name} F3`);
    }
  });

  it('brakes first and propels later, harder the faster, and pushes towards the middle', () => {
    for (const { points, stance } of paces) {
      expect(points.braking.value).toBeLessThan(0);
      expect(points.propulsion.value).toBeGreaterThan(0);
      expect(points.braking.percent).toBeLessThan(40);
      expect(points.propulsion.percent).toBeGreaterThan(70);
      // Medial force 0.05 to 0.12 BW (published range, weakly supported): here only its direction.
      expect(Math.max(...stance.side)).toBeGreaterThan(-Math.min(...stance.side));
    }
    for (const point of ['braking', 'propulsion', 'firstPeak'] as const) {
      const sizes = paces.map(({ points }) => Math.abs(points[point].value));
      expect(sizes[0]).toBeLessThan(sizes[1]);
      expect(sizes[1]).toBeLessThan(sizes[2]);
    }
    expect(slow.points.valley.value).toBeGreaterThan(brisk.points.valley.value);
  });

  it('shortens the stance with the pace and puts the events in it', () => {
    expect(slow.stancePercent).toBeGreaterThan(ordinary.stancePercent);
    expect(ordinary.stancePercent).toBeGreaterThan(brisk.stancePercent);
    for (const { events, stancePercent } of paces) {
      expect(events.lift).toBe(stancePercent);
      assertClose(events.oppositeContact, 50, { abs: 1e-9 });
    }
    // The teaching norm, 10, 30, 40, 60, 80 % of the stride, within 2 % at an ordinary pace.
    const { flat, midStance, heelOff, lift, midSwing } = ordinary.events;
    [flat, midStance, heelOff, lift, midSwing].forEach((x, i) => {
      assertClose(x, [10, 30, 40, 60, 80][i], { abs: 2 });
    });
  });

  it('takes other paces and bodies, and refuses bad ones by name', () => {
    const child = textbookCurves({ paces: [{ speed: 0.9 }], body: { stature: 1.1 }, steps: 50 });
    expect(child.paces[0].name).toBe('0.90 m/s');
    expect(child.paces[0].stance.percent.length).toBe(51);
    expect(() => textbookCurves({ paces: [] })).toThrow(
      'textbookCurves: paces must have at least 1 entry, got 0',
    );
    expect(() => textbookCurves({ steps: 5 })).toThrow(/textbookCurves: steps must be a whole number in/);
    expect(() => textbookCurves({ feet: 2 } as never)).toThrow(
      /options must have no fields but paces, body, steps/,
    );
  });
});
