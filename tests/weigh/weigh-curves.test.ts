import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/curves/index.js';
import { keyMotion, keyRoot, planShot, planWalk, sampleReactions } from '../../src/gait/index.js';
import { type FindingCode, repair, weighCurves } from '../../src/weigh/index.js';
import { assertClose } from '../support/assert-close.js';
import { baked, faultyCases, make, soundCases } from './truth-cases.js';

const sound = soundCases();
const faulty = faultyCases();

describe('what is planned, keyed and weighed', () => {
  const rms = (
    spec: Parameters<typeof planWalk>[0],
    of: 'root' | 'centreOfMass',
    keysPerStep: number,
  ): number => {
    const keyed = keyRoot(planWalk(spec), { fps: 24, of, keysPerStep });
    const { height, forward } = keyed;
    const { frames } = weighCurves({ height, forward }, { of, fps: 480 });
    const { total } = sampleReactions(keyed.walk, { samples: frames.length });
    return Math.sqrt(
      frames.reduce((sum, { load }, i) => sum + (load - total.vertical[i]) ** 2, 0) / frames.length,
    );
  };

  it.each(['slow', 'ordinary', 'brisk'] as const)('carries its load through: %s', (pace) => {
    for (const of of ['root', 'centreOfMass'] as const) {
      // The bars of the design: 0.012 BW rms with 4 keys a step, 0.005 with 8.
      expect(rms({ pace }, of, 4)).toBeLessThan(0.012);
      expect(rms({ pace }, of, 8)).toBeLessThan(0.005);
    }
  });

  it('weighs the same as samples on every frame', () => {
    const { curves, options } = make({ pace: 'ordinary' }, { keysPerStep: 8 });
    const keyed = weighCurves({ height: curves.height }, options).frames;
    const samples = weighCurves({ height: baked(curves.height, 24) }, options).frames;
    expect(samples.length).toBe(keyed.length);
    const gap = Math.sqrt(
      keyed.reduce((sum, { load }, i) => sum + (load - samples[i].load) ** 2, 0) / keyed.length,
    );
    // 26 frames hold 12 harmonics; a keyed curve has more in the jumps of its second derivative.
    expect(gap).toBeLessThan(0.02);
  });

  it('gives newtons and all three directions', () => {
    const body = { mass: 80 };
    const { curves, options } = make({ pace: 'ordinary', body });
    const { frames, load } = weighCurves(curves, options);
    assertClose(frames[3].newtons, frames[3].load * 80 * 9.80665, { rel: 1e-12 });
    expect(frames[3]).toMatchObject({ frame: 3, time: 0.125 });
    assertClose(frames[3].height, evaluate(curves.height, 0.125), { abs: 1e-12 });
    assertClose(load.mean, 1, { abs: 1e-3 });
    const sum = frames.reduce((total, { forward }) => total + forward!, 0) / frames.length;
    assertClose(sum, 0, { abs: 0.01 });
  });

  it('weighs an open path too: a body that falls weighs nothing', () => {
    const times = Array.from({ length: 13 }, (_, i) => i / 24);
    const key = (t: number) => ({
      time: t,
      value: 2 - 4.903325 * t * t,
      in: { span: 1 / 12, slope: -9.80665 * t },
      out: { span: 1 / 12, slope: -9.80665 * t },
    });
    const height = {
      keys: [key(0), key(0.25), key(0.5)],
      start: 0,
      before: 'holds',
      after: 'holds',
    } as const;
    const report = weighCurves({ height }, { of: 'centreOfMass', fps: 24 });
    expect(report.frames.length).toBe(times.length);
    // Thirds of the segment make the curve the parabola itself.
    for (const { load } of report.frames.slice(0, -1)) assertClose(load, 0, { abs: 1e-9 });
  });
});

describe('the truth table', () => {
  it('has at least 60 sound walks and 60 faults, of every code', () => {
    expect(sound.length).toBeGreaterThanOrEqual(60);
    expect(faulty.length).toBeGreaterThanOrEqual(60);
    const codes: FindingCode[] = [
      'pull',
      'mean-load',
      'floaty',
      'too-hard',
      'loop-pop-value',
      'loop-pop-slope',
      'loop-pop-load',
      'kink',
      'wrong-phase',
      'surge-reversed',
      'surge-missing',
      'straight-ramp',
      'skate',
      'uneven-steps',
      'limp',
      'repeated-frame',
      'keys-off-frames',
      'few-frames',
      'centimetres',
      'frames-as-seconds',
    ];
    expect([...new Set(faulty.map(({ fault }) => fault))].sort()).toEqual(codes.sort());
  });

  it.each(sound.map((entry) => [entry.name, entry] as const))(
    'finds nothing in %s',
    (_, { curves, options }) => {
      expect(weighCurves(curves, options).findings.map(({ text }) => text)).toEqual([]);
    },
  );

  it.each(faulty.map((entry) => [entry.fault, entry.name, entry] as const))(
    'finds %s in %s',
    (fault, _, entry) => {
      const { findings } = weighCurves(entry.curves, entry.options);
      const finding = findings.find(({ code }) => code === fault);
      expect(finding, findings.map(({ code }) => code).join()).toBeDefined();
      expect(Number.isFinite(finding!.measured.value) && Number.isFinite(finding!.suggestion.value)).toBe(
        true,
      );
      expect(finding!.frames.length).toBeGreaterThan(0);
      expect(finding!.text).toMatch(/^[A-Z].*\.$/);
    },
  );
});

describe('any planned walk', () => {
  it('is sound on the scale, whoever walks it, how heavily, and at which frame rate', () => {
    const one = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    const walks = fc.record({
      legLength: one(0.4, 3),
      v: one(0.15, 0.72),
      gravity: fc.constantFrom(9.80665, 1.62, 3.7),
      heft: fc.constantFrom(0, 0.5, 1),
      factor: one(0.85, 1.15),
      poseTiming: fc.constantFrom(0, 0.5, 1),
      fps: fc.constantFrom(24, 25, 30, 60),
      of: fc.constantFrom('root' as const, 'centreOfMass' as const),
    });
    fc.assert(
      fc.property(walks, ({ legLength, v, gravity, heft, factor, poseTiming, fps, of }) => {
        const pace = { speed: v * Math.sqrt(gravity * legLength) };
        const spec = { pace, body: { legLength }, gravity, heft, poseTiming, stepFactor: 1.12 * factor };
        const { curves, options } = make(spec, { fps, of });
        // Steps of fewer than 4 frames are found, and rightly.
        const findings = weighCurves(curves, options).findings.filter(({ code }) => code !== 'few-frames');
        expect(findings.map(({ text }) => text)).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });
});

describe('declaring what is meant', () => {
  it('excuses a flat sneak and an uneven limp, and only those', () => {
    const sneak = make({ pace: 'ordinary', swing: 0 });
    const codes = (gait: 'walk' | 'sneak' | 'limp', made = sneak) =>
      weighCurves(made.curves, { ...made.options, gait }).findings.map(({ code }) => code);
    expect(codes('walk')).toContain('floaty');
    expect(codes('limp')).toContain('floaty');
    expect(codes('sneak')).not.toContain('floaty');
    const limp = make({ pace: 'slow', uneven: { left: { stepTime: 0.8 } } }, { feet: true });
    expect(codes('walk', limp)).toContain('uneven-steps');
    expect(codes('limp', limp)).not.toContain('uneven-steps');
  });

  it('refuses what is missing or unknown, by name', () => {
    const { curves, options } = make({ pace: 'ordinary' });
    const weigh = (change: object) => () => weighCurves(curves, { ...options, ...change } as never);
    expect(weigh({ of: undefined })).toThrow(
      'weighCurves: of must be one of "centreOfMass", "root", got undefined',
    );
    expect(weigh({ fps: 0 })).toThrow('weighCurves: fps must be in (0, 100000] Hz, got 0');
    expect(weigh({ steps: 1.5 })).toThrow('steps must be a whole number in [1, 64], got 1.5');
    expect(weigh({ speed: 1 })).toThrow('options must have no fields but of');
    expect(() =>
      weighCurves({ height: { times: [0, 1, 2, 3], values: [0, 0, Number.NaN, 0] } }, options),
    ).toThrow('height.values[2] must be a finite number in m, got NaN');
    expect(() => weighCurves({ height: { times: [0, 2, 1, 3], values: [0, 0, 0, 0] } }, options)).toThrow(
      'height.times[2] must be > 2 s, got 1',
    );
  });
});

describe('what was keyed', () => {
  const walk = planWalk({ pace: 'ordinary' });

  it('is taken whole, as paths picked out of it are', () => {
    for (const of of ['root', 'centreOfMass'] as const) {
      const keyed = keyRoot(walk, { fps: 24, of });
      const { height, forward, side } = keyed;
      expect(weighCurves(keyed, { of, fps: 24 })).toEqual(
        weighCurves({ height, forward, side }, { of, fps: 24 }),
      );
    }
    const shot = planShot({ stretches: [{ steps: 6 }] });
    const { root, feet } = keyMotion(shot, { fps: 24, of: 'root' });
    const { height, forward, side } = root;
    expect(weighCurves({ ...root, feet }, { of: 'root', fps: 24 })).toEqual(
      weighCurves({ height, forward, side, feet: [feet.left, feet.right] }, { of: 'root', fps: 24 }),
    );
    expect(() => weighCurves({ ...root, hieght: 1 } as never, { of: 'root', fps: 24 })).toThrow(
      'got "hieght"',
    );
  });

  it('is repaired whole, and its feet come back as they came', () => {
    const { root, feet } = keyMotion(walk, { fps: 24, of: 'root' });
    const options = { of: 'root', fps: 24 } as const;
    const { curves } = repair({ ...root, feet }, [], options);
    expect(curves.feet).toEqual({ left: feet.left, right: feet.right });
    expect(repair({ ...root, feet: [feet.left, feet.right] }, [], options).curves.feet).toEqual([
      feet.left,
      feet.right,
    ]);
  });

  it('is not weighed as what it says it is not', () => {
    const keyed = keyRoot(walk, { fps: 24, of: 'root' });
    const options = { of: 'centreOfMass', fps: 24 } as const;
    const rule = 'of must be what of says, "centreOfMass", got "root"';
    expect(() => weighCurves(keyed, options)).toThrow(`weighCurves: curves.${rule}`);
    expect(() => weighCurves({ height: keyed.height }, options)).toThrow(`weighCurves: height.${rule}`);
    expect(() => repair({ height: keyed.height }, [], options)).toThrow(`repair: height.${rule}`);
  });

  it('never has a frame −0', () => {
    const keyed = keyRoot(walk, { fps: 24, of: 'root' });
    const { frames } = weighCurves(keyed, { of: 'root', fps: 24 });
    expect(Object.is(frames[0].frame, 0)).toBe(true);
    expect(Object.is(frames[0].time, 0)).toBe(true);
  });
});

describe('a first frame that is shown twice', () => {
  const frames = (shape: (i: number) => number) => ({
    times: Array.from({ length: 24 }, (_, i) => i / 24),
    values: Array.from({ length: 24 }, (_, i) => 1 + 0.01 * shape(i)),
    period: 1,
  });
  const codes = (height: ReturnType<typeof frames>) =>
    weighCurves({ height }, { of: 'centreOfMass', fps: 24 }).findings.map(({ code }) => code);

  it('is not two level frames on either side of an extreme', () => {
    // Frames 23 and 0 lie half a frame before and after the highest point.
    expect(codes(frames((i) => Math.cos((4 * Math.PI * (i + 0.5)) / 24)))).not.toContain('repeated-frame');
  });

  it('is a pose that the motion passes through and stops in', () => {
    expect(codes(frames((i) => Math.sin((4 * Math.PI * (i % 23)) / 23)))).toContain('repeated-frame');
  });
});
