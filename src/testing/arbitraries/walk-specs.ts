import fc from 'fast-check';
import type { PaceSpec, WalkSpec } from '../../gait/walk.js';
import { between, spread } from './numbers.js';

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

const body = fc
  .record(
    { mass: spread(0.1, 1e5), legLength: spread(0.1, 20), stature: spread(0.2, 40) },
    { requiredKeys: [] },
  )
  .map(({ stature, ...rest }) =>
    // A body is taller than its legs.
    stature === undefined || (rest.legLength !== undefined && stature <= rest.legLength * 1.2)
      ? rest
      : { ...rest, stature },
  );

const carry = fc.record({
  mass: fc.oneof(fc.constant(0), spread(0.1, 200)),
  where: fc.constantFrom(
    'back' as const,
    'front' as const,
    'left' as const,
    'right' as const,
    'head' as const,
  ),
});

/** One side that sets itself apart, never so far that a double support vanishes at 0.6 of stance. */
const uneven = fc.record(
  {
    stanceFraction: between(0.56, 0.7),
    stepLength: between(0.7, 1.3),
    stepTime: between(0.95, 1.05),
    loadShare: between(0.42, 0.58),
  },
  { requiredKeys: [] },
);

/** Valid walk specs over bodies from knee-high to house-high, weak to strong gravity, and every even dial. */
export const evenWalkSpecs: fc.Arbitrary<WalkSpec> = fc
  .record(
    {
      pace,
      body,
      gravity: spread(0.5, 30),
      stepFactor: between(0.9, 1.3),
      stanceFraction: fc.oneof(between(0.5051, 0.85), fc.constant(0.85)),
      stepWidth: between(0, 0.5),
      firstFoot: fc.constantFrom('left' as const, 'right' as const),
      heft: between(0, 1),
      swing: between(0, 10),
      linger: between(0, 1),
      recovery: between(0, 1),
      bob: spread(0.001, 0.5),
      poseTiming: between(0, 1),
      crouch: between(0, 1),
      lean: between(-0.6, 0.6),
      carry,
    },
    { requiredKeys: ['pace'] },
  )
  .map(({ bob, ...rest }) => (bob === undefined || rest.swing !== undefined ? rest : { ...rest, bob }));

/** The same with sides set apart. */
export const unevenWalkSpecs: fc.Arbitrary<WalkSpec> = fc
  .tuple(evenWalkSpecs, fc.constantFrom('left' as const, 'right' as const), uneven)
  .map(([spec, side, apart]) => ({
    ...spec,
    stanceFraction: 0.6,
    uneven: { [side]: apart },
  }));

/** All valid walk specs. */
export const walkSpecs: fc.Arbitrary<WalkSpec> = fc.oneof(
  { weight: 2, arbitrary: evenWalkSpecs },
  { weight: 1, arbitrary: unevenWalkSpecs },
);
