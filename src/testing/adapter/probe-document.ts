import type { Curve } from '../../curves/curve.js';
import type { DocumentFollower, MotionDocument } from '../../exchange/document.js';
import { toDocument } from '../../exchange/to-document.js';
import { planWalk } from '../../gait/plan-walk.js';

const flat = { span: 0.1, slope: 0 };

/** Nothing at all, for a second. */
const STILL: Curve = {
  keys: [0, 1].map((time) => ({ time, value: 0, in: flat, out: flat })),
  start: 0,
  before: 'holds',
  after: 'holds',
};

let walk: MotionDocument | undefined;

/**
 * A real document whose curves laws may exchange, with a follower for each `part.` that is mapped: along
 * the height where its channel is a length, about the side where it is an angle.
 */
export function probeDocument(
  mapping: Readonly<Record<string, string>>,
  kinds: ReadonlyMap<string, 'length' | 'angle'>,
): MotionDocument {
  // The scene is not used: a rig has its own.
  const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 0 } as const;
  walk ??= toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene, samplesPerFrame: 1 });
  const followers = Object.entries(mapping)
    .filter(([source]) => source.startsWith('part.'))
    .map(([source, channel]): DocumentFollower => {
      const angle = kinds.get(channel) === 'angle';
      return {
        name: source.slice('part.'.length),
        unit: angle ? 'rad' : 'm',
        channel: angle ? 'side' : 'height',
        space: 'relative',
        curve: STILL,
      };
    });
  return { ...walk, followers };
}
