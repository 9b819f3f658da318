import type { Curve } from '../curves/curve.js';
import type { FootTrack } from '../gait/feet/foot-tracks.js';
import { keyMotion } from '../gait/key-motion.js';
import { keyRoot } from '../gait/key-root.js';
import { requireMotion } from '../gait/motion.js';
import type { Shot } from '../gait/shot/shot.js';
import { snapToFrames } from '../gait/snap-to-frames.js';
import { timingChart } from '../gait/timing-chart.js';
import type { Motion, Sides, Walk } from '../gait/walk.js';
import { errorOf, refuseAny, requireNumber, requireRecord, show } from '../internal/check.js';
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
import { framesPerSecond, timeOfFrames } from './frame-rate.js';
import { LIBRARY_VERSION } from './library-version.js';
import { sampleForces } from './sample-forces.js';
import { resolveScene, type Scene, type SceneSpec } from './scene.js';

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
 * A walk is brought onto the scene's whole frames as `snapToFrames` does; a shot keeps its times, and its
 * curves are open. Both are keyed where no keys are given, and their forces are sampled on whole parts of
 * frames.
 *
 * @param motion - a planned walk or shot
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
  const given = requireMotion(where, motion);
  const content = contentOf(where, given, scene, options);
  const { root, turns, feet, of, ...rest } = content;
  const { heading, error, ...channels } = root;
  return {
    format: DOCUMENT_FORMAT,
    version: DOCUMENT_VERSION,
    name,
    made: { by: 'underfoot', version: LIBRARY_VERSION, spec: of.spec },
    scene,
    units: { length: 'm', time: 's', angle: 'rad', force: 'BW', mass: 'kg' },
    body: of.body,
    gravity: of.gravity,
    ...rest,
    root: {
      of: channels.of,
      height: channels.height,
      forward: channels.forward,
      side: channels.side,
      ...(heading && turnsAtAll(heading) ? { heading } : {}),
      ...(error ? { error } : {}),
    },
    feet: { left: footOf(feet.left), right: footOf(feet.right) },
    turns: turnsOf(options.turns ?? turns),
    forces: sampleForces(of, scene.frameRate, samplesPerFrame, rest.span.duration),
    followers,
  };
}

/** What differs between documents of kinds of motion. */
interface Content extends Pick<MotionDocument, 'pace' | 'span' | 'chart' | 'notes'> {
  readonly root: DocumentRoot;
  readonly turns: DocumentTurns;
  readonly feet: Sides<FootTrack & { readonly heading?: Curve }>;
  /** The motion that is told: the given one, brought onto whole frames where it repeats. */
  readonly of: Motion;
}

function contentOf(where: string, motion: Motion, scene: Scene, options: DocumentOptions): Content {
  if (motion.kind === 'walk') return walkContent(motion, scene, options);
  if (motion.kind === 'shot') return shotContent(motion, scene, options);
  const { kind } = motion as { kind: unknown };
  const rule = 'must be "walk" or "shot": other motions have no keys';
  throw errorOf(where, { field: 'motion.kind', rule, got: show(kind), kind: 'range' });
}

function walkContent(given: Walk, { frameRate, firstFrame }: Scene, options: DocumentOptions): Content {
  const fps = framesPerSecond(frameRate);
  const walk = snapToFrames(given, { fps });
  const { feet, error, ...turned } = keyMotion(walk, { fps, of: 'root', tolerance: UNSEEN });
  return {
    of: walk,
    pace: walk.pace,
    span: { start: 0, duration: walk.pace.strideTime, repeats: true },
    root: options.root ?? keyRoot(walk, { fps, of: 'root' }),
    feet,
    turns: { ...turned, error: error.turns },
    chart: marksOf(timingChart(walk, { fps, firstFrame, wholeFrames: false }).marks),
    notes: walk.notes,
  };
}

/** A shot keeps its own times; its curves are open, end on a whole frame and hold there. */
function shotContent(shot: Shot, { frameRate, firstFrame }: Scene, options: DocumentOptions): Content {
  const fps = framesPerSecond(frameRate);
  const { feet, root, of, error, notes, frames, ...turned } = keyMotion(shot, { fps, of: 'root' });
  return {
    of: shot,
    span: { start: 0, duration: timeOfFrames(frameRate, frames), repeats: false },
    root: options.root ? { heading: root.heading, ...options.root } : { of, ...root, error: error.root },
    feet,
    turns: { ...turned, error: error.turns },
    chart: marksOf(timingChart(shot, { fps, firstFrame }).marks),
    notes: [...shot.notes, ...notes],
  };
}

function marksOf(marks: readonly DocumentMark[]): DocumentMark[] {
  return marks.map(({ pose, foot, time, frame }) => ({ pose, foot, time, frame }));
}

/** Whether a heading is ever another one than the first. */
function turnsAtAll({ keys }: Curve): boolean {
  return keys.some(({ value, in: before, out }) => value !== 0 || before.slope !== 0 || out.slope !== 0);
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

function footOf({
  height,
  forward,
  side,
  pitch,
  toeBend,
  heading,
  contacts,
  plants,
  shape,
  error,
}: Content['feet']['left']): DocumentFoot {
  const own = { height, forward, side, pitch, toeBend };
  const way = heading && turnsAtAll(heading) ? { heading } : {};
  return { ...own, ...way, contacts, plants, shape, error };
}
