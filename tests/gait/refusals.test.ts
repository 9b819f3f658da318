import { describe, expect, it } from 'vitest';
import {
  checkWalkSpec,
  planWalk,
  rootAt,
  sampleReactions,
  snapToFrames,
  timingChart,
  type WalkSpec,
} from '../../src/gait/index.js';

const walk = planWalk({ pace: 'ordinary' });

/** What was called, with what, and the one error that it must get. */
const refusals: [() => unknown, ErrorConstructor, string][] = [
  [
    () => planWalk({ pace: { strideLength: -1 } }),
    RangeError,
    'planWalk: pace.strideLength must be > 0 m, got -1',
  ],
  [() => planWalk({ pace: { speed: 0 } }), RangeError, 'planWalk: pace.speed must be > 0 m/s, got 0'],
  [
    () => planWalk({ pace: { speed: Number.NaN } }),
    RangeError,
    'planWalk: pace.speed must be > 0 m/s, got NaN',
  ],
  [
    () => planWalk({ pace: { strideRate: Number.POSITIVE_INFINITY } }),
    RangeError,
    'planWalk: pace.strideRate must be > 0 Hz, got Infinity',
  ],
  [
    () => planWalk({ pace: { speed: 1e9 } }),
    RangeError,
    'planWalk: pace.speed must be in [0.000001, 1000000] m/s, got 1000000000',
  ],
  [
    () => planWalk({ pace: { speed: '1' } } as never),
    TypeError,
    'planWalk: pace.speed must be a number > 0 m/s, got "1"',
  ],
  [
    () => planWalk({} as never),
    TypeError,
    'planWalk: pace must be "slow", "ordinary", "brisk" or an object of numbers, got undefined',
  ],
  [
    () => planWalk({ pace: {} }),
    RangeError,
    'planWalk: pace must have speed, strideLength, strideRate or framesPerStep, got an object',
  ],
  [
    () => planWalk({ pace: 'quick' } as never),
    RangeError,
    'planWalk: pace must be "slow", "ordinary", "brisk" or an object of numbers, got "quick"',
  ],
  [
    () => planWalk({ pace: { speed: 2, strideLength: 1, strideRate: 1 } }),
    RangeError,
    'planWalk: pace must have speed = strideLength × strideRate when all three are given, ' +
      'got speed 2, strideLength 1, strideRate 1',
  ],
  [
    () => planWalk({ pace: { framesPerStep: 12, fps: 24, strideRate: 2 } }),
    RangeError,
    'planWalk: pace must have strideRate = fps / (2 × framesPerStep), got strideRate 2, framesPerStep 12, fps 24',
  ],
  [
    () => planWalk({ pace: { framesPerStep: 12 } }),
    TypeError,
    'planWalk: pace.fps must be > 0 Hz, got undefined',
  ],
  [
    () => planWalk({ pace: { framesPerStep: 12, fps: 0 } }),
    RangeError,
    'planWalk: pace.fps must be > 0 Hz, got 0',
  ],
  [() => planWalk(null as never), TypeError, 'planWalk: spec must be an object, got null'],
  [() => planWalk({ pace: 'slow', gravity: 0 }), RangeError, 'planWalk: gravity must be > 0 m/s², got 0'],
  [
    () => planWalk({ pace: 'slow', body: { legLength: -0.9 } }),
    RangeError,
    'planWalk: body.legLength must be > 0 m, got -0.9',
  ],
  [
    () => planWalk({ pace: 'slow', stanceFraction: 0.5 }),
    RangeError,
    'planWalk: stanceFraction must be in (0.5, 0.85], got 0.5',
  ],
  [
    () => planWalk({ pace: 'slow', firstFoot: 'both' } as never),
    RangeError,
    'planWalk: firstFoot must be one of "left", "right", got "both"',
  ],
  [() => sampleReactions({} as never), RangeError, 'sampleReactions: motion.kind must be "walk"'],
  [
    () => sampleReactions(walk, { samples: 1.5 }),
    RangeError,
    'sampleReactions: samples must be a whole number in [1, 1000000], got 1.5',
  ],
  [() => rootAt(walk, Number.NaN), RangeError, 'rootAt: t must be a finite number in s, got NaN'],
  [() => rootAt(walk, 0, { of: 'hip' } as never), RangeError, 'rootAt: of must be one of'],
  [() => snapToFrames(walk, { fps: 0 }), RangeError, 'snapToFrames: fps must be > 0 Hz, got 0'],
  [() => timingChart(walk, { fps: -24 }), RangeError, 'timingChart: fps must be > 0 Hz, got -24'],
  [() => timingChart(walk, {} as never), TypeError, 'timingChart: fps must be > 0 Hz, got undefined'],
];

describe('bad input is refused with function, field, rule and value', () => {
  it.each(refusals.map(([call, type, message]) => ({ call, type, message })))(
    '$message',
    ({ call, type, message }) => {
      expect(call).toThrow(message);
      expect(call).toThrow(type);
    },
  );

  it('refuses a misspelt dial instead of ignoring it', () => {
    const spec = { pace: 'slow', stepwidth: 0.1 } as WalkSpec;
    expect(() => planWalk(spec)).toThrow(/planWalk: spec must have no fields but pace, .*, got "stepwidth"/);
  });

  it('is told all at once to tools that ask', () => {
    const problems = checkWalkSpec({
      pace: { speed: -1, strideRate: 'x' },
      gravity: Number.NaN,
      stepWidth: -1,
    });
    expect(problems.map(({ field, kind }) => `${field} ${kind}`)).toEqual([
      'pace.speed range',
      'pace.strideRate type',
      'gravity range',
      'stepWidth range',
    ]);
  });

  it('has no problems with what planWalk accepts', () => {
    expect(checkWalkSpec({ pace: 'brisk', body: { stature: 1.7 } })).toEqual([]);
  });
});
