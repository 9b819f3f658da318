/**
 * Planning a walk and its table of forces; beside them, as a yardstick that anybody can time, what an
 * engine does all day: three's glTF cubic played over as many frames.
 */
import {
  energyOf,
  keyRoot,
  planWalk,
  rootMotion,
  sampleReactions,
  type WalkSpec,
} from '../src/gait/index.js';
import { gltfInterpolant } from './gltf-interpolant.js';
import { bench, createRng } from './harness.js';

const COUNT = 256;
const SAMPLES = 240;

// Speeds from slow to brisk, legs of children and of giants, so that no two calls plan the same walk.
const rng = createRng(7);
const specs = Array.from(
  { length: COUNT },
  (): WalkSpec => ({ pace: { speed: 0.8 + rng() }, body: { legLength: 0.6 + 0.6 * rng() } }),
);
const walks = specs.map(planWalk);
const uneven = specs.map(
  (spec): WalkSpec => ({ ...spec, uneven: { left: { stepTime: 0.95 + 0.04 * rng() } } }),
);

const KEYS = 9;
const values = Array.from({ length: KEYS }, (_, i) => Math.sin(i));
const slopes = Array.from({ length: KEYS }, (_, i) => Math.cos(i));
const three = await gltfInterpolant(values, slopes);

/** Plays one track of 9 keys over the table's samples. */
function playTrack(): number {
  let sum = 0;
  for (let i = 0; i < SAMPLES; i++) sum += three.evaluate((i * (KEYS - 1)) / SAMPLES)[0];
  return sum;
}

/** Largest distance of the mean load from 1 BW over the walks, which is the law that a table can be held to. */
const missed = Math.max(
  ...walks.map((walk) => {
    const { vertical } = sampleReactions(walk, { samples: SAMPLES }).total;
    return Math.abs(vertical.reduce((sum, n) => sum + n, 0) / SAMPLES - 1);
  }),
);

bench('plan a walk (at most 60 µs)', [
  { name: 'planWalk', run: (i) => planWalk(specs[i & (COUNT - 1)]).root.height },
  { name: 'planWalk, uneven steps', run: (i) => planWalk(uneven[i & (COUNT - 1)]).root.height },
  { name: 'three, glTF cubic, 240 samples', run: playTrack },
]);

bench(
  'table of reactions, 240 samples, 9 columns (at most 60 µs)',
  [
    {
      name: 'sampleReactions',
      maxError: missed,
      run: (i) => sampleReactions(walks[i & (COUNT - 1)], { samples: SAMPLES }).total.forward[17],
    },
    { name: 'three, glTF cubic, 240 samples of 1', run: playTrack },
  ],
  { errorLabel: '|mean load − 1|, BW' },
);

bench('what else is asked of a walk', [
  { name: 'rootMotion', run: (i) => rootMotion(walks[i & (COUNT - 1)]).height.mean },
  { name: 'energyOf, 720 samples', run: (i) => energyOf(walks[i & (COUNT - 1)]).recovery },
]);

bench(
  'key a walk: three channels, whole frames at 24 a second (at most 5 ms)',
  (['slow', 'ordinary', 'brisk'] as const).flatMap((pace) =>
    [undefined, 3].map((keysPerStep) => {
      const options = { fps: 24, of: 'centreOfMass' as const, keysPerStep };
      // Leg lengths that differ, so that no two calls key the same walk.
      const some = Array.from({ length: 64 }, () =>
        planWalk({ pace, body: { legLength: 0.86 + 0.08 * rng() } }),
      );
      const { height, error } = keyRoot(some[0], options);
      return {
        name: `${pace}, ${keysPerStep ? `${keysPerStep} keys a step` : 'as the tolerances need'}`,
        keys: height.keys.length,
        maxError: error.height.value.max * 1000,
        run: (i: number) => keyRoot(some[i & 63], options).frames,
      };
    }),
  ),
  { errorLabel: 'height, mm' },
);
