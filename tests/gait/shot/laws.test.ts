import fc from 'fast-check';
import { describe, it } from 'vitest';
import { footSpans, planShot, readMotion, type Shot, shotPathAt } from '../../../src/gait/index.js';
import { scaleShotSpec } from '../../../src/testing/arbitraries/scale-shot-spec.js';
import { shotSpecs } from '../../../src/testing/index.js';
import { assertClose } from '../../support/assert-close.js';
import { integrate, seamsOf } from './seams.js';

/** Runs of each law; more with FAST_CHECK_RUNS in the environment. */
const RUNS = { numRuns: Number(process.env.FAST_CHECK_RUNS ?? 100) };

/** The bound asked for: a foot may push down by rounding only. */
const PULL = -1e-9;

/** The bound asked for between the summed feet and the differentiated path, in BW. */
const FORCE = { abs: 1e-6 };

/** The bound asked for between impulse and change of momentum, in BW s; sums of up to some minutes. */
const IMPULSE = { abs: 1e-9 };

/** The bound asked for on jumps of position (m) and velocity (m/s). */
const JUMP = 1e-9;

/** Either side of a seam: so close that nothing moves by more than the bound. */
const BESIDE = 1e-11;

const CHANNELS = ['height', 'forward', 'side'];

/** Times over a shot that miss no piece: some within every stretch between seams. */
function timesOf(shot: Shot, perPiece: number): number[] {
  const seams = seamsOf(shot);
  return seams.slice(1).flatMap((end, i) => {
    const start = seams[i];
    return Array.from({ length: perPiece }, (_, j) => start + ((end - start) * (j + 0.5)) / perPiece);
  });
}

/** Long enough for 10 000 shots on a busy machine. */
const PATIENCE = { timeout: 600_000 };

describe('laws of shots, over random valid specs', PATIENCE, () => {
  it('never pull, and carry exactly nothing off the ground', () => {
    fc.assert(
      fc.property(shotSpecs, (spec) => {
        const shot = planShot(spec);
        const { sampleForces } = readMotion(shot);
        const spans = footSpans(shot);
        const forces = new Float64Array(6);
        for (const t of timesOf(shot, 3)) {
          sampleForces(t, forces);
          for (const [i, foot] of (['left', 'right'] as const).entries()) {
            const own = forces.subarray(3 * i, 3 * i + 3);
            if (!(own[0] >= PULL)) throw new Error(`${foot} carries ${own[0]} BW at ${t} s`);
            const down = spans[foot].stances.some(({ land, lift }) => t >= land && t <= lift);
            if (!down && own.some((x) => x !== 0)) throw new Error(`${foot} pushes in the air at ${t} s`);
          }
        }
      }),
      RUNS,
    );
  });

  it('move the centre of mass as the summed feet say: its own second difference', () => {
    fc.assert(
      fc.property(shotSpecs, (spec) => {
        const shot = planShot(spec);
        const reader = readMotion(shot);
        const seams = seamsOf(shot);
        const forces = new Float64Array(6);
        const out = new Float64Array(9);
        // A difference of the sixth order, narrow beside a stride and within one piece.
        const h = 4e-4 * shot.cycles[0].pace.strideTime;
        const [middle, bend] = [new Float64Array(9), new Float64Array(3)];
        const stencil = [-490 / 180, 270 / 180, -27 / 180, 2 / 180];
        for (let i = 1; i < seams.length; i++) {
          if (seams[i] - seams[i - 1] < 8 * h) continue;
          const t = (seams[i] + seams[i - 1]) / 2;
          reader.sampleForces(t, forces);
          reader.sampleCentre(t, out);
          middle.set(out);
          bend.fill(0);
          for (let k = 1; k < 4; k++) {
            for (const sign of [1, -1]) {
              reader.sampleCentre(t + sign * k * h, out);
              for (let c = 0; c < 3; c++) bend[c] += stencil[k] * (out[3 * c] - middle[3 * c]);
            }
          }
          for (let c = 0; c < 3; c++) {
            const force = forces[c] + forces[3 + c] - (c === 0 ? 1 : 0);
            assertClose(bend[c] / (h * h * shot.gravity), force, FORCE, `${CHANNELS[c]} at ${t} s`);
          }
        }
      }),
      RUNS,
    );
  });

  it('give as much impulse as momentum changes, by the quadrature of both feet', () => {
    fc.assert(
      fc.property(shotSpecs, (spec) => {
        const shot = planShot(spec);
        const reader = readMotion(shot);
        const seams = seamsOf(shot);
        const forces = new Float64Array(6);
        const out = new Float64Array(9);
        const impulse = new Float64Array(3);
        for (let i = 1; i < seams.length; i++) {
          integrate(
            (t, weight) => {
              reader.sampleForces(t, forces);
              for (let c = 0; c < 3; c++)
                impulse[c] += weight * (forces[c] + forces[3 + c] - (c === 0 ? 1 : 0));
            },
            seams[i - 1],
            seams[i],
            6,
          );
        }
        const after = new Float64Array(9);
        reader.sampleCentre(0, out);
        reader.sampleCentre(shot.duration, after);
        for (let c = 0; c < 3; c++) {
          const change = (after[3 * c + 1] - out[3 * c + 1]) / shot.gravity;
          assertClose(impulse[c], change, IMPULSE, CHANNELS[c]);
        }
      }),
      RUNS,
    );
  });

  it('never jump in position, velocity or load', () => {
    fc.assert(
      fc.property(shotSpecs, (spec) => {
        const shot = planShot(spec);
        const reader = readMotion(shot);
        const [a, b] = [new Float64Array(15), new Float64Array(15)];
        for (const t of seamsOf(shot)) {
          for (const [out, at] of [
            [a, t - BESIDE],
            [b, t + BESIDE],
          ] as const) {
            reader.sampleCentre(at, out.subarray(0, 9));
            reader.sampleForces(at, out.subarray(9));
          }
          for (let i = 0; i < 15; i++) {
            const load = i > 8 || i % 3 === 2;
            const what = i > 8 ? `force ${i - 9}` : `${CHANNELS[Math.floor(i / 3)]} ${i % 3}`;
            // Loads go by tens of BW/s at most, accelerations by g times that.
            assertClose(b[i], a[i], { abs: load ? 1e-7 : JUMP }, `${what} at ${t} s`);
          }
        }
      }),
      RUNS,
    );
  });

  it('put one foot after the other, and go as far as their steps add up to', () => {
    fc.assert(
      fc.property(shotSpecs, (spec) => {
        const shot = planShot(spec);
        for (const { swings } of Object.values(footSpans(shot))) {
          for (const { lift, land } of swings) {
            if (!(land > lift)) throw new Error(`a foot lands at ${land} s and leaves at ${lift} s`);
          }
        }
        if (spec.contacts || spec.from === 'walking' || spec.to === 'walking') return;
        const sum = shot.steps.reduce((total, { length }) => total + length, 0);
        const along = (t: number): number => shotPathAt(shot, t).along.value;
        // A slow first step may begin farther back over the feet; the heels tell the distance exactly.
        const heels = shot.steps[shot.steps.length - 1].along - shot.steps[0].along;
        assertClose(heels, sum, { abs: 1e-9 }, 'heels');
        assertClose(along(shot.duration) - along(0), sum, { abs: 0.1 }, 'body');
      }),
      RUNS,
    );
  });

  it('are the walk itself where it is steady', () => {
    fc.assert(
      fc.property(shotSpecs, (spec) => {
        const shot = planShot(spec);
        const reader = readMotion(shot);
        const out = new Float64Array(15);
        const own = new Float64Array(15);
        for (const { cycle, steady } of shot.stretches) {
          if (!steady) continue;
          const walk = readMotion(shot.cycles[cycle]);
          const step = shot.steps.find(({ land }) => land === steady.start);
          const { contact } = shot.cycles[cycle].stance[step!.foot];
          const from = contact * walk.duration;
          const floor = step!.plant.height;
          for (let i = 0; i <= 40; i++) {
            const since = ((steady.end - steady.start) * i) / 40;
            reader.sampleCentre(steady.start + since, out.subarray(0, 9));
            reader.sampleForces(steady.start + since, out.subarray(9));
            walk.sampleCentre(from + since, own.subarray(0, 9));
            walk.sampleForces(from + since, own.subarray(9));
            out[0] -= floor;
            // The shot has come from somewhere else and heads somewhere else: there only the load is compared.
            const turned =
              step!.plant.heading !== 0 || step!.plant.side !== shot.cycles[cycle].stance[step!.foot].side;
            const same = turned ? [0, 1, 2, 9, 12] : [0, 1, 2, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14];
            for (const j of same) assertClose(out[j], own[j], { abs: 1e-9 }, `number ${j}`);
          }
        }
      }),
      RUNS,
    );
  });

  it('are the same for every size of body and every gravity, in proportion (dynamic similarity)', () => {
    fc.assert(
      fc.property(shotSpecs, fc.double({ min: 0.4, max: 2.5, noNaN: true }), (spec, size) => {
        // A tie between two frames may go either way.
        if (spec.gravity !== undefined || spec.wholeFrames !== undefined) return;
        const weight = 1 / size;
        const slower = Math.sqrt(size / weight);
        const [own, other] = [planShot(spec), planShot(scaleShotSpec(spec, size, weight))];
        assertClose(other.duration, own.duration * slower, { rel: 1e-9 }, 'duration');
        const [a, b] = [readMotion(own), readMotion(other)];
        const [x, y] = [new Float64Array(6), new Float64Array(6)];
        for (let i = 0; i <= 40; i++) {
          const t = (own.duration * i) / 40;
          a.sampleForces(t, x);
          b.sampleForces(t * slower, y);
          // At a seam a rounding in time is one in force.
          for (let j = 0; j < 6; j++) assertClose(y[j], x[j], { abs: 1e-7 }, `force ${j} at ${t} s`);
        }
      }),
      RUNS,
    );
  });

  it('survive JSON unchanged', () => {
    fc.assert(
      fc.property(shotSpecs, (spec) => {
        const text = JSON.stringify(planShot(spec));
        if (JSON.stringify(JSON.parse(text)) !== text || /null/.test(text)) throw new Error(text);
      }),
      { numRuns: 50 },
    );
  });
});
