import fc from 'fast-check';
import { describe, it } from 'vitest';
import { planWalk, rootAt, sampleReactions, type Walk } from '../../src/gait/index.js';
import { assertClose } from '../support/assert-close.js';
import { mean, spectralSecondDerivative } from '../support/spectral.js';
import { evenSpecs, walkSpecs } from '../support/walk-specs.js';

/** Runs of each law; more with FAST_CHECK_RUNS in the environment. */
const RUNS = { numRuns: Number(process.env.FAST_CHECK_RUNS ?? 1000) };

/** Even samples over the stride: more than twice the harmonics of any series, so that sums are exact. */
const SAMPLES = 128;

/** More harmonics than any series of a walk has; beyond them only rounding would be differentiated. */
const HARMONICS = 20;

/** Rounding of a sum of 128 loads of a few BW. */
const SUM = { abs: 1e-12 };

/** A closed loop's gap in value (m) and slope (m/s), the bound asked for. */
const LOOP = { abs: 1e-9 };

/**
 * The same with what the rounding of a time of two strides adds to something that changes at `rate`: it
 * shows where a stride lasts for minutes and the bob is of tens of metres.
 */
const loopBound = (rate: number, walk: Walk): { abs: number } => ({
  abs: LOOP.abs + 2 ** -51 * Math.abs(rate) * walk.pace.strideTime,
});

describe('laws of a steady walk, over random valid specs', () => {
  it('carries one body weight on average, by the quadrature of both feet', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const { left, right } = sampleReactions(planWalk(spec), { samples: SAMPLES });
        assertClose(mean(left.vertical) + mean(right.vertical), 1, SUM);
      }),
      RUNS,
    );
  });

  it('never pulls: no foot force is below 0', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const { left, right } = sampleReactions(planWalk(spec), { samples: 240 });
        const least = Math.min(...left.vertical, ...right.vertical);
        if (!(least >= -1e-12)) throw new Error(`a foot carries ${least} BW`);
      }),
      RUNS,
    );
  });

  it('has no net fore-aft or side impulse over a stride, by the quadrature of both feet', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const walk = planWalk(spec);
        const { left, right } = sampleReactions(walk, { samples: SAMPLES });
        const time = walk.pace.strideTime;
        const bound = { abs: 1e-12 * Math.max(1, time) };
        assertClose((mean(left.forward) + mean(right.forward)) * time, 0, bound, 'forward');
        assertClose((mean(left.side) + mean(right.side)) * time, 0, bound, 'side');
      }),
      RUNS,
    );
  });

  it('closes the loop in value and slope, and carries the stride length on', () => {
    fc.assert(
      fc.property(walkSpecs, fc.double({ min: 0, max: 1, noNaN: true }), (spec, phase) => {
        const walk = planWalk(spec);
        const t = phase * walk.pace.strideTime;
        const [a, b] = [rootAt(walk, t), rootAt(walk, t + walk.pace.strideTime)];
        for (const channel of ['height', 'forward', 'side'] as const) {
          const gain = channel === 'forward' ? walk.pace.strideLength : 0;
          const [from, to] = [a[channel], b[channel]];
          assertClose(to.value - from.value - gain, 0, loopBound(from.velocity, walk), channel);
          assertClose(to.velocity - from.velocity, 0, loopBound(from.acceleration, walk), channel);
        }
      }),
      RUNS,
    );
  });

  it('moves the centre of mass as the summed forces of the feet say, in all three directions', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const walk = planWalk(spec);
        const { left, right, time } = sampleReactions(walk, { samples: SAMPLES });
        const path = time.map((t) => rootAt(walk, t));
        const period = walk.pace.strideTime;
        const components = { height: 'vertical', forward: 'forward', side: 'side' } as const;
        for (const [channel, component] of Object.entries(components)) {
          const values = path.map((jets, i) => {
            const { value } = jets[channel as keyof typeof components];
            return channel === 'forward' ? value - (walk.pace.strideLength * i) / SAMPLES : value;
          });
          const bend = spectralSecondDerivative(values, period, HARMONICS);
          for (let i = 0; i < SAMPLES; i++) {
            const force = left[component][i] + right[component][i] - (component === 'vertical' ? 1 : 0);
            // Spectral differentiation multiplies the rounding of the values by the square of the
            // highest harmonic's angular frequency.
            const top = ((2 * Math.PI) / period) * HARMONICS;
            const rounding = 2 ** -52 * Math.max(...values.map(Math.abs)) * top ** 2;
            assertClose(bend[i], walk.gravity * force, { abs: 1e-9 + 16 * rounding }, channel);
          }
        }
      }),
      RUNS,
    );
  });

  it('states the second derivative of its height as gravity times what the load exceeds weight by', () => {
    fc.assert(
      fc.property(walkSpecs, fc.double({ min: -3, max: 3, noNaN: true }), (spec, phase) => {
        const walk = planWalk(spec);
        const i = Math.floor(Math.abs(phase) * 80) % 240;
        const { left, right, time } = sampleReactions(walk, { samples: 240 });
        const { acceleration } = rootAt(walk, time[i]).height;
        assertClose(acceleration, walk.gravity * (left.vertical[i] + right.vertical[i] - 1), { abs: 1e-9 });
      }),
      RUNS,
    );
  });

  it('gives equal halves to both feet', () => {
    fc.assert(
      fc.property(evenSpecs, (spec) => {
        const { left, right } = sampleReactions(planWalk(spec), { samples: 120 });
        for (let i = 0; i < 120; i++) {
          const j = (i + 60) % 120;
          assertClose(left.vertical[i], right.vertical[j], SUM, 'vertical');
          assertClose(left.forward[i], right.forward[j], SUM, 'forward');
          assertClose(left.side[i], -right.side[j], SUM, 'side');
        }
      }),
      RUNS,
    );
  });

  it('survives JSON unchanged', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const walk = planWalk(spec);
        const text = JSON.stringify(walk);
        if (JSON.stringify(JSON.parse(text)) !== text || /null/.test(text)) throw new Error(text);
      }),
      { numRuns: 200 },
    );
  });
});
