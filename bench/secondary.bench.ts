import { spring } from 'motion';
import { planWalk } from '../src/gait/plan-walk.js';
import { planShot } from '../src/gait/shot/plan-shot.js';
import { readCarrier } from '../src/secondary/carrier.js';
import { buildChain, swingOf } from '../src/secondary/chain.js';
import { createFollower } from '../src/secondary/live.js';
import { LENGTH, SPRING_SIZE, Spring, setNumbers } from '../src/secondary/spring.js';
import { followStrand } from '../src/secondary/strand.js';
import { readPlaneDrive } from '../src/secondary/strand-drive.js';
import { readStrandPart } from '../src/secondary/strand-part.js';
import { solveSmall } from '../src/secondary/strand-small.js';
import { bench, createRng } from './harness.js';

const rng = createRng(5);
const COUNT = 1024;
const drives = Array.from({ length: COUNT }, () => Float64Array.of(6 * rng() - 3, 0, 0));
const steps = Float64Array.from({ length: COUNT }, () => (0.5 + rng()) / 60);
const out = new Float64Array(16);

const FREQUENCY = 3;
const DAMPING = 0.2;
const omega = 2 * Math.PI * FREQUENCY;
/** Springs stepped once per call, as a scene steps its own: one spring alone would wait for itself. */
const SPRINGS = 16;
const MASK = COUNT - 1;

const peers = Array.from({ length: SPRINGS }, () =>
  spring({
    keyframes: [0, 1],
    stiffness: omega * omega,
    damping: 2 * DAMPING * omega,
    mass: 1,
    restDelta: 1e-12,
    restSpeed: 1e-12,
  }),
);

// The free swing from 1 by the textbook's formula and the engine's own functions.
const damped = omega * Math.sqrt(1 - DAMPING ** 2);
const solved =
  Math.exp((-DAMPING * omega) / 60) *
  (Math.cos(damped / 60) + ((DAMPING * omega) / damped) * Math.sin(damped / 60));

/** A spring with displacement, speed and last drive behind its numbers, and nothing around it. */
const makeBare = (): Float64Array => new Spring(omega, DAMPING, 3).numbers;

function stepBare(k: Float64Array, b1: number): number {
  const z = k[SPRING_SIZE];
  const v = k[SPRING_SIZE + 1];
  const b0 = k[SPRING_SIZE + 2];
  const z1 = k[0] * z + k[1] * v + (k[4] * b0 + k[5] * b1);
  k[SPRING_SIZE + 1] = k[2] * z + k[3] * v + (k[6] * b0 + k[7] * b1);
  k[SPRING_SIZE] = z1;
  k[SPRING_SIZE + 2] = b1;
  return z1;
}

const fixedBare = Array.from({ length: SPRINGS }, makeBare);
const anyBare = Array.from({ length: SPRINGS }, makeBare);
for (const k of fixedBare) {
  k[LENGTH] = 1 / 60;
  setNumbers(k);
}
const errorOfStep = Math.abs(fixedBare[0][0] - solved);
const makeLive = () => createFollower({ frequencyHz: FREQUENCY, dampingRatio: DAMPING });
const fixedLive = Array.from({ length: SPRINGS }, makeLive);
const anyLive = Array.from({ length: SPRINGS }, makeLive);

const measured = bench(
  `springs, ${SPRINGS} steps`,
  [
    {
      name: 'the step itself, fixed length',
      maxError: errorOfStep,
      run: (i) => {
        let sum = 0;
        for (let j = 0; j < SPRINGS; j++) sum += stepBare(fixedBare[j], drives[(i + j) & MASK][0]);
        return sum;
      },
    },
    {
      name: 'the step itself, any length',
      maxError: errorOfStep,
      run: (i) => {
        let sum = 0;
        for (let j = 0; j < SPRINGS; j++) {
          const k = anyBare[j];
          k[LENGTH] = steps[(i + j) & MASK];
          setNumbers(k);
          sum += stepBare(k, drives[(i + j) & MASK][0]);
        }
        return sum;
      },
    },
    {
      name: 'live follower, fixed length',
      maxError: errorOfStep,
      run: (i) => {
        let sum = 0;
        for (let j = 0; j < SPRINGS; j++) {
          fixedLive[j].step(1 / 60, drives[(i + j) & MASK], out);
          sum += out[0];
        }
        return sum;
      },
    },
    {
      name: 'live follower, any length',
      maxError: errorOfStep,
      run: (i) => {
        let sum = 0;
        for (let j = 0; j < SPRINGS; j++) {
          anyLive[j].step(steps[(i + j) & MASK], drives[(i + j) & MASK], out);
          sum += out[0];
        }
        return sum;
      },
    },
    {
      name: 'motion',
      maxError: Math.abs(1 - peers[0].next(1000 / 60).value - solved),
      run: (i) => {
        let sum = 0;
        for (let j = 0; j < SPRINGS; j++) sum += peers[j].next(1000 * steps[(i + j) & MASK]).value;
        return sum;
      },
    },
  ],
  { errorLabel: 'max error (of 1)', batchMs: 1, batches: 301 },
);
const peer = measured[measured.length - 1].medianNs;
for (const { name, medianNs } of measured.slice(0, -1)) {
  console.log(`  ${name}: ${(medianNs / peer).toFixed(2)} of motion's step`);
}

const walk = planWalk({ pace: 'ordinary' });
const part = { length: 0.35, links: 12, dampingRatio: 0.2 };
const chain = buildChain('bench', readStrandPart('bench', part), 'forward', 9.80665);
const carrier = readCarrier('bench', walk, 'head');
const swing = swingOf(chain, 0);
const drive = readPlaneDrive(carrier, 'forward', chain.alpha);

bench('periodic answer of a strand, 12 links, one plane', [
  {
    name: 'underfoot',
    maxError: solveSmall(swing, drive).residual,
    run: () => solveSmall(swing, drive).links[11].cos[1],
  },
]);

const CROWD = 5000;
const lock = { length: 0.3, links: 6, dampingRatio: 0.2 };
const crowd = Array.from({ length: CROWD }, () => createFollower(lock));

const [frame] = bench('5000 strands of 6 links, one frame at 60 Hz', [
  {
    name: 'underfoot',
    run: (i) => {
      for (const strand of crowd) strand.step(1 / 60, drives[i & (COUNT - 1)], out);
      return out[0];
    },
  },
]);
console.log(`real time × ${(1e9 / 60 / frame.medianNs).toFixed(1)}`);

// A shot of about 20 s, and eight strands on the head; a new object each time, so that it is sampled anew.
const shot = planShot({
  stretches: [
    { pace: 'ordinary', distance: 8 },
    { pace: 'brisk', distance: 8, turn: { by: 1 } },
    { pace: 'slow', distance: 6 },
  ],
});
const strands = Array.from({ length: 8 }, (_, i) => ({
  length: 0.25 + 0.02 * i,
  links: 6,
  dampingRatio: 0.2,
}));
const followAll = (model: 'small' | 'full') => (): number => {
  const fresh = { ...shot };
  let sum = 0;
  for (const strand of strands) {
    const { pitch } = followStrand(fresh, strand, { model }).links[5];
    sum += 'values' in pitch ? pitch.values[1000] : 0;
  }
  return sum;
};

const title = `8 strands of 6 links over a shot of ${shot.duration.toFixed(1)} s`;
bench(title, [{ name: 'small angles', run: followAll('small') }]);
bench(title, [{ name: 'full equations', run: followAll('full') }], { batches: 3 });
