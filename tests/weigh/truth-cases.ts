import type { Curve, Key } from '../../src/curves/index.js';
import { evaluate } from '../../src/curves/index.js';
import { footTracks, keyRoot, planWalk, type WalkSpec } from '../../src/gait/index.js';
import type {
  FindingCode,
  SampledPath,
  WeighedCurves,
  WeighedFoot,
  WeighOptions,
} from '../../src/weigh/index.js';

/** One entry of the truth table: curves, how they are declared, and the fault that was built in. */
export interface TruthCase {
  readonly name: string;
  readonly curves: WeighedCurves;
  readonly options: WeighOptions;
  /** Nothing for a sound case. */
  readonly fault?: FindingCode;
}

interface Made {
  readonly curves: WeighedCurves & { height: Curve; forward: Curve; side: Curve };
  readonly options: WeighOptions;
}

interface Making {
  readonly fps?: number;
  readonly of?: 'centreOfMass' | 'root';
  readonly keysPerStep?: number;
  readonly feet?: boolean;
  readonly wholeFrames?: boolean;
  readonly keyPoses?: boolean;
}

/** A keyed walk and the options that declare it. */
export function make(spec: WalkSpec, how: Making = {}): Made {
  const { fps = 24, of = 'root', keysPerStep, feet = false, wholeFrames, keyPoses } = how;
  const keyed = keyRoot(planWalk(spec), { fps, of, keysPerStep, wholeFrames, keyPoses });
  const { height, forward, side } = keyed;
  const tracks = feet ? footTracks(planWalk(spec), { fps }) : undefined;
  return {
    curves: { height, forward, side, ...(tracks ? { feet: [tracks.left, tracks.right] } : {}) },
    options: { of, fps, body: spec.body, gravity: spec.gravity },
  };
}

/** The curve with every key changed. */
export function withKeys(curve: Curve, change: (key: Key, i: number) => Key): Curve {
  return { ...curve, keys: curve.keys.map(change) };
}

/** Values about their mean times a factor. */
export function scaled(curve: Curve, by: number): Curve {
  const mean = curve.keys.reduce((sum, { value }) => sum + value, 0) / curve.keys.length;
  const turn = ({ span, slope }: Key['in']) => ({ span, slope: slope * by });
  return withKeys(curve, (key) => ({
    ...key,
    value: mean + (key.value - mean) * by,
    in: turn(key.in),
    out: turn(key.out),
  }));
}

/** Times and spans times a factor, slopes divided by it. */
export function stretched(curve: Curve, by: number): Curve {
  const turn = ({ span, slope }: Key['in']) => ({ span: span * by, slope: slope / by });
  return {
    ...withKeys(curve, (key) => ({ ...key, time: key.time * by, in: turn(key.in), out: turn(key.out) })),
    start: curve.start * by,
    ...(curve.period === undefined ? {} : { period: curve.period * by }),
  };
}

/** The curve later by some seconds, its keys brought back into the cycle. */
export function shifted(curve: Curve, by: number): Curve {
  const { start, period = 1 } = curve;
  const keys = curve.keys
    .map((key) => {
      const turn = (key.time + by - start) / period;
      // Where the sum rounds to a whole cycle the key is at the start.
      const part = turn - Math.floor(turn + 1e-9);
      return { ...key, time: start + Math.max(0, part) * period };
    })
    .sort((a, b) => a.time - b.time);
  return { ...curve, keys };
}

/** Values on every frame of a loop. */
export function baked(curve: Curve, fps: number, extra = 0): SampledPath {
  const { period = 1, gain = 0 } = curve;
  const count = Math.round(period * fps);
  const frames = Array.from({ length: count + extra }, (_, i) => i);
  return {
    times: frames.map((i) => i / fps),
    // An extra frame shows the first pose again, a whole cycle further on.
    values: frames.map((i) => (i < count ? evaluate(curve, i / fps) : evaluate(curve, 0) + gain)),
    period: (count + extra) / fps,
    gain,
  };
}

/** Sound walks: nothing may be found in them. */
export function soundCases(): TruthCase[] {
  const cases: TruthCase[] = [];
  const add = (name: string, made: Made, options: Partial<WeighOptions> = {}): void => {
    cases.push({ name, curves: made.curves, options: { ...made.options, ...options } });
  };
  for (const pace of ['slow', 'ordinary', 'brisk'] as const) {
    for (const of of ['root', 'centreOfMass'] as const) {
      for (const keysPerStep of [4, 6, 8]) {
        add(`${pace}, ${of}, ${keysPerStep} keys a step`, make({ pace }, { of, keysPerStep }));
      }
    }
    for (const fps of [25, 30, 60]) add(`${pace} at ${fps} fps`, make({ pace }, { fps }));
    add(`${pace} with feet`, make({ pace }, { feet: true }));
    const plain = make({ pace });
    const samples = {
      height: baked(plain.curves.height, 24),
      forward: baked(plain.curves.forward, 24),
      side: baked(plain.curves.side, 24),
    };
    cases.push({ name: `${pace} baked on every frame`, curves: samples, options: plain.options });
    add(`${pace}, left foot first`, make({ pace, firstFoot: 'left' }));
    add(`${pace}, low and high as charted, with feet`, make({ pace, poseTiming: 1 }, { feet: true }));
  }
  for (const speed of [0.5, 0.7, 1, 1.4, 1.8, 2])
    add(`${speed} m/s`, make({ pace: { speed } }, { feet: true }));
  for (const heft of [0.3, 0.6, 1]) add(`heft ${heft}`, make({ pace: 'ordinary', heft }, { feet: true }));
  const giantess = { legLength: 3.6, mass: 4000 };
  add('the giantess at 2.6 m/s', make({ pace: { speed: 2.6 }, body: giantess }, { feet: true }));
  add('the giantess at 1.7 m/s', make({ pace: { speed: 1.7 }, body: giantess }));
  const child = { legLength: 0.5, mass: 16 };
  add('the child at 0.9 m/s', make({ pace: { speed: 0.9 }, body: child }, { feet: true }));
  add('the child at 0.6 m/s, 60 fps', make({ pace: { speed: 0.6 }, body: child }, { fps: 60 }));
  add('on the Moon at 0.6 m/s', make({ pace: { speed: 0.6 }, gravity: 1.62 }, { feet: true }));
  add('on the Moon at 0.4 m/s', make({ pace: { speed: 0.4 }, gravity: 1.62 }));
  add('the porter with a sea chest of 40 kg', make({ pace: 'slow', carry: { mass: 40, where: 'front' } }));
  add('twelve frames a step', make({ pace: { framesPerStep: 12, fps: 24 } }, { feet: true }));
  add('sixteen frames a step', make({ pace: { framesPerStep: 16, fps: 24 } }, { feet: true }));
  add('twenty-four frames a step', make({ pace: { framesPerStep: 24, fps: 24 } }, { feet: true }));
  add('keys on the poses', make({ pace: 'ordinary' }, { keyPoses: true, feet: true }));
  for (const swing of [0, 0.1]) {
    add(`a sneak of swing ${swing}`, make({ pace: 'slow', swing }), { gait: 'sneak' });
  }
  for (const stepTime of [0.9, 1.12]) {
    add(`a limp of ${stepTime}`, make({ pace: 'slow', uneven: { left: { stepTime } } }), { gait: 'limp' });
  }
  add('a limp of unequal load', make({ pace: 'ordinary', uneven: { left: { loadShare: 0.44 } } }), {
    gait: 'limp',
  });
  return cases;
}

const PACES = ['slow', 'ordinary', 'brisk'] as const;

/** Walks with one known fault each. */
export function faultyCases(): TruthCase[] {
  const cases: TruthCase[] = [];
  const add = (
    fault: FindingCode,
    name: string,
    made: Made,
    curves: Partial<WeighedCurves>,
    options: Partial<WeighOptions> = {},
  ): void => {
    cases.push({
      fault,
      name,
      curves: { ...made.curves, ...curves },
      options: { ...made.options, ...options },
    });
  };
  for (const pace of PACES) {
    const made = make({ pace }, { keysPerStep: 6 });
    const walked = make({ pace }, { keysPerStep: 6, feet: true });
    const { height, forward, side } = made.curves;
    const period = height.period!;
    const step = period / 2;
    add('pull', `${pace}, rise and fall × ${pace === 'slow' ? 16 : 5}`, made, {
      height: scaled(height, pace === 'slow' ? 16 : 5),
    });
    add('too-hard', `${pace}, rise and fall × ${pace === 'slow' ? 4 : 2.6}`, made, {
      height: scaled(height, pace === 'slow' ? 4 : 2.6),
    });
    add('floaty', `${pace}, rise and fall × 0.2`, made, { height: scaled(height, 0.2) });
    add('floaty', `${pace}, no rise and fall`, made, { height: scaled(height, 0) });
    const broken = (at: number, by: number): Curve =>
      withKeys(height, (key, i) =>
        i === at ? { ...key, out: { ...key.out, slope: key.out.slope + by } } : key,
      );
    add('kink', `${pace}, slope broken by 0.1 m/s at a key`, made, { height: broken(2, 0.1) });
    add('kink', `${pace}, slope broken by −0.3 m/s at a key`, made, { height: broken(3, -0.3) });
    add('mean-load', `${pace}, slope broken by 0.3 m/s at a key`, made, { height: broken(2, 0.3) });
    add('loop-pop-slope', `${pace}, slope broken by 0.2 m/s at the seam`, made, { height: broken(0, 0.2) });
    add('loop-pop-value', `${pace}, height gains 4 mm a loop`, made, {
      height: { ...height, gain: 0.004, before: 'travels', after: 'travels' },
    });
    // An open curve that is meant to loop and ends 6 mm too high.
    const last = { ...height.keys[0], time: period, value: height.keys[0].value + 0.006 };
    const { period: _, gain: __, ...open } = height;
    add(
      'loop-pop-value',
      `${pace}, open, ends 6 mm high`,
      made,
      {
        height: { ...open, keys: [...height.keys, last], before: 'holds', after: 'holds' },
      },
      { loops: true },
    );
    add(
      'loop-pop-slope',
      `${pace}, open, arrives flat`,
      made,
      {
        height: {
          ...open,
          keys: [
            { ...height.keys[0], out: { span: height.keys[0].out.span, slope: 0.25 } },
            ...height.keys.slice(1),
            { ...last, value: height.keys[0].value, in: { span: 0, slope: 0 } },
          ],
          before: 'holds',
          after: 'holds',
        },
      },
      { loops: true },
    );
    const bent = withKeys(height, (key, i) =>
      i === 0
        ? { ...key, out: { ...key.out, span: key.out.span * 0.15 } }
        : i === height.keys.length - 1
          ? { ...key, out: { ...key.out, span: key.out.span } }
          : key,
    );
    if (pace !== 'slow')
      add('loop-pop-load', `${pace}, handle at the seam shortened to 15 %`, made, { height: bent });
    if (pace !== 'slow') {
      for (const part of [0.3, -0.3, 0.5]) {
        add('wrong-phase', `${pace}, height late by ${part} of a step`, walked, {
          height: shifted(height, part * step),
          forward: shifted(forward, 0),
        });
      }
    }
    // Half a step later the speed is highest when the body is.
    const held = evaluate(forward, 0);
    add('surge-reversed', `${pace}, surges half a step late`, made, {
      forward: lateSurge(forward, step / 2, held),
    });
    add('surge-missing', `${pace}, surges × 0.2`, made, { forward: surgeScaled(forward, 0.2) });
    add('straight-ramp', `${pace}, one straight ramp`, made, { forward: surgeScaled(forward, 0) });
    const feet = walked.curves.feet as readonly WeighedFoot[];
    for (const mm of [4, 30]) {
      const drift = mm / 1000 / (0.4 * period);
      add('skate', `${pace}, the left foot creeps ${mm} mm`, walked, {
        feet: [{ ...feet[0], forward: creeping(feet[0].forward, drift) }, feet[1]],
      });
    }
    add('skate', `${pace}, both feet go 8 mm aside and back`, walked, {
      feet: feet.map((foot) => ({ ...foot, side: aside(foot.side!, 0.008) })),
    });
    const frame = 1 / 24;
    const late = (curve: Curve): Curve =>
      withKeys(curve, (key) =>
        key.time > 0.45 * period && key.time < 0.95 * period ? { ...key, time: key.time + frame } : key,
      );
    add(
      'uneven-steps',
      `${pace}, one landing a frame late`,
      walked,
      { height: late(height) },
      {
        landings: [0, step + frame],
      },
    );
    add('uneven-steps', `${pace}, one low two frames late`, made, { height: warped(height, 2 * frame) });
    add('limp', `${pace}, one step rises half as much`, made, { height: halfFlat(height, 24) });
    const samples = (extra: number) => ({
      height: baked(height, 24, extra),
      forward: baked(forward, 24, extra),
      side: baked(side, 24, extra),
    });
    add('repeated-frame', `${pace}, baked, the first frame again at the end`, made, samples(1));
    const off = (curve: Curve, by: number): Curve =>
      withKeys(curve, (key, i) => (i === 1 ? { ...key, time: key.time + by * frame } : key));
    add('keys-off-frames', `${pace}, one key 0.4 frames late`, made, { height: off(height, 0.4) });
    add(
      'keys-off-frames',
      `${pace}, keyed for 30 fps and weighed at 24`,
      make({ pace }, { fps: 30 }),
      {},
      { fps: 24 },
    );
    add('centimetres', `${pace}, in centimetres`, made, {
      height: times100(height),
      forward: times100(forward),
      side: times100(side),
    });
    add('centimetres', `${pace}, height alone in centimetres`, made, {
      height: times100(height),
      forward: undefined,
    });
    add('frames-as-seconds', `${pace}, frames for seconds`, made, {
      height: stretched(height, 24),
      forward: stretched(forward, 24),
      side: stretched(side, 24),
    });
  }
  const quick = { pace: { framesPerStep: 3, fps: 24, speed: 1.2 }, body: { legLength: 0.3 } } as const;
  add('few-frames', 'the child running on threes', make(quick), {});
  add('few-frames', 'a walk keyed at 6 fps', make({ pace: 'brisk' }, { fps: 6 }), {});
  add('few-frames', 'an ordinary walk keyed at 5 fps', make({ pace: 'ordinary' }, { fps: 5 }), {});
  return cases;
}

/** Surges about the even travel times a factor. */
function surgeScaled(forward: Curve, by: number): Curve {
  const { start, period = 1, gain = 0 } = forward;
  const speed = gain / period;
  const turn = ({ span, slope }: Key['in']) => ({ span, slope: speed + (slope - speed) * by });
  const level = forward.keys[0].value - speed * (forward.keys[0].time - start);
  return withKeys(forward, (key) => {
    const even = level + speed * (key.time - start);
    return { ...key, value: even + (key.value - even) * by, in: turn(key.in), out: turn(key.out) };
  });
}

/** The same travel with its surges later by some seconds. */
function lateSurge(forward: Curve, by: number, level: number): Curve {
  const { start, period = 1, gain = 0 } = forward;
  const speed = gain / period;
  const bare = withKeys(forward, (key) => ({
    ...key,
    value: key.value - speed * (key.time - start) - level,
    in: { ...key.in, slope: key.in.slope - speed },
    out: { ...key.out, slope: key.out.slope - speed },
  }));
  const moved = shifted({ ...bare, gain: 0 }, by);
  return {
    ...withKeys(moved, (key) => ({
      ...key,
      value: key.value + speed * (key.time - start) + level,
      in: { ...key.in, slope: key.in.slope + speed },
      out: { ...key.out, slope: key.out.slope + speed },
    })),
    gain,
  };
}

function creeping(curve: Curve, speed: number): Curve {
  return withKeys(curve, (key) => ({
    ...key,
    value: key.value + speed * key.time,
    in: { ...key.in, slope: key.in.slope + speed },
    out: { ...key.out, slope: key.out.slope + speed },
  }));
}

/** Aside by some metres in the middle of the cycle and back, along lines. */
function aside(curve: Curve, by: number): Curve {
  const { start, period = 1 } = curve;
  const flat = { span: 0, slope: 0 };
  const value = evaluate(curve, start);
  const key = { value, in: flat, out: flat, next: 'line' } as const;
  return {
    ...curve,
    keys: [
      { ...key, time: start },
      { ...key, time: start + period / 2, value: value + by },
    ],
  };
}

/** Times bent so that the middle of the cycle comes later by some seconds, its ends where they were. */
function warped(curve: Curve, by: number): Curve {
  const { start, period = 1 } = curve;
  const middle = start + period / 2;
  const bend = (t: number): number =>
    t <= middle
      ? start + (t - start) * (1 + (2 * by) / period)
      : start + period - (start + period - t) * (1 - (2 * by) / period);
  const rate = (t: number): number => (t < middle ? 1 + (2 * by) / period : 1 - (2 * by) / period);
  return withKeys(curve, (key) => {
    const near = 1e-9 * period;
    const turn = (tangent: Key['in'], r: number) => ({ span: tangent.span * r, slope: tangent.slope / r });
    return {
      ...key,
      time: bend(key.time),
      in: turn(key.in, rate(key.time - near < start ? start + period - near : key.time - near)),
      out: turn(key.out, rate(key.time + near)),
    };
  });
}

/** Every frame of a loop whose second step rises half as much as its first, passing over smoothly. */
function halfFlat(curve: Curve, fps: number): SampledPath {
  const path = baked(curve, fps);
  const mean = path.values.reduce((sum, value) => sum + value, 0) / path.values.length;
  const quarter = path.period! / 4;
  const size = (t: number): number => 0.75 + 0.25 * Math.cos((2 * Math.PI * (t - quarter)) / path.period!);
  return { ...path, values: path.values.map((value, i) => mean + (value - mean) * size(path.times[i])) };
}

function times100(curve: Curve): Curve {
  const turn = ({ span, slope }: Key['in']) => ({ span, slope: 100 * slope });
  return {
    ...withKeys(curve, (key) => ({ ...key, value: 100 * key.value, in: turn(key.in), out: turn(key.out) })),
    ...(curve.gain === undefined ? {} : { gain: 100 * curve.gain }),
  };
}
