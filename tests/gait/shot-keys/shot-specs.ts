import fc from 'fast-check';
import type { ShotSpec } from '../../../src/gait/index.js';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const stretch = fc.record(
  {
    pace: fc.oneof(
      fc.constantFrom('slow' as const, 'ordinary' as const, 'brisk' as const),
      between(0.5, 1.8).map((speed) => ({ speed })),
    ),
    steps: fc.integer({ min: 3, max: 9 }),
    heft: between(0, 1),
    crouch: between(0, 1),
  },
  { requiredKeys: ['pace', 'steps'] },
);

/** Shots of one to three stretches at everyday paces, standing or walking at their ends. */
export const shotSpecs: fc.Arbitrary<ShotSpec> = fc.record(
  {
    stretches: fc.array(stretch, { minLength: 1, maxLength: 3 }),
    from: fc.constantFrom('standing' as const, 'walking' as const),
    to: fc.constantFrom('standing' as const, 'walking' as const),
    firstFoot: fc.constantFrom('left' as const, 'right' as const),
    still: fc.record({ before: between(0, 1.5), after: between(0, 1.5) }),
    body: fc.record({ legLength: between(0.6, 1.6) }),
  },
  { requiredKeys: ['stretches'] },
);

const ground = fc.oneof(
  fc.constant({}),
  between(-0.25, 0.25).map((slope) => ({ slope })),
  between(-1.2, 1.2).map((by) => ({ turn: { by } })),
  fc
    .tuple(between(0.1, 0.2), between(0.26, 0.34), fc.constantFrom(-1, 1))
    .map(([riser, tread, way]) => ({ stairs: { riser: way * riser, tread } })),
);

/** The same at an adult's size, over turns, slopes and stairs. */
export const groundSpecs: fc.Arbitrary<ShotSpec> = fc
  .array(fc.tuple(stretch, ground), { minLength: 1, maxLength: 3 })
  .map((stretches) => ({ stretches: stretches.map(([own, under]) => ({ ...own, ...under })) }));
