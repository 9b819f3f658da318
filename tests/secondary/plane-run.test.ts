import { describe, expect, it } from 'vitest';
import { buildChain } from '../../src/secondary/chain.js';
import { runPlane } from '../../src/secondary/plane-run.js';
import { PlaneStepper } from '../../src/secondary/plane-stepper.js';
import { preparePlane } from '../../src/secondary/plane-tables.js';
import { readStrandPart } from '../../src/secondary/strand-part.js';
import { assertClose } from '../support/assert-close.js';

// Sums of the same numbers in another order, over a few hundred steps.
const SAME = 1e-12;

describe('a run of a plane', () => {
  it.each([
    ['slack', { length: 0.3, links: 4, dampingRatio: 0.2 }],
    ['stiff', { length: 0.3, links: 4, dampingRatio: 0.2, frequencyHz: 2 }],
    ['off plumb', { length: 0.3, links: 4, dampingRatio: 0.2, frequencyHz: 2, rest: { pitch: 0.6 } }],
  ])('of a %s strand is what stepping it gives, angles and speeds, moment by moment', (_, part) => {
    const tables = preparePlane(buildChain('test', readStrandPart('test', part), 'forward', 9.80665));
    // So short that neither cuts a step into parts.
    const h = 1 / 2000;
    const push = Float64Array.from({ length: 2 * 301 }, (_, i) => 3 * Math.sin(0.07 * i) + (i % 2));
    const keep = 3;
    const state = new Float64Array(8);
    state[0] = 0.02;
    state[5] = 0.3;
    const stepper = new PlaneStepper(tables);
    stepper.state.set(state);
    stepper.feel(push[0], push[1]);
    const { bends, rates } = runPlane(tables, push, h, keep, state);
    expect(bends.length).toBe(4 * 101);
    const angles = new Float64Array(4);
    const speeds = new Float64Array(4);
    for (let s = 0; s <= 300; s++) {
      if (s > 0) {
        stepper.next[0] = h;
        stepper.next.set(push.subarray(2 * s, 2 * s + 2), 1);
        stepper.step();
      }
      if (s % keep !== 0) continue;
      stepper.readAngles(angles, speeds);
      for (let i = 0; i < 4; i++) {
        const at = (4 * s) / keep + i;
        assertClose(bends[at], angles[i] - tables.mean[i], { abs: SAME }, `angle ${i} after ${s}`);
        assertClose(rates[at], speeds[i], { abs: 100 * SAME }, `speed ${i} after ${s}`);
      }
    }
  });
});
