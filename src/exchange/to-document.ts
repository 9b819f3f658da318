import type { Curve } from '../curves/curve.js';
import type { FootTrack } from '../gait/feet/foot-tracks.js';
import { keyMotion } from '../gait/key-motion.js';
import { keyRoot } from '../gait/key-root.js';
import { requireMotion } from '../gait/motion.js';
import type { Shot } from '../gait/shot/shot.js';
import type { KeyedShotMotion } from '../gait/shot-keys/key-shot-motion.js';
import { lastFrameOf } from '../gait/shot-keys/shot-frames.js';
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
import { type GivenKeys, GivenReader, type GivenRoot, type GivenTurns } from './given-keys.js';
import { LIBRARY_VERSION } from './library-version.js';
import { sampleForces } from './sample-forces.js';
import { resolveScene, type Scene, type SceneSpec } from './scene.js';
import { settleSpan, standingOn } from './settle-span.js';

/** What goes into a document beside the motion. */
export interface DocumentOptions {
  /** Name for readers, any text in any language. */
  readonly name: string;
  /** Axes, scale, frame rate and first frame of the host; all of it required. */
  readonly scene: SceneSpec;
  /** Keyed path, with its error, as `keyRoot` gives it. Default: the root, keyed to the defaults of `keyRoot`. */
  readonly root?: GivenRoot;
  /** Keyed turns of the body, as `keyMotion` gives them. Default: keyed to the defaults of `keyMotion`. */
  readonly turns?: GivenTurns;
  /** What `keyMotion` gives, travelling: root, turns and feet in one, in place of `root` and `turns`. */
  readonly keyed?: GivenKeys;
  /** Keyed followers, as `followerCurves` gives them. Default none. */
  readonly followers?: readonly DocumentFollower[];
  /** Force samples per frame; whole, in [1, 64]. Default 8. */
  readonly samplesPerFrame?: number;
}

/** Tolerance in m of a root that is keyed on the way and not used. */
const UNSEEN = 1;

const FIELDS = ['name', 'scene', 'root', 'turns', 'keyed', 'followers', 'samplesPerFrame'];

/**
 * One document of everything about a motion: curves, forces, feet, followers, chart and notes, with the
 * conventions of the scene it goes to.
 *
 * A walk is brought onto the scene's whole frames as `snapToFrames` does; a shot keeps its times, and its
 * curves are open. Both are keyed where no keys are given, and their forces are sampled on whole parts of
 * frames. Keys and followers have to be of the motion as it is told: of the walk on whole frames. Where those
 * of a shot that ends standing settle after its end, the span goes on to where the last of them ends.
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
  const { name, samplesPerFrame = 8 } = options;
  if (typeof name !== 'string') {
    refuseAny(where, [{ field: 'name', rule: 'must be a string', got: show(name), kind: 'type' }]);
  }
  const scene = resolveScene(where, options.scene);
  requireNumber(where, 'samplesPerFrame', samplesPerFrame, { whole: true, min: 1, max: 64 });
  const given = requireMotion(where, motion);
  if (options.keyed !== undefined) {
    const twice = (['root', 'turns'] as const).find((field) => options[field] !== undefined);
    const rule = 'must be left out beside keyed';
    if (twice) refuseAny(where, [{ field: twice, rule, got: show(options[twice]), kind: 'range' }]);
  }
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
    turns: turnsOf(turns),
    forces: sampleForces(of, scene.frameRate, samplesPerFrame, rest.span.duration),
  };
}

/** What differs between documents of kinds of motion. */
interface Content extends Pick<MotionDocument, 'pace' | 'span' | 'chart' | 'followers' | 'notes'> {
  readonly root: DocumentRoot;
  readonly turns: DocumentTurns;
  readonly feet: Sides<FootTrack & { readonly heading?: Curve }>;
  /** The motion that is told: the given one, brought onto whole frames where it repeats. */
  readonly of: Motion;
}

function contentOf(where: string, motion: Motion, scene: Scene, options: DocumentOptions): Content {
  if (motion.kind === 'walk') return walkContent(where, motion, scene, options);
  if (motion.kind === 'shot') return shotContent(where, motion, scene, options);
  const { kind } = motion as { kind: unknown };
  const rule = 'must be "walk" or "shot": other motions have no keys';
  throw errorOf(where, { field: 'motion.kind', rule, got: show(kind), kind: 'range' });
}

function walkContent(
  where: string,
  given: Walk,
  { frameRate, firstFrame }: Scene,
  options: DocumentOptions,
): Content {
  const fps = framesPerSecond(frameRate);
  const walk = snapToFrames(given, { fps });
  const { strideTime: duration, strideLength: stride } = walk.pace;
  const reader = new GivenReader(where, { frameRate, duration, stride });
  const followers = reader.followers(options.followers ?? []);
  const rest = {
    of: walk,
    pace: walk.pace,
    span: { start: 0, duration, repeats: true },
    followers,
    chart: marksOf(timingChart(walk, { fps, firstFrame, wholeFrames: false }).marks),
    notes: walk.notes,
  };
  const { keyed } = options;
  if (keyed !== undefined) return { ...rest, ...reader.keyed('keyed', keyed), feet: keyed.feet };
  const root = options.root === undefined ? undefined : reader.root('root', options.root);
  const turns = options.turns === undefined ? undefined : reader.turns('turns', options.turns);
  const { feet, error, ...turned } = keyMotion(walk, { fps, of: 'root', tolerance: UNSEEN });
  return {
    ...rest,
    root: root ?? keyRoot(walk, { fps, of: 'root' }),
    feet,
    turns: turns ?? { ...turned, error: error.turns },
  };
}

/** A shot keeps its own times; its curves are open, end on a whole frame and hold there. */
function shotContent(
  where: string,
  shot: Shot,
  { frameRate, firstFrame }: Scene,
  options: DocumentOptions,
): Content {
  const fps = framesPerSecond(frameRate);
  const frames = lastFrameOf(shot, fps);
  const duration = timeOfFrames(frameRate, frames);
  const reader = new GivenReader(where, { frameRate, duration });
  const followers = reader.followers(options.followers ?? []);
  const given = options.keyed === undefined ? undefined : reader.keyed('keyed', options.keyed);
  const root = options.root === undefined ? undefined : reader.root('root', options.root);
  const turns = options.turns === undefined ? undefined : reader.turns('turns', options.turns);
  const keyed = (options.keyed as KeyedShotMotion | undefined) ?? keyMotion(shot, { fps, of: 'root' });
  const settled = settleSpan(shot, frameRate, frames, followers);
  const last = timeOfFrames(frameRate, settled.frames);
  const standing = <T extends FootTrack>(foot: T): T =>
    settled.frames > frames ? standingOn(foot, shot.duration, last) : foot;
  return {
    of: shot,
    span: { start: 0, duration: last, repeats: false },
    root:
      given?.root ??
      (root
        ? { heading: keyed.root.heading, ...root }
        : { of: keyed.of, ...keyed.root, error: keyed.error.root }),
    feet: { left: standing(keyed.feet.left), right: standing(keyed.feet.right) },
    turns: given?.turns ?? turns ?? { ...keyed, error: keyed.error.turns },
    followers,
    chart: marksOf(timingChart(shot, { fps, firstFrame }).marks),
    notes: [...shot.notes, ...keyed.notes, ...settled.notes],
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
