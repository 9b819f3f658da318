/** Planning a shot of 20 s, keying all of it at 24 frames a second, and eight strands that follow it. */
import { footTracks, keyMotion, keyRoot, planShot, type ShotSpec } from '../src/gait/index.js';
import { followStrand } from '../src/secondary/index.js';
import { bench, createRng } from './harness.js';

const COUNT = 16;
const STRANDS = 8;

// Speeds that differ a little, so that no two calls plan the same shot; about 20 s and 36 steps each.
const rng = createRng(11);
const specs = Array.from({ length: COUNT }, (): ShotSpec => {
  const speed = (mean: number) => ({ speed: mean * (0.98 + 0.04 * rng()) });
  return {
    stretches: [
      { pace: speed(1.28), steps: 12 },
      { pace: speed(1.66), steps: 12, turn: { by: 0.5 } },
      { pace: speed(0.86), steps: 10 },
    ],
  };
});
const shots = specs.map((spec) => planShot(spec));
const keyed = shots.map((shot) => keyMotion(shot, { fps: 24, of: 'root' }));
const keys = keyed[0].root.height.keys.length;
const worst = Math.max(...keyed.map(({ error }) => error.root.height.value.max));
const slip = Math.max(...keyed.map(({ error }) => error.slip));

/** Eight strands of hair side by side, each as small swings about plumb; numbers of the last one. */
function followAll(index: number): number {
  let sum = 0;
  for (let k = 0; k < STRANDS; k++) {
    const part = { length: 0.2 + 0.01 * k, links: 5, dampingRatio: 0.25 };
    const follower = followStrand(shots[index & (COUNT - 1)], part, { model: 'small' });
    sum += follower.duration;
  }
  return sum;
}

bench('plan a shot of 20 s', [{ name: 'planShot', run: (i) => planShot(specs[i & (COUNT - 1)]).duration }]);

bench(
  'key a shot of 20 s at 24 frames a second',
  [
    {
      name: 'keyRoot, root',
      keys,
      maxError: 1000 * worst,
      run: (i) => keyRoot(shots[i & (COUNT - 1)], { fps: 24, of: 'root' }).frames,
    },
    {
      name: 'footTracks',
      keys: keyed[0].feet.left.height.keys.length,
      maxError: 1000 * slip,
      run: (i) => footTracks(shots[i & (COUNT - 1)], { fps: 24 }).frames,
    },
    {
      name: 'keyMotion, 29 curves',
      maxError: 1000 * worst,
      run: (i) => keyMotion(shots[i & (COUNT - 1)], { fps: 24, of: 'root' }).frames,
    },
  ],
  { errorLabel: 'height or slip, mm' },
);

bench('all of it: plan, key, eight strands of five links (at most 60 ms)', [
  {
    name: 'planShot, keyMotion, followStrand',
    run: (i) => {
      const shot = planShot(specs[i & (COUNT - 1)]);
      return keyMotion(shot, { fps: 24, of: 'root' }).frames + followAll(i);
    },
  },
  { name: 'followStrand alone', run: followAll },
]);
