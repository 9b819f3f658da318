import fc from 'fast-check';
import type { ShotSpec, ShotStretch } from '../../gait/shot/shot-spec.js';
import { between, spread } from './numbers.js';

const end = fc.constantFrom('standing' as const, 'walking' as const);

/** Paces that people walk at; a giant's or a child's are as fast for their size. */
const pace: fc.Arbitrary<ShotStretch['pace']> = fc.oneof(
  fc.constantFrom('slow' as const, 'ordinary' as const, 'brisk' as const),
  between(0.3, 2.1).map((speed) => ({ speed })),
);

const extent: fc.Arbitrary<Pick<ShotStretch, 'distance' | 'duration' | 'steps'>> = fc.oneof(
  fc.integer({ min: 2, max: 9 }).map((steps) => ({ steps })),
  spread(2, 12).map((distance) => ({ distance })),
  spread(3, 12).map((duration) => ({ duration })),
);

const dials: fc.Arbitrary<Partial<ShotStretch>> = fc.record(
  {
    heft: between(0, 1),
    stepWidth: between(0, 0.3),
    poseTiming: between(0, 1),
    stepFactor: between(0.95, 1.25),
  },
  { requiredKeys: [] },
);

const turn: fc.Arbitrary<ShotStretch['turn']> = fc.oneof(
  fc.tuple(spread(1, 30), fc.constantFrom(-1, 1)).map(([radius, side]) => ({ radius: side * radius })),
  between(-2, 2).map((by) => ({ by })),
);

/** Level and straight on most often, else turning, sloping, both, or stairs. */
const ground: fc.Arbitrary<Partial<ShotStretch>> = fc.oneof(
  { weight: 4, arbitrary: fc.constant({}) },
  { weight: 2, arbitrary: turn.map((turn) => ({ turn })) },
  { weight: 1, arbitrary: between(-0.2, 0.2).map((slope) => ({ slope })) },
  { weight: 1, arbitrary: fc.record({ turn, slope: between(-0.15, 0.15) }) },
);

const stairs: fc.Arbitrary<ShotStretch> = fc.record({
  pace: fc.constantFrom('slow' as const, 'ordinary' as const),
  steps: fc.integer({ min: 2, max: 9 }),
  stairs: fc.record({
    riser: fc.oneof(between(0.1, 0.2), between(-0.2, -0.1)),
    tread: between(0.25, 0.4),
  }),
});

const stretch: fc.Arbitrary<ShotStretch> = fc.oneof(
  {
    weight: 8,
    arbitrary: fc
      .tuple(
        pace,
        extent,
        ground,
        fc.oneof({ weight: 2, arbitrary: fc.constant({}) }, { weight: 1, arbitrary: dials }),
      )
      .map(([pace, extent, ground, dials]) => ({ pace, ...extent, ...ground, ...dials })),
  },
  { weight: 1, arbitrary: stairs },
);

/** Nothing for one shot in two, else whole frames or steps that vary. */
const grid: fc.Arbitrary<Pick<ShotSpec, 'wholeFrames' | 'variation'>> = fc.oneof(
  { weight: 2, arbitrary: fc.constant({}) },
  { weight: 1, arbitrary: fc.constantFrom(24, 25, 30, 60).map((fps) => ({ wholeFrames: { fps } })) },
  {
    weight: 1,
    arbitrary: fc
      .record({ seed: fc.nat(), time: between(0, 0.05), length: between(0, 0.05) })
      .map((variation) => ({ variation })),
  },
);

/** Valid shot specs: one stretch to a few, at people's paces, from and to standing or walking. */
export const shotSpecs: fc.Arbitrary<ShotSpec> = fc
  .tuple(
    fc.record(
      {
        from: end,
        to: end,
        firstFoot: fc.constantFrom('left' as const, 'right' as const),
        still: fc.record({ before: between(0, 1), after: between(0, 1) }, { requiredKeys: [] }),
        stretches: fc.array(stretch, { minLength: 1, maxLength: 4 }),
      },
      { requiredKeys: ['stretches'] },
    ),
    grid,
  )
  .map(([spec, grid]) => ({ ...spec, ...grid }));
