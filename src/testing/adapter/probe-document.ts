import type { Curve } from '../../curves/curve.js';
import type { DocumentFollower, DocumentTurns, MotionDocument } from '../../exchange/document.js';
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
 * the height where its channel is a length, about the side where it is an angle. It has the headings that a
 * straight walk leaves out, so that every name that a rig may be given is there.
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
  const { root, feet } = walk;
  return {
    ...walk,
    root: { ...root, heading: STILL },
    feet: { left: { ...feet.left, heading: STILL }, right: { ...feet.right, heading: STILL } },
    followers,
  };
}

/** The document with other curves in the places that mappings name. */
export function probeDocumentWith(
  template: MotionDocument,
  parts: Readonly<Record<string, Curve>>,
): MotionDocument {
  const { root, feet, turns, followers } = template;
  const take = <T extends object>(prefix: string, whole: T): T => {
    const changed = Object.entries(parts).filter(([name]) => name.startsWith(`${prefix}.`));
    return {
      ...whole,
      ...Object.fromEntries(changed.map(([name, curve]) => [name.slice(prefix.length + 1), curve])),
    };
  };
  const takeTurns = ({ pelvis, chest, head, arms, ...rest }: DocumentTurns): DocumentTurns => ({
    ...rest,
    pelvis: take('pelvis', pelvis),
    chest: take('chest', chest),
    head: take('head', head),
    arms: { left: take('leftArm', arms.left), right: take('rightArm', arms.right) },
  });
  return {
    ...template,
    root: take('root', root),
    feet: { left: take('left', feet.left), right: take('right', feet.right) },
    ...(turns ? { turns: takeTurns(turns) } : {}),
    followers: followers.map((follower) => ({
      ...follower,
      curve: parts[`part.${follower.name}`] ?? follower.curve,
    })),
  };
}
