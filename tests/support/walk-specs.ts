import fc from 'fast-check';
import type { PaceSpec, WalkSpec } from '../../src/gait/index.js';

const between = (min: number, max: number): fc.Arbitrary<number> =>
  fc.double({ min, max, noNaN: true, noDefaultInfinity: true });

/** Log-uniform numbers, so that small and large are met alike. */
const spread = (min: number, max: number): fc.Arbitrary<number> =>
  between(Math.log(min), Math.log(max)).map(Math.exp);

const pace: fc.Arbitrary<WalkSpec['pace']> = fc.oneof(
  fc.constantFrom('slow' as const, 'ordinary' as const, 'brisk' as const),
  spread(0.02, 6).map((speed): PaceSpec => ({ speed })),
  spread(0.1, 5).map((strideLength): PaceSpec => ({ strideLength })),
  spread(0.1, 3).map((strideRate): PaceSpec => ({ strideRate })),
  fc
    .tuple(spread(0.05, 4), spread(0.2, 3))
    .map(([speed, strideLength]): PaceSpec => ({ speed, strideLength })),
  fc.tuple(spread(0.05, 4), spread(0.2, 3)).map(([speed, strideRate]): PaceSpec => ({ speed, strideRate })),
  fc
    .tuple(fc.integer({ min: 1, max: 48 }), fc.constantFrom(24, 25, 30, 60, 24000 / 1001))
    .map(([framesPerStep, fps]): PaceSpec => ({ framesPerStep, fps })),
);

/** Valid walk specs over bodies from knee-high to house-high, weak to strong gravity, and every dial. */
export const walkSpecs: fc.Arbitrary<WalkSpec> = fc.record(
  {
    pace,
    body: fc.record(
      { mass: spread(0.1, 1e5), legLength: spread(0.1, 20), stature: spread(0.2, 40) },
      { requiredKeys: [] },
    ),
    gravity: spread(0.5, 30),
    stepFactor: between(0.9, 1.3),
    stanceFraction: fc.oneof(between(0.5001, 0.85), fc.constant(0.85)),
    stepWidth: between(0, 0.5),
    firstFoot: fc.constantFrom('left' as const, 'right' as const),
  },
  { requiredKeys: ['pace'] },
);
