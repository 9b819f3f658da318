import fc from 'fast-check';
import type { MotionDocument } from '../../exchange/document.js';
import { toDocument } from '../../exchange/to-document.js';
import { planWalk } from '../../gait/plan-walk.js';
import type { WalkSpec } from '../../gait/walk.js';
import { between } from './numbers.js';
import { scenes } from './scenes.js';

const named = fc.constantFrom('slow' as const, 'ordinary' as const, 'brisk' as const);
const counted = fc
  .tuple(fc.integer({ min: 8, max: 20 }), fc.constantFrom(24, 25, 30))
  .map(([framesPerStep, fps]) => ({ framesPerStep, fps }));

/** Walks of people, from a child's to a giantess's. */
const people: fc.Arbitrary<WalkSpec> = fc.record(
  {
    pace: fc.oneof(named, counted),
    body: fc.record({ mass: between(15, 400), legLength: between(0.5, 3) }),
    heft: between(0, 1),
    poseTiming: between(0, 1),
    firstFoot: fc.constantFrom('left' as const, 'right' as const),
  },
  { requiredKeys: ['pace'] },
);

/** Names in any language, long ones, and ones that look like code. */
const names = fc.oneof(
  fc.constantFrom(
    'Lamplighter',
    'Фонарщик',
    '点灯人',
    'حامل المصباح',
    '<script>alert(1)</script>',
    '"]]>',
    '',
  ),
  fc.string({ maxLength: 40 }),
);

/** Whole documents of planned walks for any scene. Each is planned and keyed, so this is not for thousands. */
export const documents: fc.Arbitrary<MotionDocument> = fc
  .tuple(people, scenes, names)
  .map(([spec, scene, name]) => toDocument(planWalk(spec), { name, scene, samplesPerFrame: 1 }));
