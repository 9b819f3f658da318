import {
  chartFollower,
  chartForces,
  chartRoot,
  type MotionDocument,
  toCsv,
  toDocument,
  toGlb,
  toUsd,
} from '../src/exchange/index.js';
import { keyRoot, planWalk, snapToFrames } from '../src/gait/index.js';
import { followBounce } from '../src/secondary/index.js';
import type { Role } from './cast.js';
import { SCENE } from './scene.js';

/** What is asked of the height's keys: a third of a millimetre is under a pixel for a figure on any screen. */
const TOLERANCE = 0.0003;

/** One walk of the cast, and its files by name. */
export interface MadeWalk {
  readonly document: MotionDocument;
  readonly files: ReadonlyMap<string, string | Uint8Array>;
}

/** Plans, keys and charts one walk. */
export async function makeWalk({ file, name, spec, part, hangs }: Role): Promise<MadeWalk> {
  const { fps } = SCENE;
  const walk = snapToFrames(planWalk(spec), { fps });
  const { name: partName, ...spring } = part;
  const root = keyRoot(walk, { fps, of: 'root', tolerance: TOLERANCE });
  const follower = followBounce(walk, spring, { keys: { fps } });
  const keyed = follower.keyed?.height;
  if (!keyed) throw new Error(`${name}: the ${partName} has no keys`);
  const document = toDocument(walk, {
    name,
    scene: SCENE,
    root,
    followers: [
      {
        name: partName,
        unit: 'm',
        channel: 'height',
        space: 'relative',
        curve: keyed.curve,
        error: keyed.error.value.max,
        part: { name: partName, kind: 'bounce', carrier: 'hips', ...hangs },
      },
    ],
  });
  const { glb } = await toGlb(document, { space: 'onTheSpot' });
  const files = new Map<string, string | Uint8Array>([
    [`${file}.json`, `${JSON.stringify(document, null, 1)}\n`],
    [`${file}.csv`, toCsv(document)],
    [`${file}.usda`, toUsd(document)],
    [`${file}.glb`, glb],
    [`${file}-forces.svg`, chartForces(document)],
    [`${file}-root.svg`, chartRoot(document)],
    [`${file}-follower.svg`, chartFollower(document, document.followers[0])],
  ]);
  return { document, files };
}
