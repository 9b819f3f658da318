import type { MotionDocument } from '../../src/exchange/document.js';
import { followerCurves } from '../../src/exchange/document-followers.js';
import { toDocument } from '../../src/exchange/to-document.js';
import { planShot } from '../../src/gait/index.js';
import type { ShotSpec } from '../../src/gait/shot/shot-spec.js';
import { followBounce } from '../../src/secondary/index.js';
import { STAGE } from './example-document.js';

/** Shots of every sort that a document has to hold. */
export const SHOTS: Readonly<Record<string, ShotSpec>> = {
  'straight on': { stretches: [{ steps: 4 }] },
  'a turn': { stretches: [{ steps: 3 }, { steps: 4, turn: { by: 2.2 } }] },
  stairs: { stretches: [{ steps: 2 }, { steps: 4, stairs: { riser: 0.17, tread: 0.29 } }] },
  'downhill, walking in and out': { from: 'walking', to: 'walking', stretches: [{ steps: 5, slope: -0.1 }] },
};

const made = new Map<string, MotionDocument>();

/** The document of one of them, with a belly; made once. */
export function shotDocument(name: string): MotionDocument {
  const known = made.get(name);
  if (known) return known;
  const shot = planShot(SHOTS[name]);
  const belly = followBounce(shot, { frequencyHz: 2.8, dampingRatio: 0.35 });
  const followers = followerCurves('belly', belly, { fps: 24 });
  const document = toDocument(shot, { name, scene: STAGE, followers });
  made.set(name, document);
  return document;
}
