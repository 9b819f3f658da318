import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createSampler } from '../../../src/curves/index.js';
import {
  footTracks,
  keyMotion,
  planRun,
  planRunShot,
  type RunShotSpec,
  readMotion,
  rootAt,
  type Shot,
  sampleReactions,
  shotPathAt,
  timingChart,
  toeOf,
} from '../../../src/gait/index.js';
import { powersAt } from '../../../src/gait/run/parted-path.js';
import { INTO_RUN, OUT_OF_RUN, stepBetween } from '../../../src/gait/run-shot/change-step.js';
import { prepareTurns, TURNS } from '../../../src/gait/shot-keys/shot-turns.js';
import { followBounce } from '../../../src/secondary/index.js';
import { assertClose } from '../../support/assert-close.js';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const walked = fc.record({
  pace: fc.constantFrom('ordinary' as const, 'brisk' as const),
  steps: fc.integer({ min: 5, max: 8 }),
});
const ran = fc.record({ speed: between(2.2, 3.6), steps: fc.integer({ min: 2, max: 9 }) });

const specs: fc.Arbitrary<RunShotSpec> = fc
  .record(
    {
      walks: fc.tuple(walked, walked, walked),
      runs: fc.tuple(ran, ran),
      from: fc.constantFrom('standing' as const, 'walking' as const),
      to: fc.constantFrom('standing' as const, 'walking' as const),
      firstFoot: fc.constantFrom('left' as const, 'right' as const),
      twice: fc.boolean(),
    },
    { requiredKeys: ['walks', 'runs', 'twice'] },
  )
  .map(({ walks, runs, twice, ...rest }) => {
    const walk = (i: number) => ({ walk: [walks[i]] });
    const run = (i: number) => ({ run: { pace: { speed: runs[i].speed } }, steps: runs[i].steps });
    const parts = [walk(0), run(0), walk(1), ...(twice ? [run(1), walk(2)] : [])];
    return { ...rest, parts };
  });

const harbour = planRunShot({
  parts: [
    { walk: [{ pace: 'brisk', steps: 6 }] },
    { run: { pace: { speed: 3 } }, steps: 8 },
    { walk: [{ pace: 'ordinary', steps: 7 }] },
  ],
});

/** Flights: from the last lift to the next landing, where no foot is down. */
function flightsOf({ steps }: Shot): [number, number][] {
  return steps
    .map(({ land }, i): [number, number] => [Math.max(0, ...steps.slice(0, i).map(({ lift }) => lift)), land])
    .filter(([lifted, land]) => lifted < land);
}

describe('a shot that runs', () => {
  it('goes smoothly: value and velocity of the centre of mass never jump, and move as the forces say', () => {
    fc.assert(
      fc.property(specs, (spec) => {
        const shot = planRunShot(spec);
        const reader = readMotion(shot);
        const [before, after, forces] = [new Float64Array(9), new Float64Array(9), new Float64Array(6)];
        const edges = shot.steps
          .flatMap(({ land, lift }) => [land, lift])
          .filter((t) => t > 0 && t < shot.duration);
        for (const t of edges) {
          const h = 1e-9;
          reader.sampleCentre(t - h, before);
          reader.sampleCentre(t + h, after);
          for (const i of [0, 3, 6]) {
            // What is covered in two nanoseconds.
            assertClose(after[i], before[i], { abs: 1e-7 });
            assertClose(after[i + 1], before[i + 1], { abs: 1e-6 });
          }
        }
        for (let k = 0; k <= 400; k++) {
          const t = (k / 400) * shot.duration;
          reader.sampleCentre(t, after);
          reader.sampleForces(t, forces);
          const total = [forces[0] + forces[3] - 1, forces[1] + forces[4], forces[2] + forces[5]];
          for (const [i, at] of [2, 5, 8].entries()) {
            assertClose(total[i] * shot.gravity, after[at], { abs: 1e-9 });
          }
        }
      }),
      { numRuns: 40 },
    );
  });

  it('lets no foot pull, and none that is in the air carry', () => {
    fc.assert(
      fc.property(specs, (spec) => {
        const shot = planRunShot(spec);
        const reader = readMotion(shot);
        const forces = new Float64Array(6);
        for (let k = 0; k <= 600; k++) {
          const t = (k / 600) * shot.duration;
          reader.sampleForces(t, forces);
          // Rounding of polynomials that begin and end at nothing.
          expect(Math.min(forces[0], forces[3])).toBeGreaterThan(-1e-9);
          for (const [i, foot] of (['left', 'right'] as const).entries()) {
            const down = shot.steps.some((step) => step.foot === foot && t >= step.land && t <= step.lift);
            if (!down) assertClose(forces[3 * i], 0, { abs: 1e-9 });
          }
        }
      }),
      { numRuns: 40 },
    );
  });

  it('flies between its steps under gravity alone, exactly, and only there', () => {
    fc.assert(
      fc.property(specs, between(0.01, 0.99), (spec, u) => {
        const shot = planRunShot(spec);
        const reader = readMotion(shot);
        const [centre, forces] = [new Float64Array(9), new Float64Array(6)];
        const flights = flightsOf(shot);
        const runs = shot.steps.filter(({ gait }) => gait === 'run').length;
        expect(flights.length).toBe(runs);
        for (const [lifted, land] of flights) {
          const t = lifted + u * (land - lifted);
          reader.sampleForces(t, forces);
          expect([...forces]).toEqual([0, 0, 0, 0, 0, 0]);
          reader.sampleCentre(t, centre);
          expect([centre[2], centre[5], centre[8]]).toEqual([-shot.gravity, 0, 0]);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('is the run itself where it runs steadily', () => {
    const { steady } = harbour.stretches[1];
    const step = harbour.steps.find(({ gait }) => gait === 'run')!;
    const run = planRun({ pace: { speed: 3 }, firstFoot: step.foot });
    const [own, exact] = [new Float64Array(6), new Float64Array(6)];
    const [reader, other] = [readMotion(harbour), readMotion(run)];
    expect(steady!.start).toBe(step.land);
    for (let k = 1; k < 300; k++) {
      const t = (k / 300) * (steady!.end - steady!.start);
      reader.sampleForces(steady!.start + t, own);
      other.sampleForces(t, exact);
      for (let i = 0; i < 6; i++) assertClose(own[i], exact[i], { abs: 1e-9 });
      const { along } = shotPathAt(harbour, steady!.start + t);
      assertClose(along.value - step.along, rootAt(run, t).forward.value, { abs: 1e-9 });
    }
  });

  it('carries one body weight on average from standing to standing', () => {
    const { vertical, forward } = sampleReactions(harbour, { samples: 20_001 }).total;
    const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
    // It begins and ends at rest: all impulse beyond the weight cancels out.
    assertClose(mean(vertical), 1, { abs: 2e-4 });
    assertClose(mean(forward), 0, { abs: 2e-4 });
  });

  it('is keyed like any shot: every tolerance met, feet still, legs long enough but for a few millimetres', () => {
    fc.assert(
      fc.property(specs, fc.constantFrom(24, 30), (spec, fps) => {
        const shot = planRunShot(spec);
        const keyed = keyMotion(shot, { fps, of: 'root' });
        expect(keyed.error.slip).toBeLessThan(1e-4);
        // A change of gait bends the turns at once, between frames.
        expect(keyed.error.turns).toBeLessThan(0.007);
        expect(keyed.error.root.height.value.max).toBeLessThanOrEqual(0.0003);
        const { left, right } = footTracks(shot, { fps });
        expect(left.contacts.length + right.contacts.length).toBe(shot.steps.length);
        for (const { code, values } of keyed.notes) {
          expect(code).toBe('root-lowered');
          expect(values.most).toBeLessThan(0.08);
        }
      }),
      { numRuns: 20 },
    );
  });

  it('turns the body without a jump from gait to gait', () => {
    const turns = prepareTurns(harbour);
    const [before, after] = [new Float64Array(2 * TURNS.length), new Float64Array(2 * TURNS.length)];
    for (const { land } of harbour.steps) {
      if (land <= 0) continue;
      turns(land - 1e-9, before);
      turns(land + 1e-9, after);
      for (const [c, name] of TURNS.entries()) {
        assertClose(after[2 * c], before[2 * c], { abs: 1e-6 }, `${name} at ${land}`);
      }
    }
  });

  it('has its contacts charted, and shakes what hangs on it', () => {
    const contacts = timingChart(harbour, { fps: 24 }).marks.filter(({ pose }) => pose === 'contact');
    expect(contacts.length).toBe(harbour.steps.length - 2);
    const { tracks } = followBounce(harbour, { frequencyHz: 4, dampingRatio: 0.3 });
    expect(tracks.height).toBeDefined();
    expect(JSON.parse(JSON.stringify(harbour)).steps.length).toBe(harbour.steps.length);
  });

  it('goes on along the line that the walk before it has turned to', () => {
    const shot = planRunShot({
      parts: [
        {
          walk: [
            { pace: 'brisk', steps: 5, turn: { by: Math.PI / 2 } },
            { pace: 'brisk', steps: 4 },
          ],
        },
        { run: { pace: { speed: 3 } }, steps: 5 },
        {
          walk: [
            { pace: 'brisk', steps: 3 },
            { pace: 'brisk', steps: 6, turn: { by: -Math.PI / 2 } },
          ],
        },
      ],
    });
    const run = shot.stretches[2].steady!;
    const [a, b] = [rootAt(shot, run.start), rootAt(shot, run.end)];
    assertClose(b.forward.value - a.forward.value, 0, { abs: 0.05 });
    expect(b.side.value - a.side.value).toBeGreaterThan(3);
    // Each turn is as exact as `planShot` makes it.
    assertClose(shotPathAt(shot, shot.duration).heading.value, 0, { abs: 1e-3 });
    expect(keyMotion(shot, { fps: 24, of: 'root' }).error.slip).toBeLessThan(1e-4);
  });

  it('runs on the floor that the walk before it has come up to', () => {
    const shot = planRunShot({
      parts: [
        {
          walk: [
            { pace: 'brisk', steps: 5 },
            { steps: 5, slope: 0.1 },
            { pace: 'brisk', steps: 4 },
          ],
        },
        { run: { pace: { speed: 3 } }, steps: 4 },
        { walk: [{ pace: 'brisk', steps: 6 }] },
        { run: { pace: { speed: 2.5 } }, steps: 3 },
        { walk: [{ pace: 'brisk', steps: 6 }] },
      ],
    });
    const up = shot.steps[shot.steps.length - 1].plant.height;
    expect(up).toBeGreaterThan(0.2);
    for (const { gait, plant } of shot.steps) if (gait === 'run') expect(plant.height).toBe(up);
    const reader = readMotion(shot);
    const [before, after] = [new Float64Array(9), new Float64Array(9)];
    for (const { land } of shot.steps) {
      if (land <= 0) continue;
      reader.sampleCentre(land - 1e-9, before);
      reader.sampleCentre(land + 1e-9, after);
      for (const i of [0, 3, 6]) assertClose(after[i], before[i], { abs: 1e-7 });
    }
    const keyed = keyMotion(shot, { fps: 24, of: 'root' });
    expect(keyed.error.slip).toBeLessThan(1e-4);
    // A walk's root goes lower on a slope; beyond that the legs want millimetres.
    for (const { values } of keyed.notes) expect(values.most).toBeLessThan(0.08);
  });

  it('carries a runner’s feet well clear of the floor', () => {
    const { left, right } = footTracks(harbour, { fps: 24 });
    for (const track of [left, right]) {
      const sampler = createSampler([track.height, track.pitch, track.toeBend]);
      const out = new Float64Array(3);
      const runs = harbour.steps.filter(({ foot, gait }) => foot === track.foot && gait === 'run');
      runs.slice(1).forEach(({ land }, i) => {
        sampler.sample((runs[i].lift + land) / 2, out);
        const toe = toeOf(
          { forward: 0, side: 0, height: out[0], pitch: out[1], toeBend: out[2] },
          track.shape,
        );
        expect(toe.height).toBeGreaterThan(0.07);
      });
      expect(track.met).toBe(true);
    }
  });

  it('is refused by field, rule and value', () => {
    const walk = { walk: [{ steps: 5 }] };
    const run = { run: { pace: { speed: 3 } }, steps: 4 };
    const refused = (parts: unknown[]) => () => planRunShot({ parts } as never);
    expect(refused([walk, run])).toThrow(/planRunShot: parts must be walked and run parts in turn/);
    expect(refused([run, walk, run])).toThrow(/parts must be walked and run parts in turn/);
    expect(refused([walk, { ...run, steps: 1 }, walk])).toThrow(
      'planRunShot: parts[1].steps must be a whole number in [2, 10000], got 1',
    );
    expect(refused([walk, { run: { pace: { speed: -1 } }, steps: 4 }, walk])).toThrow(
      'planRunShot: parts[1].run.pace.speed must be > 0 m/s, got -1',
    );
    expect(refused([{ walk: [{ steps: 5, slope: 0.1 }] }, run, walk])).toThrow(
      'planRunShot: parts[0].walk[0] must be straight on and level beside a run',
    );
    expect(refused([walk, { ...run, hop: 1 }, walk])).toThrow(
      /parts\[1\] must have no fields but run, steps/,
    );
    expect(() => planRunShot(undefined as never)).toThrow(TypeError);
    expect(refused([{ walk: [{ steps: 5, stiars: 1 }] }, run, walk])).toThrow(
      /^planRunShot: parts\[0\]\.walk\[0\] must have no fields but distance, .*, got "stiars"$/,
    );
    expect(refused([{ walk: [] }, run, walk])).toThrow('planRunShot: parts[0].walk must have from 1');
    // What is found while planning is told of the part, too.
    expect(refused([{ walk: [{ distance: 0.1 }] }, run, walk])).toThrow(
      /^planRunShot: parts\[0\]\.walk\[0\]\.distance must/,
    );
    expect(() => planRunShot({ parts: [walk, run, walk], body: { mass: -1 } })).toThrow(
      /^planRunShot: body\.mass must/,
    );
    const climb = { walk: [{ steps: 4, stairs: { riser: 1, tread: 0.4 } }, { steps: 5 }] };
    expect(refused([climb, run, walk])).toThrow('planRunShot: parts[0].walk[0].stairs.riser must be at most');
    expect(() => planRunShot({ parts: [climb, run, walk], body: { legLength: 1.6 } })).not.toThrow();
    // One step is one too few only where the shot ends standing.
    const one = { walk: [{ steps: 1 }] };
    expect(refused([one, run, one])).toThrow('planRunShot: parts[2].walk[0].steps must be >= 2');
    expect(refused([one, run, walk])).not.toThrow(/ends standing/);
  });
});

describe('the step between two gaits', () => {
  it('meets place, velocity and force at both ends, for any of them', () => {
    const state = fc.record({ place: between(-1, 1), velocity: between(-3, 3), force: between(0, 2) });
    fc.assert(
      fc.property(
        state,
        state,
        between(0.1, 0.8),
        fc.constantFrom(INTO_RUN, OUT_OF_RUN),
        (from, to, span, shapes) => {
          const { force, place } = stepBetween(from, to, span, { gravity: 9.80665, weight: 1, shapes });
          const slope = (u: number) =>
            place.reduce((sum, c, k) => sum + (k === 0 ? 0 : k * c * u ** (k - 1)), 0) / span;
          // Amplitudes are solved for; they reach some hundred body weights for what nobody would ask.
          const near = { abs: 1e-9 };
          assertClose(powersAt(place, 0), from.place, near);
          assertClose(powersAt(place, 1), to.place, near);
          assertClose(slope(0), from.velocity, near);
          assertClose(slope(1), to.velocity, { abs: 1e-8 });
          assertClose(powersAt(force, 0), from.force, near);
          assertClose(powersAt(force, 1), to.force, { abs: 1e-7 });
        },
      ),
      { numRuns: 300 },
    );
  });
});
