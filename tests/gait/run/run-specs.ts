import fc from 'fast-check';
import type { RunSpec } from '../../../src/gait/index.js';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const spread = (min: number, max: number) => between(Math.log(min), Math.log(max)).map(Math.exp);

/** Valid run specs from hardly moving to beyond any sprinter, over bodies and gravities of all sizes. */
export const runSpecs: fc.Arbitrary<RunSpec> = fc.record(
  {
    pace: fc.oneof(
      spread(0.3, 15).map((speed) => ({ speed })),
      spread(0.5, 6).map((strideLength) => ({ strideLength })),
      spread(0.3, 3).map((strideRate) => ({ strideRate })),
      fc.tuple(spread(0.5, 12), spread(0.5, 3)).map(([speed, strideRate]) => ({ speed, strideRate })),
      fc.integer({ min: 3, max: 20 }).map((framesPerStep) => ({ framesPerStep, fps: 24 })),
    ),
    body: fc.record({ mass: spread(0.1, 1e5), legLength: spread(0.1, 20) }, { requiredKeys: [] }),
    gravity: spread(0.5, 30),
    stepFactor: between(0.8, 1.6),
    dutyFactor: fc.oneof(between(0.1, 0.49), fc.constantFrom(0.1, 0.49)),
    stepWidth: between(0, 0.5),
    firstFoot: fc.constantFrom('left' as const, 'right' as const),
    lean: between(-0.6, 0.6),
  },
  { requiredKeys: ['pace'] },
);
