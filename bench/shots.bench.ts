/** Planning a shot of about 20 s and sampling it; beside it, planning as many walks as it rides on. */
import { planShot, planWalk, readMotion, type ShotSpec } from '../src/gait/index.js';
import { bench, createRng } from './harness.js';

const COUNT = 64;
const FPS = 24;

// No two calls plan the same shot: paces and places differ.
const rng = createRng(11);
const specs = Array.from(
  { length: COUNT },
  (): ShotSpec => ({
    stretches: [
      { pace: { speed: 1 + 0.4 * rng() }, distance: 6 + rng() },
      { pace: { speed: 1.4 + 0.3 * rng() }, steps: 10, turn: { by: rng() } },
      { distance: 6 + rng() },
    ],
  }),
);
const shots = specs.map(planShot);
const readers = shots.map(readMotion);
const centre = new Float64Array(9);
const forces = new Float64Array(6);

/** Largest distance over the shots between summed forces and the acceleration that is returned, in BW. */
const missed = Math.max(
  ...readers.map((reader) => {
    let most = 0;
    for (let i = 0; i <= 500; i++) {
      const t = (reader.duration * i) / 500;
      reader.sampleCentre(t, centre);
      reader.sampleForces(t, forces);
      most = Math.max(most, Math.abs(forces[0] + forces[3] - 1 - centre[2] / reader.gravity));
    }
    return most;
  }),
);

bench(
  'plan a shot of about 16 s',
  [
    { name: 'planShot', maxError: missed, run: (i) => planShot(specs[i & (COUNT - 1)]).duration },
    {
      name: 'planWalk, of its three stretches',
      run: (i) =>
        (specs[i & (COUNT - 1)].stretches ?? []).reduce(
          (sum, { pace = 'ordinary' }) => sum + planWalk({ pace }).pace.stepTime,
          0,
        ),
    },
  ],
  { errorLabel: '|force − acceleration|, BW' },
);

bench('sample a shot on every frame', [
  {
    name: 'centre and both feet, 24 a second',
    run: (i) => {
      const reader = readers[i & (COUNT - 1)];
      let sum = 0;
      for (let k = 0; k < reader.duration * FPS; k++) {
        reader.sampleCentre(k / FPS, centre);
        reader.sampleForces(k / FPS, forces);
        sum += centre[0] + forces[0];
      }
      return sum;
    },
  },
]);
