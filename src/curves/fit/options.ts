/** What a fit is asked for, read once: defaults filled in, unknown names and bad numbers refused. */
import {
  choiceProblem,
  errorOf,
  isRecord,
  numberProblem,
  type Problem,
  recordProblem,
  refuseAny,
  requireArray,
  show,
} from '../../internal/check.js';
import { checkCurve } from '../check-curve.js';
import type { Curve, Key, Outside, Tracked } from '../curve.js';
import { lowerBound, upperBound } from './grid.js';
import type { FitSource } from './source.js';

/** How the second derivative counts. */
export interface LoadOptions {
  /** Value units per unit of second derivative: how much value error one unit of second derivative is worth. */
  readonly weight: number;
  /** Bound asked of the root mean square error of the second derivative, in value units per s²; none if left out. */
  readonly tolerance?: number;
  /** Bound asked of the jump of the second derivative at a key, in value units per s²; none if left out. */
  readonly jump?: number;
}

/** Whole frames as the only places for keys. */
export interface FrameOptions {
  /** Frames per second, > 0; frame n lies at n / fps. */
  readonly fps: number;
  /** Keys on every n-th frame only: 1 (the default) for ones, 2 for twos. */
  readonly every?: number;
}

/** What `fitCurve` can be asked for; everything is optional. */
export interface FitOptions {
  /** Where the fit begins in s; the source's own start, or 0. */
  readonly start?: number;
  /** Where it ends in s, for an open curve; the source's own end. Not together with `period`. */
  readonly end?: number;
  /** Length of the cycle in s; the source's own. Not together with `end`. */
  readonly period?: number;
  /** Gain of the value over one period; the source's own, or 0. */
  readonly gain?: number;
  /** Behaviour before the curve; the source's own, or `loops` (`travels` with a gain), or `holds`. */
  readonly before?: Outside;
  /** Behaviour after the curve; as `before`. */
  readonly after?: Outside;
  /** Bound asked of the largest error in value; a thousandth of the source's range unless `keyCount` is given. */
  readonly tolerance?: number;
  /** How the second derivative counts; left out, only the value does. */
  readonly load?: LoadOptions;
  /** Whole frames as the only places for keys; anywhere if left out. */
  readonly frames?: FrameOptions;
  /** Times in s that have to carry a key; moved to the nearest frame where `frames` is given. */
  readonly keysAt?: readonly number[];
  /** Whether the places (frames) nearest the source's extremes have to carry a key; false. */
  readonly extremes?: boolean;
  /** Keys to use, instead of as many as the tolerance needs. */
  readonly keyCount?: number;
  /** Largest number of keys tried; 512. */
  readonly maxKeys?: number;
  /** Keys that stay bit-identical; the rest is solved round them. */
  readonly locked?: readonly Key[];
  /**
   * `fewest` (the default) searches the places of keys; a wider tolerance in value never needs more. `quick` takes the
   * longest segments in turn: about one widening in a hundred costs a key.
   */
  readonly search?: 'fewest' | 'quick';
  /** What the curve is the path of; the source's own. */
  readonly of?: Tracked;
  /** Metadata for the curve; the source's own. */
  readonly meta?: Curve['meta'];
}

const NAMES = [
  'start',
  'end',
  'period',
  'gain',
  'before',
  'after',
  'tolerance',
  'load',
  'frames',
  'keysAt',
  'extremes',
  'keyCount',
  'maxKeys',
  'locked',
  'search',
  'of',
  'meta',
];

const OUTSIDE = ['holds', 'straight', 'loops', 'travels'];

/** A request with its defaults filled in. */
export interface FitPlan {
  readonly start: number;
  /** Exclusive on a cycle. */
  readonly end: number;
  readonly cyclic: boolean;
  readonly period: number;
  readonly gain: number;
  readonly before: Outside;
  readonly after: Outside;
  readonly of?: Tracked;
  readonly meta?: Curve['meta'];
  readonly tolerance?: number;
  readonly load?: LoadOptions;
  readonly frames?: { readonly fps: number; readonly every: number };
  readonly keysAt: readonly number[];
  readonly extremes: boolean;
  readonly keyCount?: number;
  readonly maxKeys: number;
  readonly locked: readonly Key[];
  readonly search: 'fewest' | 'quick';
}

function loadProblems(load: unknown): (Problem | undefined)[] {
  if (load === undefined) return [];
  const shape = recordProblem('load', load, ['weight', 'tolerance', 'jump']);
  if (shape || !isRecord(load)) return [shape];
  return [
    numberProblem('load.weight', load.weight, { above: 0 }),
    load.tolerance === undefined ? undefined : numberProblem('load.tolerance', load.tolerance, { above: 0 }),
    load.jump === undefined ? undefined : numberProblem('load.jump', load.jump, { above: 0 }),
  ];
}

function frameProblems(frames: unknown): (Problem | undefined)[] {
  if (frames === undefined) return [];
  const shape = recordProblem('frames', frames, ['fps', 'every']);
  if (shape || !isRecord(frames)) return [shape];
  return [
    numberProblem('frames.fps', frames.fps, { above: 0 }),
    frames.every === undefined
      ? undefined
      : numberProblem('frames.every', frames.every, { min: 1, whole: true }),
  ];
}

function rangeOf(
  options: FitOptions,
  source: FitSource,
  where: string,
): { start: number; end: number; period: number } {
  const refuse = (field: string, rule: string, got: unknown): never => {
    throw errorOf(where, { field, rule, got: show(got), kind: 'range' });
  };
  if (options.end !== undefined && options.period !== undefined) {
    refuse('end', 'must be left out where period is given', options.end);
  }
  const start = options.start ?? source.start ?? 0;
  const period = options.period ?? (options.end === undefined ? source.period : undefined);
  if (period !== undefined) return { start, end: start + period, period };
  const end = options.end ?? source.end;
  if (end === undefined)
    return refuse('end', 'must be given, or period, for a source without a range', undefined);
  const single = source.samples?.length === 1;
  if (!(single ? end >= start : end > start))
    refuse('end', `must be > ${start} s, where the curve starts`, end);
  return { start, end, period: 0 };
}

/** Reads the options against a source. */
export function readPlan(options: FitOptions, source: FitSource, where: string): FitPlan {
  const has = (name: keyof FitOptions): boolean => options[name] !== undefined;
  refuseAny(where, [recordProblem('options', options, NAMES)]);
  refuseAny(where, [
    has('start') ? numberProblem('start', options.start, { unit: 's' }) : undefined,
    has('end') ? numberProblem('end', options.end, { unit: 's' }) : undefined,
    has('period') ? numberProblem('period', options.period, { above: 0, unit: 's' }) : undefined,
    has('gain') ? numberProblem('gain', options.gain) : undefined,
    has('before') ? choiceProblem('before', options.before, OUTSIDE) : undefined,
    has('after') ? choiceProblem('after', options.after, OUTSIDE) : undefined,
    has('tolerance') ? numberProblem('tolerance', options.tolerance, { above: 0 }) : undefined,
    has('keyCount') ? numberProblem('keyCount', options.keyCount, { min: 1, whole: true }) : undefined,
    has('maxKeys') ? numberProblem('maxKeys', options.maxKeys, { min: 1, whole: true }) : undefined,
    has('search') ? choiceProblem('search', options.search, ['fewest', 'quick']) : undefined,
    has('of') ? choiceProblem('of', options.of, ['centreOfMass', 'root']) : undefined,
    has('meta') ? recordProblem('meta', options.meta) : undefined,
    has('extremes') && typeof options.extremes !== 'boolean'
      ? { field: 'extremes', rule: 'must be true or false', got: show(options.extremes), kind: 'type' }
      : undefined,
    ...loadProblems(options.load),
    ...frameProblems(options.frames),
  ]);
  if (options.load && !source.hasSecond) {
    throw errorOf(where, {
      field: 'load',
      rule: 'must be left out for samples, which have no second derivative',
      got: 'an object',
      kind: 'range',
    });
  }
  const keysAt = has('keysAt') ? (requireArray(where, 'keysAt', options.keysAt) as readonly number[]) : [];
  const locked = has('locked') ? (requireArray(where, 'locked', options.locked) as readonly Key[]) : [];
  const { start, end, period } = rangeOf(options, source, where);
  if (source.samples && lowerBound(source.samples, start) === upperBound(source.samples, end)) {
    const field = has('end') ? 'end' : has('period') ? 'period' : 'start';
    const rule = `must leave a sample in the range from ${start} s to ${end} s`;
    throw errorOf(where, { field, rule, got: show(options[field]), kind: 'range' });
  }
  const cyclic = period > 0;
  const within = (field: string, t: unknown): Problem | undefined =>
    numberProblem(
      field,
      t,
      cyclic ? { min: start, below: end, unit: 's' } : { min: start, max: end, unit: 's' },
    );
  refuseAny(
    where,
    keysAt.map((t, i) => within(`keysAt[${i}]`, t)),
  );
  if (locked.length > 0) {
    const problem = checkCurve({ keys: locked, start, before: 'holds', after: 'holds' })[0];
    if (problem) throw errorOf(where, { ...problem, field: problem.field.replace(/^keys/, 'locked') });
    refuseAny(
      where,
      locked.map((key, i) => within(`locked[${i}].time`, key.time)),
    );
  }
  const gain = cyclic ? (options.gain ?? source.gain ?? 0) : 0;
  const outside = (given: Outside | undefined, own: Outside | undefined, side: string): Outside => {
    const usable = own !== undefined && (cyclic || own === 'holds' || own === 'straight') ? own : undefined;
    const chosen = given ?? usable ?? (cyclic ? (gain === 0 ? 'loops' : 'travels') : 'holds');
    if (!cyclic && (chosen === 'loops' || chosen === 'travels')) {
      const rule = 'must be "holds" or "straight" on a curve without a period';
      throw errorOf(where, { field: side, rule, got: show(chosen), kind: 'range' });
    }
    return chosen;
  };
  return {
    start,
    end,
    cyclic,
    period,
    gain,
    before: outside(options.before, source.before, 'before'),
    after: outside(options.after, source.after, 'after'),
    of: options.of ?? source.of,
    meta: options.meta ?? source.meta,
    tolerance: options.tolerance,
    load: options.load,
    frames: options.frames && { fps: options.frames.fps, every: options.frames.every ?? 1 },
    keysAt,
    extremes: options.extremes ?? false,
    keyCount: options.keyCount,
    maxKeys: options.maxKeys ?? 512,
    locked,
    search: options.search ?? 'fewest',
  };
}
