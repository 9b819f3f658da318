import type { Curve } from '../curves/curve.js';
import type { FootTrack } from '../gait/feet/foot-tracks.js';
import { keyMotion } from '../gait/key-motion.js';
import { keyRoot } from '../gait/key-root.js';
import { requireWalk } from '../gait/motion.js';
import { snapToFrames } from '../gait/snap-to-frames.js';
import { timingChart } from '../gait/timing-chart.js';
import type { Motion, Walk } from '../gait/walk.js';
import { refuseAny, requireNumber, requireRecord, show } from '../internal/check.js';
import {
  DOCUMENT_FORMAT,
  DOCUMENT_VERSION,
  type DocumentFollower,
  type DocumentFoot,
  type DocumentMark,
  type DocumentRoot,
  type DocumentTurns,
  type MotionDocument,
} from './document.js';
import { framesPerSecond } from './frame-rate.js';
import { LIBRARY_VERSION } from './library-version.js';
import { sampleForces } from './sample-forces.js';
import { resolveScene, type SceneSpec } from './scene.js';

/** What goes into a document beside the motion. */
export interface DocumentOptions {
  /** Name for readers, any text in any language. */
  readonly name: string;
  /** Axes, scale, frame rate and first frame of the host; all of it required. */
  readonly scene: SceneSpec;
  /** Keyed path, with its error, as `keyRoot` gives it. Default: the root, keyed to the defaults of `keyRoot`. */
  readonly root?: DocumentRoot;
  /** Keyed turns of the body, as `keyMotion` gives them. Default: keyed to the defaults of `keyMotion`. */
  readonly turns?: DocumentTurns;
  /** Keyed followers, as `followerCurves` gives them. Default none. */
  readonly followers?: readonly DocumentFollower[];
  /** Force samples per frame; whole, in [1, 64]. Default 8. */
  readonly samplesPerFrame?: number;
}

/** Tolerance in m of a root that is keyed on the way and not used. */
const UNSEEN = 1;

const FIELDS = ['name', 'scene', 'root', 'turns', 'followers', 'samplesPerFrame'];

/**
 * One document of everything about a motion: curves, forces, feet, followers, chart and notes, with the
 * conventions of the scene it goes to.
 *
 * The walk is brought onto the scene's whole frames as `snapToFrames` does, keyed where no keys are given,
 * and its forces are sampled on whole parts of frames.
 *
 * @param motion - a planned walk
 * @param options - name and scene, both required; keys, followers, force samples per frame in [1, 64]
 * @returns plain read-only data that survives JSON
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { toDocument } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;
 * const document = toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene });
 * console.log(document.chart.map(({ pose, frame }) => `${pose} ${frame}`)[0]); // → contact 1
 * ```
 */
export function toDocument(motion: Motion, options: DocumentOptions): MotionDocument {
  const where = 'toDocument';
  requireRecord(where, 'options', options, FIELDS);
  const { name, followers = [], samplesPerFrame = 8 } = options;
  if (typeof name !== 'string') {
    refuseAny(where, [{ field: 'name', rule: 'must be a string', got: show(name), kind: 'type' }]);
  }
  const scene = resolveScene(where, options.scene);
  requireNumber(where, 'samplesPerFrame', samplesPerFrame, { whole: true, min: 1, max: 64 });
  const fps = framesPerSecond(scene.frameRate);
  const walk = snapToFrames(requireWalk(where, motion), { fps });
  const { height, forward, side, of, error } = options.root ?? keyRoot(walk, { fps, of: 'root' });
  const { feet, ...turned } = keyMotion(walk, { fps, of: 'root', tolerance: UNSEEN });
  return {
    format: DOCUMENT_FORMAT,
    version: DOCUMENT_VERSION,
    name,
    made: { by: 'underfoot', version: LIBRARY_VERSION, spec: walk.spec },
    scene,
    units: { length: 'm', time: 's', angle: 'rad', force: 'BW', mass: 'kg' },
    body: walk.body,
    gravity: walk.gravity,
    pace: walk.pace,
    span: { start: 0, duration: walk.pace.strideTime, repeats: true },
    root: { of, height, forward, side, ...(error ? { error } : {}) },
    feet: { left: footOf(feet.left), right: footOf(feet.right) },
    turns: turnsOf(options.turns ?? { ...turned, error: turned.error.turns }),
    forces: sampleForces(walk, scene.frameRate, samplesPerFrame),
    chart: chartOf(walk, fps, scene.firstFrame),
    followers,
    notes: walk.notes,
  };
}

/** Only the turns and their error, without what else `keyMotion` gives. */
function turnsOf({ pelvis, chest, head, arms, error }: DocumentTurns): DocumentTurns {
  const turn = ({ heading, roll, pitch }: DocumentTurns['pelvis']) => ({
    heading: plain(heading),
    roll: plain(roll),
    pitch: plain(pitch),
  });
  const arm = ({ pitch, elbow }: DocumentTurns['arms']['left']) => ({
    pitch: plain(pitch),
    elbow: plain(elbow),
  });
  return {
    pelvis: turn(pelvis),
    chest: turn(chest),
    head: turn(head),
    arms: { left: arm(arms.left), right: arm(arms.right) },
    ...(error === undefined ? {} : { error }),
  };
}

/** A time of −0 would come back from JSON as 0, and the document as another one. */
function plain(curve: Curve): Curve {
  return { ...curve, keys: curve.keys.map((key) => ({ ...key, time: key.time + 0 })) };
}

function footOf(track: FootTrack): DocumentFoot {
  const { height, forward, side, pitch, toeBend, contacts, plants, shape, error } = track;
  return { height, forward, side, pitch, toeBend, contacts, plants, shape, error };
}

function chartOf(walk: Walk, fps: number, firstFrame: number): DocumentMark[] {
  const { marks } = timingChart(walk, { fps, firstFrame, wholeFrames: false });
  return marks.map(({ pose, foot, time, frame }) => ({ pose, foot, time, frame }));
}
