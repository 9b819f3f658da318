import fc from 'fast-check';
import type { ChosenContact, ShotSpec, ShotStretch } from '../../gait/shot/shot-spec.js';
import { between, spread } from './numbers.js';
import { scaleShotSpec } from './scale-shot-spec.js';

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
    swing: between(0, 4),
    linger: between(0, 1),
    recovery: between(0, 1),
    crouch: between(0, 1),
    stanceFraction: between(0.55, 0.75),
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

/** Valid shot specs by stretches: one to a few, at people's paces, from and to standing or walking. */
const stretched: fc.Arbitrary<ShotSpec> = fc
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

const strides = fc.array(
  fc.record({
    time: between(0.4, 0.9),
    length: between(-0.1, 0.8),
    width: between(0.05, 0.25),
    rise: fc.oneof({ weight: 3, arbitrary: fc.constant(0) }, { weight: 1, arbitrary: between(-0.15, 0.15) }),
    turn: fc.oneof({ weight: 3, arbitrary: fc.constant(0) }, { weight: 1, arbitrary: between(-0.4, 0.4) }),
  }),
  { minLength: 2, maxLength: 10 },
);

/** Valid shot specs by contacts that an author might choose: steps of any sizes, one after the other. */
const chosen: fc.Arbitrary<ShotSpec> = fc
  .tuple(end, end, fc.constantFrom('left' as const, 'right' as const), strides)
  .map(([from, to, first, steps]) => {
    const contacts: ChosenContact[] = [];
    let foot = first;
    let [forward, side, height, heading, land] = [0, 0, 0, 0, from === 'standing' ? 0 : -0.5];
    const put = (width: number): void => {
      const out = (foot === 'left' ? 1 : -1) * (width / 2);
      contacts.push({
        foot,
        land,
        plant: {
          forward: forward - out * Math.sin(heading),
          side: side + out * Math.cos(heading),
          height,
          heading,
        },
      });
      foot = foot === 'left' ? 'right' : 'left';
    };
    put(0.12);
    land = 0;
    if (from === 'walking') forward += 0.4;
    put(0.12);
    steps.forEach(({ time, length, width, rise, turn }, i) => {
      land += i === 0 && from === 'standing' ? 1.5 * time : time;
      heading += turn;
      forward += length * Math.cos(heading);
      side += length * Math.sin(heading);
      height += rise;
      put(width);
    });
    return { from, to, contacts };
  });

const ofAdults: fc.Arbitrary<ShotSpec> = fc.oneof(
  { weight: 3, arbitrary: stretched },
  { weight: 1, arbitrary: chosen },
);

/** Valid shot specs: by stretches three times in four, else by chosen contacts; half of them of adults on Earth. */
export const shotSpecs: fc.Arbitrary<ShotSpec> = fc
  .tuple(ofAdults, fc.boolean(), spread(0.4, 2.5), spread(0.15, 2))
  .map(([spec, scaled, size, weight]) => (scaled ? scaleShotSpec(spec, size, weight) : spec));
