import type { Curve, Key } from '../../src/curves/curve.js';
import { evaluateSeries, type Series } from '../../src/curves/series.js';
import type { MotionDocument } from '../../src/exchange/document.js';
import { framesPerSecond, readFrameRate } from '../../src/exchange/frame-rate.js';
import type { SceneSpec } from '../../src/exchange/scene.js';
import { toDocument } from '../../src/exchange/to-document.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { rootMotion } from '../../src/gait/root.js';
import { snapToFrames } from '../../src/gait/snap-to-frames.js';
import type { WalkSpec } from '../../src/gait/walk.js';

/** Metres, Y up, walking along +Z, 24 frames a second from frame 1. */
export const STAGE: SceneSpec = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 };

/** A series keyed at even times with its exact slopes; spans are shares of their segments. */
export function keySeries(
  series: Series,
  count: number,
  spans: readonly [number, number] = [1 / 3, 1 / 3],
): Curve {
  const { period, drift } = series;
  const length = period / count;
  const keys = Array.from({ length: count }, (_, i): Key => {
    const time = i * length;
    const { value, velocity: slope } = evaluateSeries(series, time);
    return { time, value, in: { span: spans[0] * length, slope }, out: { span: spans[1] * length, slope } };
  });
  const outside = drift === 0 ? 'loops' : 'travels';
  return { keys, start: 0, period, ...(drift === 0 ? {} : { gain: drift }), before: outside, after: outside };
}

/** Made up: what the keys' error is does not matter here. */
const ERROR = { max: 0.0002, at: 0.1, rms: 0.0001 };

/** What may be different from one example to the next. */
export interface Example {
  readonly name?: string;
  readonly spec?: WalkSpec;
  readonly scene?: Partial<SceneSpec>;
  readonly spans?: readonly [number, number];
}

/** A complete document whose curves are keyed here, so that no fit has a say in what is tested. */
export function exampleDocument({ name = 'Lamplighter', spec, scene, spans }: Example = {}): MotionDocument {
  const stage = { ...STAGE, ...scene };
  const fps = framesPerSecond(readFrameRate('test', 'fps', stage.fps));
  const walk = snapToFrames(planWalk(spec ?? { pace: 'ordinary' }), { fps });
  const { height, forward, side } = rootMotion(walk, { of: 'root' });
  const belly: Series = {
    ...height,
    mean: -0.004,
    cos: height.sin.map((x) => 0.5 * x),
    sin: height.cos.map((x) => -0.5 * x),
  };
  return toDocument(walk, {
    name,
    scene: stage,
    root: {
      of: 'root',
      height: keySeries(height, 8, spans),
      forward: keySeries(forward, 6, spans),
      side: keySeries(side, 4, spans),
      error: { height: { value: ERROR, load: ERROR, jump: { max: 0.01, at: 0 } } },
    },
    followers: [
      {
        name: 'belly',
        unit: 'm',
        channel: 'height',
        space: 'relative',
        curve: keySeries(belly, 8, spans),
        error: 0.0001,
      },
    ],
  });
}
