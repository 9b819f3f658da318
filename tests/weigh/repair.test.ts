import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Curve } from '../../src/curves/index.js';
import { repair, type WeighOptions, weighCurves } from '../../src/weigh/index.js';
import { assertClose } from '../support/assert-close.js';
import { faultyCases, make, scaled, withKeys } from './truth-cases.js';

const ordinary = make({ pace: 'ordinary' }, { keysPerStep: 6 });
const { height, forward, side } = ordinary.curves;
const options: WeighOptions = ordinary.options;

/** A change of keys cannot add frames, nor move landings that were stated. */
const beyondKeys = (fault: string, stated: WeighOptions): boolean =>
  fault === 'few-frames' || (fault === 'uneven-steps' && stated.landings !== undefined);

describe('a repair', () => {
  const cases = faultyCases().map((entry) => [entry.fault!, entry.name, entry] as const);

  it.each(cases)('removes %s from %s', (fault, _, { curves, options: declared }) => {
    const chosen = weighCurves(curves, declared).findings.filter(({ code }) => code === fault);
    const mended = repair(curves, chosen, declared);
    const after = weighCurves(mended.curves, declared).findings.map(({ code }) => code);
    if (beyondKeys(fault, declared)) {
      expect(mended.left.map(({ code }) => code)).toContain(fault);
      expect(mended.curves).toEqual(curves);
      return;
    }
    expect(after).not.toContain(fault);
    expect(mended.removed).toEqual([fault]);
    expect(mended.left).toEqual([]);
    expect(mended.brought.every(({ code }) => after.includes(code))).toBe(true);
  });

  it('changes no more than it has to', () => {
    const tall = { height: scaled(height, 5) };
    const mended = repair(
      tall,
      weighCurves(tall, options).findings.filter(({ code }) => code === 'pull'),
      options,
    );
    const { load } = weighCurves(mended.curves, options);
    // The swing is scaled to 99.5 % of what would bring the load to exactly 0.
    expect(load.min).toBeGreaterThan(0);
    expect(load.min).toBeLessThan(0.01);
    expect(mended.cost.height!.millimetres).toBeGreaterThan(1);
    expect(mended.cost.forward).toBeUndefined();
  });

  it('says what it costs in mm and BW', () => {
    const by = 4;
    const tall = { height: scaled(height, by) };
    const found = weighCurves(tall, options).findings.filter(({ code }) => code === 'too-hard');
    const mended = repair(tall, found, options);
    const before = weighCurves(tall, options).load;
    const after = weighCurves(mended.curves, options).load;
    // Scaling about the mean turns the load's swing into so much less of itself.
    assertClose(mended.cost.height!.bodyWeights, before.swing - after.swing, { rel: 0.01 });
  });

  it('leaves everything alone where nothing is chosen', () => {
    const mended = repair({ height, forward, side }, [], options);
    expect(mended.curves).toEqual({ height, forward, side });
    expect(mended.cost).toEqual({});
    expect(mended.removed).toEqual([]);
  });

  it('never touches a locked key, marked or named, and gives its marks back as they were', () => {
    const count = height.keys.length;
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.nat(count - 1), { maxLength: count }),
        fc.double({ min: 0.05, max: 8, noNaN: true }),
        fc.double({ min: -0.4, max: 0.4, noNaN: true }),
        fc.boolean(),
        (locked, by, kink, marked) => {
          const bent = withKeys(scaled(height, by), (key, i) =>
            i === 1 ? { ...key, out: { ...key.out, slope: key.out.slope + kink } } : key,
          );
          const curve: Curve = marked
            ? withKeys(bent, (key, i) => (locked.includes(i) ? { ...key, locked: true } : key))
            : bent;
          const curves = { height: curve, forward, side };
          const { findings } = weighCurves(curves, options);
          const mended = repair(
            curves,
            findings,
            marked ? options : { ...options, locked: { height: locked } },
          );
          const keys = (mended.curves.height as Curve).keys;
          for (const i of locked) expect(keys[i]).toEqual(curve.keys[i]);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('says what stays where locked keys hold it', () => {
    const curves = { height: withKeys(scaled(height, 5), (key) => ({ ...key, locked: true })) };
    const { findings } = weighCurves(curves, options);
    const mended = repair(curves, findings, options);
    expect(mended.curves).toEqual(curves);
    expect(mended.left.map(({ code }) => code)).toContain('pull');
  });

  it('refuses findings and locks that are none', () => {
    expect(() => repair({ height }, [{ code: 'ugly' } as never], options)).toThrow(
      'repair: findings[0].code must be the code of a finding, got ugly',
    );
    expect(() => repair({ height }, [], { ...options, locked: { height: [99] } })).toThrow(
      `repair: locked.height must be indices of its ${height.keys.length} keys, got 99`,
    );
    expect(() => repair({ height }, [], { ...options, locked: { forward: [0] } })).toThrow(
      'repair: locked.forward must be left out where there is no curve',
    );
  });
});
