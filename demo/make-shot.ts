import {
  chartForces,
  chartRoot,
  followerCurves,
  toCsv,
  toDocument,
  toGlb,
  toPage,
  toUsd,
} from '../src/exchange/index.js';
import { planShot } from '../src/gait/index.js';
import { followCloth, followStrand, STRANDS } from '../src/secondary/index.js';
import { LAMPLIGHTER } from './cast.js';
import type { MadeWalk } from './make-walk.js';
import { SCENE } from './scene.js';

const FILE = 'lamplighter-round';

/** The skirts of a coat of heavy cloth. */
const COAT = {
  ...STRANDS.heavyCloth.part,
  links: 2,
  strands: 6,
  ring: true,
  radius: 0.16,
  flare: 0.15,
  frequencyHz: 1.2,
} as const;

/** What hair and coat are given to come to rest after the last step, in s. */
const SETTLE = 2;

/** The lamplighter sets out, hurries, turns the corner of the quay, climbs to the lamp and stops below it. */
export async function makeShot(): Promise<MadeWalk> {
  const { fps } = SCENE;
  const shot = planShot({
    body: LAMPLIGHTER,
    still: { before: 0.5, after: SETTLE },
    wholeFrames: { fps },
    stretches: [
      { pace: 'ordinary', steps: 4 },
      { pace: 'brisk', steps: 4 },
      { turn: { by: Math.PI / 2 }, steps: 4 },
      { stairs: { riser: 0.17, tread: 0.3 }, steps: 4 },
      { pace: 'slow', steps: 3 },
    ],
  });
  const hair = STRANDS.ponytail.part;
  const document = toDocument(shot, {
    name: 'The lamplighter’s round',
    scene: SCENE,
    followers: [
      ...followerCurves('hair', followStrand(shot, hair, { model: 'small', carrier: 'head' }), {
        fps,
        part: hair,
      }),
      ...followerCurves('coat', followCloth(shot, COAT), { fps, part: COAT }),
    ],
  });
  const { glb } = await toGlb(document);
  const files = new Map<string, string | Uint8Array>([
    [`${FILE}.json`, `${JSON.stringify(document)}\n`],
    [`${FILE}.csv`, toCsv(document)],
    [`${FILE}.usda`, toUsd(document)],
    [`${FILE}.glb`, glb],
    [`${FILE}.html`, toPage([document])],
    [`${FILE}-forces.svg`, chartForces(document)],
    [`${FILE}-root.svg`, chartRoot(document)],
  ]);
  return { document, files };
}
