import {
  errorOf,
  type Problem,
  refuseAny,
  requireChoice,
  requireRecord,
  show,
} from '../../internal/check.js';
import type { MotionDocument } from '../document.js';
import { requireDocument } from '../require-document.js';
import { resolveScene } from '../scene.js';
import { sceneAxes } from '../scene-axes.js';
import type { RigAdapter, RigChannel, RigCurve, RigMode } from './rig-adapter.js';
import { jumpsAt, jumpsAtEnd, toRigCurve } from './rig-curve.js';
import { rigSources } from './rig-sources.js';

/** Where a curve of the document goes. */
export interface RigTarget {
  /** Name of the rig's channel. */
  readonly channel: string;
  /** Factor on the value after all conversion. Default 1. */
  readonly scale?: number;
  /** Added to the value after all conversion, in the host's unit. Default 0. */
  readonly offset?: number;
}

/** Curves of a document, by the names of `rigSources`, and the rig's channels they go to. */
export type RigMapping = Readonly<Record<string, string | RigTarget>>;

/** How to apply. */
export interface ApplyOptions {
  /** Replace what the channels have (default), or lay the curves over it. */
  readonly mode?: RigMode;
  /** Say what would be done and do nothing. Default false. */
  readonly dryRun?: boolean;
  /** Leave locked channels alone instead of refusing. Default false. */
  readonly skipLocked?: boolean;
}

/** What happens, or would happen, to one channel. */
export interface RigChange {
  readonly source: string;
  readonly channel: string;
  readonly action: RigMode | 'skip';
  /** Keys that the channel had, and has now. */
  readonly keysBefore: number;
  readonly keysAfter: number;
  /** First and last frame of the new keys. */
  readonly frames: readonly [number, number];
  /** Lowest and highest value of the new keys, in the host's unit. */
  readonly values: readonly [number, number];
}

/** What was done, or would be. */
export interface RigReport {
  /** Whether anything was written. */
  readonly applied: boolean;
  readonly changes: readonly RigChange[];
  /** Why nothing could be written; only a dry run returns any, otherwise the first is thrown. */
  readonly problems: readonly Problem[];
}

/** A channel's curve, ready to be written. */
interface Job {
  readonly change: RigChange;
  readonly curve: RigCurve;
  /** Gives the channel what it had. */
  readonly undo: () => unknown;
}

/**
 * Gives a rig the curves of a motion, all of them or none: in the host's frames, unit of length, axes and
 * unit of angle, key by key without loss.
 *
 * Everything is checked before anything is written: a curve that jumps at a key is refused where the rig's
 * facts do not say `jumps`. If the host still fails at a channel, those written before are given back what
 * they had, to the bit where the adapter has `takeCopy` and `putBack`. A `writeKeys` that returns a promise is
 * refused: all of them or none cannot be said of what is still to come.
 *
 * @param document - a motion document
 * @param adapter - the host's rig
 * @param mapping - names of the document's curves, and the channels they go to
 * @param options - replace or add, dry run, locked channels
 * @returns what was done to each channel
 * @throws RangeError or TypeError naming field, rule and value; an Error whose `cause` is the host's, where
 * writing fails
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { applyToRig, type RigAdapter, type RigCurve, toDocument } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 0.01, fps: 24, firstFrame: 1 } as const;
 * const kept = new Map<string, RigCurve | undefined>();
 * const rig: RigAdapter = {
 *   facts: { ...scene, angles: 'degrees', layers: false },
 *   channels: () => [{ name: 'hips.lift', kind: 'length' }],
 *   readKeys: (channel) => kept.get(channel),
 *   writeKeys: (channel, curve) => kept.set(channel, curve),
 * };
 * const document = toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene });
 * const { changes } = applyToRig(document, rig, { 'root.height': 'hips.lift' });
 * console.log(changes[0].frames.join(' to ')); // → 1 to 27
 * ```
 */
export function applyToRig(
  document: MotionDocument,
  adapter: RigAdapter,
  mapping: RigMapping,
  options: ApplyOptions = {},
): RigReport {
  const where = 'applyToRig';
  requireDocument(where, document);
  requireRecord(where, 'adapter', adapter);
  const { angles } = requireRecord(where, 'adapter.facts', adapter.facts);
  requireChoice(where, 'adapter.facts.angles', angles, ['radians', 'degrees']);
  requireRecord(where, 'options', options, ['mode', 'dryRun', 'skipLocked']);
  requireRecord(where, 'mapping', mapping);
  const { mode = 'replace', dryRun = false, skipLocked = false } = options;
  requireChoice(where, 'mode', mode, ['replace', 'add']);
  const { jobs, problems } = planJobs(document, adapter, mapping, mode, skipLocked);
  const changes = jobs.map(({ change }) => change);
  if (dryRun) return { applied: false, changes, problems };
  refuseAny(where, problems);
  writeAll(
    adapter,
    jobs.filter(({ change }) => change.action !== 'skip'),
    mode,
  );
  return { applied: true, changes, problems: [] };
}

function planJobs(
  document: MotionDocument,
  adapter: RigAdapter,
  mapping: RigMapping,
  mode: RigMode,
  skipLocked: boolean,
) {
  const problems: Problem[] = [];
  const refuse = (field: string, rule: string, got: unknown): void => {
    problems.push({ field, rule, got: show(got), kind: 'range' });
  };
  const { angles, layers, jumps = false, ...spec } = adapter.facts;
  const scene = resolveScene('applyToRig', spec);
  const axes = sceneAxes(scene);
  if (mode === 'add' && !layers) refuse('mode', 'must be "replace" on a rig without layers', mode);
  const sources = rigSources(document);
  const channels = new Map(adapter.channels().map((channel) => [channel.name, channel]));
  const taken = new Map<string, string>();
  const jobs: Job[] = [];
  for (const [name, given] of Object.entries(mapping)) {
    const target: RigTarget = typeof given === 'string' ? { channel: given } : given;
    const field = `mapping["${name}"]`;
    const source = sources.get(name);
    const channel = channels.get(target?.channel);
    const { scale = 1, offset = 0 } = target ?? {};
    if (!source) refuse(field, `must be one of ${[...sources.keys()].join(', ')}`, name);
    else if (!channel) refuse(field, 'must name a channel of the rig', target?.channel);
    else if (taken.has(channel.name))
      refuse(field, `must not share a channel with ${taken.get(channel.name)}`, channel.name);
    else if (source.kind !== channel.kind)
      refuse(field, `must name a channel of the kind ${source.kind}`, `${channel.name}, ${channel.kind}`);
    else if (!Number.isFinite(scale) || !Number.isFinite(offset))
      refuse(field, 'must have a finite scale and offset', scale);
    else if (channel.locked && !skipLocked) refuse(field, 'must not name a locked channel', channel.name);
    else if (!jumps && source.curve.keys.some(jumpsAt)) {
      const at = source.curve.keys.find(jumpsAt)?.time;
      refuse(field, 'must not jump at a key on a rig without jumps', `a jump at ${at} s`);
    } else if (jumpsAtEnd(source.curve)) {
      refuse(field, 'must not jump at its seam where it travels before its keys and not behind them', name);
    } else {
      taken.set(channel.name, name);
      const unit =
        source.kind === 'length' ? 1 / scene.metersPerUnit : angles === 'degrees' ? 180 / Math.PI : 1;
      const factor = axes[source.channel].sign * unit * scale;
      const curve = toRigCurve(source.curve, { scene, factor, offset });
      jobs.push(jobOf(name, channel, curve, adapter, mode));
    }
  }
  return { jobs, problems };
}

function jobOf(name: string, channel: RigChannel, curve: RigCurve, adapter: RigAdapter, mode: RigMode): Job {
  const before = adapter.readKeys(channel.name, mode);
  const values = curve.keys.map(({ value }) => value);
  const { keys } = curve;
  const change: RigChange = {
    source: name,
    channel: channel.name,
    action: channel.locked ? 'skip' : mode,
    keysBefore: before?.keys.length ?? 0,
    keysAfter: channel.locked ? (before?.keys.length ?? 0) : keys.length,
    frames: [keys[0].frame, keys[keys.length - 1].frame],
    values: [Math.min(...values), Math.max(...values)],
  };
  return { change, curve, undo: undoOf(adapter, channel.name, before, mode) };
}

/** What gives a channel back what it has now: the host's own copy where it makes one, else its keys. */
function undoOf(
  adapter: RigAdapter,
  channel: string,
  before: RigCurve | undefined,
  mode: RigMode,
): () => unknown {
  if (adapter.takeCopy === undefined || adapter.putBack === undefined) {
    return () => adapter.writeKeys(channel, before, mode);
  }
  const copy = adapter.takeCopy(channel, mode);
  return () => adapter.putBack?.(channel, copy, mode);
}

/** Writes all, or gives back what was there and says at which channel the host failed, and how. */
function writeAll(adapter: RigAdapter, jobs: readonly Job[], mode: RigMode): void {
  jobs.forEach(({ change, curve }, i) => {
    const takeBack = (rule: string): string => {
      const kept = jobs
        .slice(0, i + 1)
        .reverse()
        .filter(({ undo }) => !succeeds(undo));
      return kept.length === 0
        ? `${rule}; what was written before it has been taken back`
        : `${rule}; what was written before it could not be taken back from ${kept.map((job) => job.change.channel).join(', ')}`;
    };
    let answer: unknown;
    try {
      answer = adapter.writeKeys(change.channel, curve, mode);
    } catch (cause) {
      const error = errorOf('applyToRig', {
        field: `channel ${show(change.channel)}`,
        rule: takeBack('must be writable'),
        got: wordsOf(cause),
        kind: 'range',
      });
      throw Object.assign(error, { cause });
    }
    if (!isPromise(answer)) return;
    silence(answer);
    const rule = takeBack('must write before it returns, as nothing waits for a promise');
    throw errorOf('applyToRig', { field: 'adapter.writeKeys', rule, got: 'a promise', kind: 'type' });
  });
}

function isPromise(value: unknown): value is PromiseLike<unknown> {
  return typeof (value as { then?: unknown } | undefined | null)?.then === 'function';
}

/** Nobody waits for a refused promise, so nobody is to be told of its failure. */
function silence(promise: PromiseLike<unknown>): void {
  promise.then(undefined, () => {});
}

/** The host's own words on one line. */
function wordsOf(cause: unknown): string {
  return cause instanceof Error ? String(cause).replace(/\s+/g, ' ') : show(cause);
}

/** Whether it is done by now: what a promise does later is nobody's to tell. */
function succeeds(act: () => unknown): boolean {
  try {
    const answer = act();
    if (!isPromise(answer)) return true;
    silence(answer);
  } catch {
    // Told by the answer.
  }
  return false;
}
