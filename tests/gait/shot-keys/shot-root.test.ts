import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Curve, createSampler, evaluateSeries } from '../../../src/curves/index.js';
import {
  keyMotion,
  keyRoot,
  planShot,
  poseSeries,
  rootAt,
  shotPathAt,
  timingChart,
} from '../../../src/gait/index.js';
import { listTurns, prepareTurns, TURNS } from '../../../src/gait/shot-keys/shot-turns.js';
import { weighCurves } from '../../../src/weigh/index.js';
import { assertClose } from '../../support/assert-close.js';
import { groundSpecs, shotSpecs } from './shot-specs.js';

const harbour = planShot({
  stretches: [
    { pace: 'ordinary', steps: 10 },
    { pace: 'brisk', steps: 8 },
    { pace: 'slow', steps: 6 },
  ],
  still: { before: 0.5, after: 0.5 },
});

/** Every curve of a keyed shot, with its name. */
function curvesIn(value: unknown, path = ''): [string, Curve][] {
  if (typeof value !== 'object' || value === null) return [];
  if ('keys' in value && 'before' in value) return [[path, value as Curve]];
  return Object.entries(value)
    .filter(([name]) => name !== 'shot')
    .flatMap(([name, inner]) => curvesIn(inner, `${path}.${name}`));
}

describe('the keyed path of a shot', () => {
  it('follows the exact path within what was asked for and what is stated', () => {
    fc.assert(
      fc.property(shotSpecs, fc.constantFrom('centreOfMass' as const, 'root' as const), (spec, of) => {
        const shot = planShot(spec);
        const keyed = keyRoot(shot, { fps: 24, of });
        expect(keyed.met).toBe(true);
        const lowered = keyed.notes.some(({ code }) => code === 'root-lowered');
        for (const channel of ['height', 'forward', 'side'] as const) {
          const { value, load } = keyed.error[channel];
          expect(value.max).toBeLessThanOrEqual(0.0003);
          expect(load.rms).toBeLessThanOrEqual(0.05);
          if (lowered && channel === 'height') continue;
          const sampler = createSampler(keyed[channel]);
          const out = new Float64Array(3);
          for (let k = 0; k < 211; k++) {
            const t = ((k + 0.5) / 211) * Math.min(shot.duration, keyed.frames / 24);
            sampler.sampleJets(t, out);
            const exact = rootAt(shot, t, { of })[channel];
            // What lies between the times that were measured.
            expect(Math.abs(out[0] - exact.value)).toBeLessThan(1.1 * value.max + 1e-9);
          }
        }
      }),
      { numRuns: 50 },
    );
  });

  it('weighs as nothing but a body on two feet: no fault, with its feet, of centre and root', () => {
    fc.assert(
      fc.property(shotSpecs, (spec) => {
        const shot = planShot(spec);
        for (const of of ['centreOfMass', 'root'] as const) {
          const { root, feet } = keyMotion(shot, { fps: 24, of });
          const { height, forward, side } = root;
          const report = weighCurves(
            { height, forward, side, feet: [feet.left, feet.right] },
            { of, fps: 24, body: spec.body },
          );
          // A shot's root is not its centre of mass raised by one factor: each stretch has its own, and it may be lowered.
          const faults = report.findings.filter(
            ({ severity, code }) => severity === 'fault' && !(of === 'root' && code === 'pull'),
          );
          expect(faults.map(({ text }) => text)).toEqual([]);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('begins and ends at rest where it stands, on its first and last frame', () => {
    const { height, forward, side, heading, frames } = keyRoot(harbour, { fps: 24, of: 'root' });
    expect(frames).toBe(Math.ceil(harbour.duration * 24 - 1e-6));
    for (const { keys } of [height, forward, side]) {
      expect(keys[0].time).toBe(0);
      assertClose(keys[keys.length - 1].time, frames / 24, { rel: 1e-12 });
      for (const key of [keys[0], keys[keys.length - 1]]) assertClose(key.out.slope, 0, { abs: 1e-9 });
    }
    expect(heading.keys.length).toBe(1);
  });

  it('keys whole frames, contacts among them, and few of them', () => {
    const { height, forward, frames } = keyRoot(harbour, { fps: 24, of: 'centreOfMass' });
    const framesOf = ({ keys }: Curve): number[] => keys.map(({ time }) => time * 24);
    for (const frame of framesOf(height)) assertClose(frame, Math.round(frame), { abs: 1e-9 });
    const contacts = timingChart(harbour, { fps: 24, firstFrame: 0 }).marks.filter(
      ({ pose }) => pose === 'contact',
    );
    expect(contacts.length).toBe(24);
    for (const { frame } of contacts) {
      if (frame > frames) continue;
      expect(framesOf(height).map(Math.round)).toContain(frame);
      expect(framesOf(forward).map(Math.round)).toContain(frame);
    }
    // Twelve frames a step, and about one key to two of them: half of what baking would leave.
    expect(height.keys.length).toBeLessThan(0.55 * frames);
    const sparse = keyRoot(harbour, {
      fps: 24,
      of: 'centreOfMass',
      tolerance: 0.002,
      loadTolerance: 0.2,
      keyPoses: false,
    });
    expect(sparse.height.keys.length).toBeLessThan(0.35 * frames);
    expect(sparse.met).toBe(true);
  });

  it('keeps the legs long enough: the hip within reach of every pressure, with a note where it was lowered', () => {
    fc.assert(
      fc.property(fc.oneof(shotSpecs, groundSpecs), (spec) => {
        const shot = planShot(spec);
        const { height, forward, side, heading, notes, frames } = keyRoot(shot, { fps: 24, of: 'root' });
        const sampler = createSampler([height, forward, side, heading]);
        const out = new Float64Array(4);
        const { legLength } = shot.body;
        for (const step of shot.steps) {
          const { pressureTravel } = shot.cycles[step.cycle].pivot;
          const { roll, plant } = step;
          const [from, to] = [Math.max(0, step.land), Math.min(shot.duration, frames / 24, step.lift)];
          for (let k = 0; k <= 24 && to > from; k++) {
            const t = from + ((to - from) * k) / 24;
            sampler.sample(t, out);
            const part = Math.min(1, Math.max(0, (t - roll.start) / (roll.end - roll.start)));
            const u = roll.from + (roll.to - roll.from) * part;
            const rolled = pressureTravel * u * u * (3 - 2 * u);
            const hip = (step.foot === 'left' ? 0.095 : -0.095) * legLength;
            const leg = Math.hypot(
              out[1] - hip * Math.sin(out[3]) - plant.forward - rolled * Math.cos(plant.heading),
              out[2] + hip * Math.cos(out[3]) - plant.side - rolled * Math.sin(plant.heading),
              out[0] - plant.height,
            );
            // The keys' third of a millimetre, and what lies between the looks at each step.
            expect(leg).toBeLessThan(legLength * 1.001 + 0.0004);
          }
        }
        for (const { code, values } of notes) {
          expect(code).toBe('root-lowered');
          expect(values.most).toBeLessThanOrEqual(0.25 * legLength);
        }
      }),
      { numRuns: 50 },
    );
  });

  it('stands still at its own height before it sets out, whatever follows', () => {
    for (const stretch of [
      { steps: 5, stairs: { riser: 0.17, tread: 0.3 } },
      { steps: 6, slope: 0.4 },
    ]) {
      const shot = planShot({ still: { before: 1 }, stretches: [stretch] });
      const { height, notes, met } = keyRoot(shot, { fps: 24, of: 'root' });
      expect(met).toBe(true);
      expect(notes[0].values.from).toBe(1);
      expect(notes[0].values.at).toBeGreaterThan(1);
      const out = new Float64Array(1);
      for (let k = 0; k <= 24; k++) {
        createSampler(height).sample(k / 24, out);
        assertClose(out[0], rootAt(shot, 0, { of: 'root' }).height.value, { abs: 0.0003 }, `frame ${k}`);
      }
    }
  });

  it('is not lowered beyond use, and says where the legs cannot reach', () => {
    const shot = planShot({
      contacts: Array.from({ length: 8 }, (_, i) => ({
        foot: i % 2 ? ('left' as const) : ('right' as const),
        land: i < 2 ? 0 : 0.5 + (i - 2) * 0.55,
        plant: { forward: i < 2 ? 0 : 2 * (i - 1), side: i % 2 ? 0.06 : -0.06 },
      })),
    });
    const { notes, met, height, frames } = keyRoot(shot, { fps: 24, of: 'root' });
    expect(met).toBe(false);
    expect(notes.map(({ code }) => code)).toEqual(['root-lowered', 'legs-cannot-reach']);
    assertClose(notes[0].values.most, 0.25 * 0.9, { abs: 1e-12 });
    expect(notes[1].values.short).toBeGreaterThan(0.1);
    const out = new Float64Array(1);
    for (let k = 0; k <= frames; k++) {
      createSampler(height).sample(k / 24, out);
      const exact = rootAt(shot, Math.min(k / 24, shot.duration), { of: 'root' }).height.value;
      expect(out[0]).toBeGreaterThan(exact - 0.2254);
    }
    expect(keyRoot(shot, { fps: 24, of: 'centreOfMass' }).notes).toEqual([]);
  });

  it('refuses what a shot cannot be asked', () => {
    expect(() => keyRoot(harbour, { fps: 24, of: 'root', wholeFrames: true } as never)).toThrow(
      /keyRoot: options must have no fields but .* got "wholeFrames"/,
    );
    expect(() => keyRoot(harbour, { fps: 24 } as never)).toThrow(/keyRoot: of must be one of/);
    expect(() => keyMotion(harbour, { fps: 24, of: 'root', turnTolerance: 0 })).toThrow(
      'keyMotion: turnTolerance must be > 0 rad, got 0',
    );
    expect(() => keyMotion(harbour, { fps: 24, of: 'root', delays: { tail: 1 } } as never)).toThrow(/delays/);
    expect(() => timingChart(harbour, { fps: 24, wholeFrames: false } as never)).toThrow(
      /timingChart: options/,
    );
  });
});

describe('a whole shot, keyed', () => {
  it('turns as the walk does where it walks steadily, and not at all where it stands', () => {
    const { steady, cycle } = harbour.stretches[0];
    const walk = harbour.cycles[cycle];
    const turns = prepareTurns(harbour);
    const exact = listTurns(poseSeries(walk));
    const out = new Float64Array(2 * TURNS.length);
    // The walk's own contact that the steady part begins with.
    const step = harbour.steps.find(({ land }) => land === steady!.start)!;
    const phase = walk.stance[step.foot].contact * walk.pace.strideTime;
    for (let k = 0; k <= 60; k++) {
      const t = steady!.start + (k / 60) * (steady!.end - steady!.start);
      turns(t, out);
      TURNS.forEach((name, c) => {
        const jet = evaluateSeries(exact[c], t - steady!.start + phase);
        // Phases of a shot are sums of step times: rounding.
        assertClose(out[2 * c], jet.value, { abs: 1e-9 }, name);
        assertClose(out[2 * c + 1], jet.velocity, { abs: 1e-7 }, name);
      });
    }
    for (const t of [0, 0.2, harbour.duration]) {
      turns(t, out);
      TURNS.forEach((name, c) => {
        if (!name.includes('elbow')) assertClose(out[2 * c], 0, { abs: 1e-12 }, `${name} at ${t} s`);
      });
    }
  });

  it('meets every tolerance, measured again on its curves, and survives JSON', () => {
    fc.assert(
      fc.property(shotSpecs, (spec) => {
        const shot = planShot(spec);
        const keyed = keyMotion(shot, { fps: 30, of: 'root' });
        expect(keyed.error.slip).toBeLessThan(1e-4);
        expect(keyed.error.turns).toBeLessThan(0.005);
        const turns = prepareTurns(shot);
        const exact = new Float64Array(2 * TURNS.length);
        const curves = listTurns(keyed);
        const sampler = createSampler(curves);
        const have = new Float64Array(curves.length);
        for (let k = 0; k < 97; k++) {
          const t = ((k + 0.5) / 97) * Math.min(shot.duration, keyed.frames / 30);
          turns(t, exact);
          sampler.sample(t, have);
          for (let c = 0; c < curves.length; c++) {
            expect(Math.abs(have[c] - exact[2 * c])).toBeLessThan(1.1 * keyed.error.turns + 1e-9);
          }
        }
        const { shot: _, ...rest } = keyed;
        expect(JSON.parse(JSON.stringify(rest))).toEqual(rest);
      }),
      { numRuns: 30 },
    );
  });

  it('has no key off its frames and none before the one that it follows', () => {
    const keyed = keyMotion(harbour, { fps: 24, of: 'root' });
    const curves = curvesIn(keyed);
    expect(curves.length).toBe(4 + 13 + 12);
    for (const [name, { keys }] of curves) {
      keys.forEach(({ time }, i) => {
        assertClose(time * 24, Math.round(time * 24), { abs: 1e-9 }, name);
        if (i > 0) expect(time).toBeGreaterThan(keys[i - 1].time);
      });
    }
  });

  it('follows a line that turns: forward and side in the fixed axes, the heading beside them', () => {
    const shot = planShot({
      stretches: [{ steps: 4 }, { steps: 8, turn: { by: Math.PI / 2 } }, { steps: 4 }],
    });
    const { heading, forward, side, headingError, frames } = keyRoot(shot, { fps: 24, of: 'centreOfMass' });
    const sampler = createSampler([heading, forward, side]);
    const out = new Float64Array(3);
    for (let k = 0; k <= 50; k++) {
      const t = (k / 50) * Math.min(shot.duration, frames / 24);
      sampler.sample(t, out);
      const exact = rootAt(shot, t);
      expect(Math.abs(out[0] - shotPathAt(shot, t).heading.value)).toBeLessThan(1.1 * headingError + 1e-9);
      assertClose(out[1], exact.forward.value, { abs: 0.0004 });
      assertClose(out[2], exact.side.value, { abs: 0.0004 });
    }
    expect(headingError).toBeLessThan(0.005);
    assertClose(out[0], Math.PI / 2, { abs: 0.005 });
    expect(out[2]).toBeGreaterThan(1);
  });
});

describe('leaning into a turn', () => {
  const shot = planShot({ stretches: [{ steps: 4 }, { steps: 10, turn: { radius: 2.5 } }, { steps: 4 }] });

  it('goes inwards by atan(v²/(r g)), pelvis and chest alike, and leaves the head level', () => {
    // common practice and statics: atan(v² / (r g))
    const keyed = keyMotion(shot, { fps: 24, of: 'root' });
    const straight = planShot({ stretches: [{ steps: 18 }] });
    const { start, end } = shot.stretches[1];
    const t = (start + end) / 2;
    const { along, heading } = shotPathAt(shot, t);
    const turns = prepareTurns(shot);
    const out = new Float64Array(2 * TURNS.length);
    turns(t, out);
    const lean = Math.atan((along.velocity * heading.velocity) / shot.gravity);
    expect(lean).toBeGreaterThan(0.02);
    const mean = (name: (typeof TURNS)[number]): number => {
      let sum = 0;
      for (let k = 0; k < 64; k++) {
        turns(start + 0.3 * (end - start) + (k / 64) * 2 * shot.cycles[0].pace.stepTime, out);
        sum += out[2 * TURNS.indexOf(name)] / 64;
      }
      return sum;
    };
    for (const name of ['pelvis.roll', 'chest.roll'] as const) expect(mean(name)).toBeLessThan(-0.5 * lean);
    assertClose(mean('head.roll'), 0, { abs: 0.01 });
    expect(keyed.met).toBe(true);
    const level = prepareTurns(straight);
    level(t, out);
    expect(Math.abs(out[2 * TURNS.indexOf('pelvis.roll')])).toBeLessThan(0.09);
  });

  it('has slopes that are those of its values', () => {
    const turns = prepareTurns(shot);
    const [at, before, after] = [0, 1, 2].map(() => new Float64Array(2 * TURNS.length));
    const h = 1e-5;
    for (let k = 1; k < 200; k++) {
      const t = (k / 200) * shot.duration;
      turns(t, at);
      turns(t - h, before);
      turns(t + h, after);
      TURNS.forEach((name, c) => {
        // Central differences of values of a tenth of a radian: rounding over h, and h² of a bounded bend.
        assertClose((after[2 * c] - before[2 * c]) / (2 * h), at[2 * c + 1], { abs: 1e-6 }, name);
      });
    }
  });
});

describe('the timing chart of a shot', () => {
  it('has contact, down, passing and up of every step in their order, and contacts at the landings', () => {
    fc.assert(
      fc.property(shotSpecs, (spec) => {
        const shot = planShot(spec);
        const { marks, lastFrame } = timingChart(shot, { fps: 24 });
        expect(lastFrame).toBeGreaterThanOrEqual(Math.floor(shot.duration * 24));
        marks.forEach((mark, i) => {
          if (i > 0) expect(mark.time).toBeGreaterThanOrEqual(marks[i - 1].time);
          if (mark.pose === 'contact') expect(mark.time).toBe(shot.steps[mark.step].land);
          expect(mark.frame).toBe(Math.round(mark.exactFrame));
        });
        const steps = new Set(marks.map(({ step }) => step));
        for (const step of steps) {
          const own = marks.filter((mark) => mark.step === step);
          const time = (pose: string) => own.find((mark) => mark.pose === pose)?.time;
          if (own.length === 1) continue;
          expect(own.length).toBe(4);
          expect(time('passing')!).toBeGreaterThan(time('contact')!);
          expect(time('up')!).toBeGreaterThan(time('down')!);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('charts 12 frames a step where 12 were asked for', () => {
    const shot = planShot({ stretches: [{ pace: { framesPerStep: 12, fps: 24 }, steps: 10 }] });
    const { start, end } = shot.stretches[0].steady!;
    const contacts = timingChart(shot, { fps: 24 }).marks.filter(
      ({ pose, time }) => pose === 'contact' && time >= start && time <= end,
    );
    expect(contacts.length).toBeGreaterThan(3);
    for (const [i, { exactFrame }] of contacts.slice(1).entries()) {
      assertClose(exactFrame - contacts[i].exactFrame, 12, { abs: 1e-9 });
    }
  });
});
