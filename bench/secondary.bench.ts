import { spring } from 'motion';
import { planWalk } from '../src/gait/plan-walk.js';
import { readCarrier } from '../src/secondary/carrier.js';
import { buildChain, swingOf } from '../src/secondary/chain.js';
import { createFollower } from '../src/secondary/live.js';
import { createSpringStep, setSpringStep } from '../src/secondary/spring.js';
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

/** One step, freely, by the same closed form and by each peer, from a unit of displacement. */
const exact = createSpringStep();
setSpringStep(exact, 0, omega, DAMPING, 1 / 60);

const peer = spring({
  keyframes: [0, 1],
  stiffness: omega * omega,
  damping: 2 * DAMPING * omega,
  mass: 1,
  restDelta: 1e-12,
  restSpeed: 1e-12,
});

// The free swing from 1 by the textbook's formula and the engine's own functions.
const damped = omega * Math.sqrt(1 - DAMPING ** 2);
const solved =
  Math.exp((-DAMPING * omega) / 60) *
  (Math.cos(damped / 60) + ((DAMPING * omega) / damped) * Math.sin(damped / 60));

const fixed = createFollower({ frequencyHz: FREQUENCY, dampingRatio: DAMPING });
const any = createFollower({ frequencyHz: FREQUENCY, dampingRatio: DAMPING });

bench(
  'spring, one step',
  [
    {
      name: 'underfoot, fixed step',
      maxError: Math.abs(exact[0] - solved),
      run: (i) => {
        fixed.step(1 / 60, drives[i & (COUNT - 1)], out);
        return out[0];
      },
    },
    {
      name: 'underfoot, any step',
      maxError: Math.abs(exact[0] - solved),
      run: (i) => {
        any.step(steps[i & (COUNT - 1)], drives[i & (COUNT - 1)], out);
        return out[0];
      },
    },
    {
      name: 'motion',
      maxError: Math.abs(1 - peer.next(1000 / 60).value - solved),
      run: (i) => peer.next(1000 * steps[i & (COUNT - 1)]).value,
    },
  ],
  { errorLabel: 'max error (of 1)' },
);

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
