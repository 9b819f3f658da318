import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planRun, type Run } from '../../../src/gait/index.js';
import { samplePath } from '../../../src/gait/run/parted-path.js';
import { readRun } from '../../../src/gait/run/read-run.js';
import { assertClose } from '../../support/assert-close.js';
import { runSpecs } from './run-specs.js';

const RUNS = { numRuns: Number(process.env.FAST_CHECK_RUNS ?? 300) };

/** Simpson's rule over each contact and each flight by itself: exact for cubics, and close for what is smooth. */
function overStride(run: Run, of: (t: number) => number): number {
  let sum = 0;
  for (const { start, span } of run.total.vertical.parts) {
    const n = 64;
    const h = span / n;
    for (let i = 0; i <= n; i++) {
      // Not quite to the ends, where one part gives way to the next.
      const t = start + Math.min(Math.max(i * h, 1e-12 * span), span * (1 - 1e-12));
      sum += ((i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2) * of(t) * h) / 3;
    }
  }
  return sum;
}

/** Simpson's error of the pulses, polynomials of fifth degree, at 64 intervals. */
const QUADRATURE = 1e-6;

/** Rounding of polynomials of a few terms, relative to their size. */
const ROUNDING = 1e-9;

describe('the laws of a run', () => {
  it('mean load 1 and no net impulse, by quadrature of the two feet', () => {
    fc.assert(
      fc.property(runSpecs, (spec) => {
        const run = planRun(spec);
        const reader = readRun(run);
        const forces = new Float64Array(6);
        const mean = (i: number): number =>
          overStride(run, (t) => {
            reader.sampleForces(t, forces);
            return forces[i] + forces[i + 3];
          }) / run.pace.strideTime;
        assertClose(mean(0), 1, { abs: QUADRATURE });
        assertClose(mean(1), 0, { abs: QUADRATURE * (1 + run.pulse.push) });
        assertClose(mean(2), 0, { abs: QUADRATURE * (1 + run.pulse.inwards) });
      }),
      RUNS,
    );
  });

  it('flies under gravity alone, exactly, and between contacts no foot has any force', () => {
    fc.assert(
      fc.property(runSpecs, fc.double({ min: 0.001, max: 0.999, noNaN: true }), (spec, u) => {
        const run = planRun(spec);
        const reader = readRun(run);
        const { fraction } = run.stance.left;
        const [centre, forces] = [new Float64Array(9), new Float64Array(6)];
        for (const step of [0, 0.5]) {
          const t = (step + fraction + u * (0.5 - fraction)) * run.pace.strideTime;
          reader.sampleForces(t, forces);
          expect([...forces]).toEqual([0, 0, 0, 0, 0, 0]);
          reader.sampleCentre(t, centre);
          expect([centre[2], centre[5], centre[8]]).toEqual([-run.gravity, 0, 0]);
        }
      }),
      RUNS,
    );
  });

  it('never pulls, and loads one foot at a time, from nothing to nothing', () => {
    fc.assert(
      fc.property(runSpecs, fc.double({ min: 0, max: 1, noNaN: true }), (spec, phase) => {
        const run = planRun(spec);
        const reader = readRun(run);
        const forces = new Float64Array(6);
        reader.sampleForces(phase * run.pace.strideTime, forces);
        expect(Math.min(forces[0], forces[3])).toBe(0);
        expect(Math.max(forces[0], forces[3])).toBeLessThanOrEqual(run.pulse.peak * (1 + ROUNDING));
        for (const at of [1e-9, run.stance.left.fraction - 1e-9]) {
          reader.sampleForces(at * run.pace.strideTime, forces);
          assertClose(Math.max(forces[0], forces[3]), 0, { abs: 1e-6 });
        }
      }),
      RUNS,
    );
  });

  it('closes its loop in value and slope, and carries the stride on', () => {
    fc.assert(
      fc.property(runSpecs, (spec) => {
        const run = planRun(spec);
        for (const channel of ['height', 'forward', 'side'] as const) {
          const { parts, period, gain } = run.centre[channel];
          const scale = run.pace.strideLength + run.body.legLength + run.gravity * period ** 2;
          parts.forEach(({ start, span, powers }, i) => {
            const next = parts[(i + 1) % parts.length];
            const wrapped = i + 1 === parts.length;
            const end = powers.reduce((sum, c) => sum + c, 0);
            const slope = powers.reduce((sum, c, k) => sum + k * c, 0) / span;
            assertClose(end, next.powers[0] + (wrapped ? gain : 0), { abs: ROUNDING * scale }, channel);
            assertClose(slope, next.powers[1] / next.span, { abs: (ROUNDING * scale) / span }, channel);
            assertClose(start + span, wrapped ? period : next.start, { rel: 1e-12 });
          });
          expect(gain).toBe(channel === 'forward' ? run.pace.stepLength * 2 : 0);
        }
      }),
      RUNS,
    );
  });

  it('moves as its forces say: second derivatives of the path, and differences of its values', () => {
    fc.assert(
      fc.property(runSpecs, fc.double({ min: 0, max: 1, noNaN: true }), (spec, phase) => {
        const run = planRun(spec);
        const reader = readRun(run);
        const [centre, jet] = [new Float64Array(9), new Float64Array(3)];
        const t = phase * run.pace.strideTime;
        reader.sampleCentre(t, centre);
        (['height', 'forward', 'side'] as const).forEach((channel, i) => {
          samplePath(run.centre[channel], t, jet);
          const size = run.gravity * (1 + run.pulse.peak * (1 + run.pulse.push + run.pulse.inwards));
          assertClose(centre[3 * i + 2], jet[2], { abs: ROUNDING * size * 10 });
        });
        // Central differences within a contact or a flight; their error is that of the third derivative.
        const h = 1e-4 * run.pace.strideTime;
        const [before, after] = [new Float64Array(9), new Float64Array(9)];
        reader.sampleCentre(t - h, before);
        reader.sampleCentre(t + h, after);
        for (const i of [0, 3, 6]) {
          const slope = (after[i] - before[i]) / (2 * h);
          const bend = run.gravity * (1 + 20 * run.pulse.peak * (1 + run.pulse.push + run.pulse.inwards));
          assertClose(slope, centre[i + 1], { abs: h * bend + 1e-9 * run.pace.speed });
        }
      }),
      RUNS,
    );
  });

  it('is lowest and slowest in the middle of a contact, which brakes before it and propels after', () => {
    fc.assert(
      fc.property(runSpecs, fc.double({ min: 0.001, max: 0.499, noNaN: true }), (spec, u) => {
        const run = planRun(spec);
        const reader = readRun(run);
        const contact = run.stance.left.fraction * run.pace.strideTime;
        const [middle, early, late] = [0.5, 0.5 - u, 0.5 + u].map((part) => {
          const centre = new Float64Array(9);
          reader.sampleCentre(part * contact, centre);
          return centre;
        });
        const scale = run.gravity * contact ** 2;
        assertClose(early[0], late[0], { abs: ROUNDING * (scale + run.body.legLength) });
        expect(middle[0]).toBeLessThanOrEqual(early[0] + ROUNDING * scale);
        expect(early[5]).toBeLessThanOrEqual(0);
        expect(late[5]).toBeGreaterThanOrEqual(0);
        expect(middle[4]).toBeLessThanOrEqual(late[4] + ROUNDING * run.pace.speed);
      }),
      RUNS,
    );
  });

  it('sways to and fro alike, each foot pushing towards the other', () => {
    fc.assert(
      fc.property(runSpecs, fc.double({ min: 0, max: 0.5, noNaN: true }), (spec, phase) => {
        const run = planRun(spec);
        const reader = readRun(run);
        const [first, second, forces] = [new Float64Array(9), new Float64Array(9), new Float64Array(6)];
        const { strideTime } = run.pace;
        reader.sampleCentre(phase * strideTime, first);
        reader.sampleCentre((phase + 0.5) * strideTime, second);
        const scale = run.gravity * strideTime ** 2 * run.pulse.inwards;
        // A hair beyond an end of a contact one of the two may be in flight; widths may be a few units in the last place.
        assertClose(second[6], -first[6], { abs: 1e-9 * scale + Number.MIN_VALUE * 16 });
        reader.sampleForces(phase * strideTime, forces);
        expect(forces[2]).toBeLessThanOrEqual(0);
        expect(forces[5]).toBeGreaterThanOrEqual(0);
      }),
      RUNS,
    );
  });

  it('legs reach: the hip is never farther from the pressure than the leg is long, but for a note', () => {
    fc.assert(
      fc.property(runSpecs, fc.double({ min: 0, max: 1, noNaN: true }), (spec, u) => {
        const run = planRun(spec);
        if (run.notes.some(({ code }) => code === 'legs-overreach')) return;
        const centre = new Float64Array(9);
        const { contact, fraction, forward } = run.stance.right;
        readRun(run).sampleCentre((contact + u * fraction) * run.pace.strideTime, centre);
        const pressure = forward + run.pressureTravel * u * u * (3 - 2 * u);
        const root = centre[0] + run.root.height - heightMean(run);
        expect(Math.hypot(centre[3] - pressure, root)).toBeLessThan(run.body.legLength * 1.02);
      }),
      RUNS,
    );
  });

  it('is similar at equal Froude numbers: a giantess, a child, the Moon', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 8, noNaN: true }), (speed) => {
        const adult = planRun({ pace: { speed }, body: { legLength: 0.9 } });
        for (const [legLength, gravity] of [
          [2.25, 9.80665] as const,
          [0.5, 9.80665] as const,
          [0.9, 1.62] as const,
        ]) {
          const unit = Math.sqrt((gravity * legLength) / (9.80665 * 0.9));
          const other = planRun({ pace: { speed: speed * unit }, body: { legLength }, gravity });
          assertClose(other.pulse.peak, adult.pulse.peak, { rel: 1e-12 });
          assertClose(other.pulse.push, adult.pulse.push, { rel: 1e-9 });
          assertClose(other.root.height / legLength, adult.root.height / 0.9, { rel: 1e-9 });
          assertClose(other.pace.strideTime * unit, (adult.pace.strideTime * legLength) / 0.9, { rel: 1e-9 });
        }
      }),
      { numRuns: 100 },
    );
  });

  it('survives JSON, to the bit', () => {
    const run = planRun({ pace: { speed: 3.3 }, firstFoot: 'left' });
    expect(JSON.parse(JSON.stringify(run))).toEqual(run);
  });
});

function heightMean(run: Run): number {
  const { parts, period } = run.centre.height;
  return parts.reduce((sum, { span, powers }) => {
    return sum + (span * powers.reduce((area, c, i) => area + c / (i + 1), 0)) / period;
  }, 0);
}
