import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planWalk } from '../../src/gait/index.js';
import { parseWalkSpec, quantity } from '../../src/units/index.js';
import { assertClose } from '../support/assert-close.js';
import { walkSpecs } from '../support/walk-specs.js';

/** A conversion is one or two products: a few roundings. */
const ROUNDING = { rel: 1e-14 };

describe('a walk spec in words', () => {
  it('walks 2 ft/s with strides of 3 ft, two in three seconds (common practice, no source)', () => {
    for (const strideRate of ['2/3 stride/s', '40/min', '40 strides/min', '80 steps/min']) {
      const walk = planWalk(parseWalkSpec({ pace: { strideLength: '3 ft', strideRate } }));
      assertClose(walk.pace.speed, quantity('2 ft/s', 'm/s'), ROUNDING, strideRate);
    }
  });

  it('becomes plain numbers in SI units', () => {
    const spec = parseWalkSpec({
      pace: { speed: '4.608 km/h' },
      body: { mass: '11 stone', legLength: '90 cm', stature: '5.9 ft' },
      gravity: '1.62 m/s²',
      stepWidth: '4 in',
      bob: '30 mm',
      lean: '10 deg',
      carry: { mass: '2 lb', where: 'left' },
      heft: 0.5,
    });
    assertClose((spec.pace as { speed: number }).speed, 1.28, ROUNDING);
    assertClose(spec.body!.mass!, 11 * 14 * 0.45359237, ROUNDING);
    assertClose(spec.body!.legLength!, 0.9, ROUNDING);
    assertClose(spec.body!.stature!, 5.9 * 0.3048, ROUNDING);
    assertClose(spec.stepWidth!, 4 * 0.0254, ROUNDING);
    assertClose(spec.bob!, 0.03, ROUNDING);
    assertClose(spec.lean!, Math.PI / 18, ROUNDING);
    assertClose(spec.carry!.mass, 2 * 0.45359237, ROUNDING);
    expect(spec).toMatchObject({ gravity: 1.62, heft: 0.5, carry: { where: 'left' } });
  });

  it('counts frames', () => {
    const spec = parseWalkSpec({ pace: { framesPerStep: '12 frames', fps: '24 fps' } });
    expect(spec).toEqual({ pace: { framesPerStep: 12, fps: 24 } });
    expect(parseWalkSpec({ pace: { framesPerStep: '12 frames', fps: '25 Hz' } })).toEqual({
      pace: { framesPerStep: 12, fps: 25 },
    });
  });

  it('passes plain numbers through to the bit', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        expect(parseWalkSpec(spec)).toEqual(spec);
      }),
      { numRuns: 300 },
    );
  });

  it.each([
    [
      { pace: { strideLength: '3 kg' } },
      'pace.strideLength must be a quantity in m or the like, such as "3 m", got "3 kg"',
    ],
    [{ pace: { strideRate: '3 m/s' } }, 'pace.strideRate must be a quantity in 1/s or the like'],
    [{ pace: { strideLength: '-3 ft' } }, 'pace.strideLength must be > 0 m, got -0.914'],
    [
      { pace: 'leisurely' },
      'pace must be "slow", "ordinary", "brisk" or an object of numbers, got "leisurely"',
    ],
    [{ pace: 'slow', heft: '1' }, 'heft must be a number in [0, 1], got "1"'],
    [{ pace: 'slow', body: { height: '6 ft' } }, 'body must have no fields but'],
    [{ pace: 'slow', gravity: '1 kg' }, 'gravity must be a quantity in m/s^2'],
    ['slow', 'spec must be an object, got "slow"'],
  ])('is refused with field, rule and value where it is %j', (spec, message) => {
    expect(() => parseWalkSpec(spec as never)).toThrow(`parseWalkSpec: ${message}`);
  });
});
