/** What a document is handed in beside its motion: keyed root, turns, feet and followers, checked against its span. */
import { requireCurve } from '../curves/check-curve.js';
import type { Curve, Tracked } from '../curves/curve.js';
import type { FrameRate } from '../curves/time/frame-rate.js';
import type { KeyedMotion } from '../gait/key-motion.js';
import type { PoseTurns } from '../gait/pose/pose-series.js';
import type { KeyedShotMotion } from '../gait/shot-keys/key-shot-motion.js';
import type { Channels } from '../gait/walk.js';
import { errorOf, refuseAny, requireArray, requireChoice, requireRecord, show } from '../internal/check.js';
import { schemaProblems } from './check-schema.js';
import type { DocumentFollower, DocumentRoot, DocumentTurns } from './document.js';
import { MOTION_DOCUMENT_SCHEMA } from './document-schema.js';
import { framesPerSecond, readFrameRate } from './frame-rate.js';

/** A keyed path as `keyRoot` gives it, or the root of what `keyMotion` gives. */
export interface GivenRoot extends Channels<Curve> {
  /** Frames per second of the keys, where that is known. */
  readonly fps?: number;
  /** Whose path. Default: what its height says it is the path of. */
  readonly of?: Tracked;
  readonly heading?: Curve;
  readonly error?: DocumentRoot['error'];
}

/** Keyed turns, or all that `keyMotion` gives. */
export interface GivenTurns extends PoseTurns<Curve> {
  /** Frames per second of the keys, where that is known. */
  readonly fps?: number;
  /** Largest error in rad. */
  readonly error?: number | { readonly turns: number };
}

/** A whole motion as `keyMotion` gives it. */
export type GivenKeys = KeyedMotion | KeyedShotMotion;

/** What the curves of a document have to fit. */
interface DocumentSpan {
  readonly frameRate: FrameRate;
  /** Length in s. */
  readonly duration: number;
  /** The way of a cycle in m; only where the motion repeats. */
  readonly stride?: number;
}

const CHANNELS = ['height', 'forward', 'side'] as const;

/** How far apart lengths and times may be and still be the same, relative. */
const SAME = 1e-6;

const near = (a: number, b: number): boolean => Math.abs(a - b) <= SAME * Math.max(Math.abs(a), Math.abs(b));

/** Checks what is handed in for one document. */
export class GivenReader {
  constructor(
    private readonly where: string,
    private readonly span: DocumentSpan,
  ) {}

  /** The root with whose path it is, checked. */
  root(field: string, given: GivenRoot): DocumentRoot {
    const { where, span } = this;
    requireRecord(where, field, given);
    this.rate(field, given);
    for (const channel of CHANNELS) this.curve(`${field}.${channel}`, given[channel]);
    if (given.heading !== undefined) this.curve(`${field}.heading`, given.heading);
    const { height, forward, side, heading, error } = given;
    if (span.stride !== undefined && !near(forward.gain ?? 0, span.stride)) {
      const rule = `must be ${span.stride} m, the way of a cycle: key the document's own walk, travelling`;
      this.refuse(`${field}.forward.gain`, rule, show(forward.gain));
    }
    // A shot's body moves up to its end, whichever channel it is that does.
    const last = forward.keys.length - 1;
    const end = Math.max(...[height, forward, side].map(({ keys }) => keys[keys.length - 1].time));
    if (span.stride === undefined && end < span.duration - this.frame)
      this.refuseEnd(`${field}.forward`, last, end);
    const of = requireChoice<Tracked>(where, `${field}.of`, given.of ?? height.of, ['centreOfMass', 'root']);
    return { of, height, forward, side, ...(heading ? { heading } : {}), ...(error ? { error } : {}) };
  }

  /** The turns and their error, checked. */
  turns(field: string, given: GivenTurns): DocumentTurns {
    const { where } = this;
    requireRecord(where, field, given);
    this.rate(field, given);
    for (const part of ['pelvis', 'chest', 'head'] as const) {
      requireRecord(where, `${field}.${part}`, given[part]);
      for (const turn of ['heading', 'roll', 'pitch'] as const)
        this.curve(`${field}.${part}.${turn}`, given[part][turn]);
    }
    requireRecord(where, `${field}.arms`, given.arms);
    for (const side of ['left', 'right'] as const) {
      requireRecord(where, `${field}.arms.${side}`, given.arms[side]);
      for (const turn of ['pitch', 'elbow'] as const)
        this.curve(`${field}.arms.${side}.${turn}`, given.arms[side][turn]);
    }
    const { pelvis, chest, head, arms } = given;
    const error = typeof given.error === 'object' ? given.error?.turns : given.error;
    return { pelvis, chest, head, arms, ...(error === undefined ? {} : { error }) };
  }

  /** A whole keyed motion, checked: its root with its error, its turns, and its feet as they are. */
  keyed(field: string, given: GivenKeys): { root: DocumentRoot; turns: DocumentTurns } {
    const { where } = this;
    requireRecord(where, field, given);
    this.rate(field, given);
    requireChoice(where, `${field}.space`, given.space, ['travelling']);
    const error = requireRecord(where, `${field}.error`, given.error) as GivenKeys['error'];
    requireRecord(where, `${field}.feet`, given.feet);
    for (const side of ['left', 'right'] as const) {
      const at = `${field}.feet.${side}`;
      const foot = given.feet[side];
      requireRecord(where, at, foot);
      for (const name of [...CHANNELS, 'pitch', 'toeBend'] as const) this.curve(`${at}.${name}`, foot[name]);
      requireArray(where, `${at}.contacts`, foot.contacts, 1);
      requireArray(where, `${at}.plants`, foot.plants, 1);
      requireRecord(where, `${at}.shape`, foot.shape);
      requireRecord(where, `${at}.error`, foot.error);
    }
    requireRecord(where, `${field}.root`, given.root);
    return {
      root: this.root(`${field}.root`, { of: given.of, ...given.root, error: error.root }),
      turns: this.turns(field, given),
    };
  }

  /** Followers, each with a name of its own; their curves may go on behind the end of what does not repeat. */
  followers(given: readonly DocumentFollower[]): readonly DocumentFollower[] {
    const { where } = this;
    requireArray(where, 'followers', given);
    const { properties, $defs } = MOTION_DOCUMENT_SCHEMA;
    const schema = { ...properties?.followers, ...($defs ? { $defs } : {}) };
    refuseAny(
      where,
      schemaProblems(given, schema).map((problem) => ({ ...problem, field: `followers${problem.field}` })),
    );
    const taken = new Map<string, number>();
    given.forEach(({ name, curve }, i) => {
      const other = taken.get(name);
      if (other !== undefined)
        this.refuse(`followers[${i}].name`, `must not be that of followers[${other}]`, show(name));
      taken.set(name, i);
      this.curve(`followers[${i}].curve`, curve, true);
    });
    return given;
  }

  /** Keys that say which frames they lie on have to lie on the scene's. */
  private rate(field: string, given: { readonly fps?: number }): void {
    if (given.fps === undefined) return;
    const { where, span } = this;
    const own = framesPerSecond(readFrameRate(where, `${field}.fps`, given.fps));
    const wanted = framesPerSecond(span.frameRate);
    if (!near(own, wanted)) this.refuse(`${field}.fps`, `must be ${wanted} Hz, as in the scene`, show(own));
  }

  private curve(field: string, given: unknown, follows = false): void {
    const { period, keys } = requireCurve(this.where, given, field);
    const { duration, stride } = this.span;
    if (stride === undefined) {
      if (period !== undefined) {
        const rule = `must be left out, as the shot does not repeat: ${follows ? 'follow' : 'key'} the shot itself`;
        this.refuse(`${field}.period`, rule, show(period));
      }
      const end = keys[keys.length - 1].time;
      if (!follows && end > duration + this.frame) this.refuseEnd(field, keys.length - 1, end);
      return;
    }
    // What follows may take several cycles to come round.
    const cycles = follows && period !== undefined ? Math.max(1, Math.round(period / duration)) : 1;
    if (period === undefined ? follows : near(period, cycles * duration)) return;
    const whole = 'snapToFrames(walk, { fps }) or the walk that keyMotion returns';
    const rule = `must be ${follows ? 'a whole number of times ' : ''}${duration} s, the cycle on whole frames: ${follows ? 'follow' : 'key'} ${whole}`;
    this.refuse(`${field}.period`, rule, show(period));
  }

  /** A frame in s, with room for rounding. */
  private get frame(): number {
    return (1 + SAME) / framesPerSecond(this.span.frameRate);
  }

  private refuseEnd(field: string, last: number, end: number): never {
    const rule = `must be ${this.span.duration} s, the end of the shot: key the shot itself`;
    this.refuse(`${field}.keys[${last}].time`, rule, show(end));
  }

  private refuse(field: string, rule: string, got: string): never {
    throw errorOf(this.where, { field, rule, got, kind: 'range' });
  }
}
