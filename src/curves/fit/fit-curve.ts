import { errorOf } from '../../internal/check.js';
import type { Curve, Key } from '../curve.js';
import { anchorPlan } from './anchor.js';
import { type Bench, FINALISTS, fitPlacements, hopeless } from './attempt.js';
import { followLongest } from './follow-longest.js';
import { followSamples } from './follow-samples.js';
import { curveOf, type Layout } from './layout.js';
import { type FitError, measureFit } from './measure.js';
import { fewestKeys, unavoidableError } from './needed.js';
import { type FitOptions, type FitPlan, readPlan } from './options.js';
import { closeCycle, holdEnds, joined } from './samples.js';
import { DIVISION, divisionFor, PER_FRAME, setUp } from './set-up.js';
import { type FitSource, readSource, type Source } from './source.js';

/** A fitted curve and how well it does. */
export interface FitResult {
  readonly curve: Curve;
  /** Errors re-measured on a grid at least four times finer than the one that fitted. */
  readonly error: FitError;
  /** Whether every tolerance that was asked for is met by those errors. */
  readonly met: boolean;
}

/** How much finer the grid that measures is. */
const FINER = 5;

/** What the quick search's tolerance is multiplied by where the errors between its points were too large. */
const STRICTER = 0.9;

/** Divisions of the grid for the quick search. */
const QUICK_DIVISION = 32;

/** Share of the source's range that is the tolerance where none is given. */
const DEFAULT_TOLERANCE = 1e-3;

/** The tolerance where none is given: a share of the source's range, or its rounding where that is wider. */
function defaultTolerance(bench: Bench): number {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const list of [bench.grid.value, bench.places.value]) {
    for (const v of list) {
      low = Math.min(low, v);
      high = Math.max(high, v);
    }
  }
  const rounding = 16 * Number.EPSILON * Math.max(Math.abs(low), Math.abs(high));
  return Math.max(DEFAULT_TOLERANCE * (high - low), rounding);
}

/** Into how many equal parts the cycle may be cut so that one is fitted and repeated; 1 where it may not. */
function partsOf(plan: FitPlan, source: FitSource): number {
  if (!plan.cyclic || source.parts === 1 || plan.locked.length > 0 || plan.period !== source.period) return 1;
  for (let parts = source.parts; parts > 1; parts--) {
    if (source.parts % parts !== 0) continue;
    if (plan.keyCount !== undefined && plan.keyCount % parts !== 0) continue;
    const length = plan.period / parts;
    const folded = new Set(
      plan.keysAt.map((t) => {
        const turn = (t - plan.start) / length;
        return Math.round((turn - Math.floor(turn + 1e-9)) * 1e6);
      }),
    );
    if (folded.size * parts !== plan.keysAt.length) continue;
    if (!plan.frames) return parts;
    const frames = length * plan.frames.fps;
    if (Math.abs(frames - Math.round(frames)) < 1e-6 && Math.round(frames) % plan.frames.every === 0)
      return parts;
  }
  return 1;
}

function partPlan(plan: FitPlan, parts: number): FitPlan {
  if (parts === 1) return plan;
  const period = plan.period / parts;
  const end = plan.start + period;
  return {
    ...plan,
    period,
    end,
    gain: plan.gain / parts,
    keysAt: plan.keysAt.filter((t) => t < end - 1e-9 * period),
    keyCount: plan.keyCount === undefined ? undefined : plan.keyCount / parts,
    maxKeys: Math.max(1, Math.floor(plan.maxKeys / parts)),
  };
}

/** The fitted part set side by side until the whole cycle is full. */
function repeatKeys(curve: Curve, plan: FitPlan, parts: number): Curve {
  const keys: Key[] = [];
  const { fps } = plan.frames ?? { fps: 0 };
  for (let p = 0; p < parts; p++) {
    for (const key of curve.keys) {
      const later = key.time + (plan.period * p) / parts;
      const time = fps ? Math.round(later * fps) / fps : later;
      keys.push({ ...key, time, value: key.value + (plan.gain * p) / parts });
    }
  }
  return { ...curve, keys, period: plan.period, ...(plan.gain ? { gain: plan.gain } : {}) };
}

interface Attempt {
  readonly curve: Curve;
  readonly error: FitError;
  /** Largest ratio of an error to its tolerance; ≤ 1 where all are met. */
  readonly excess: number;
}

function measured(bench: Bench, source: FitSource, layout: Layout, tolerance: number): Attempt {
  const { plan } = bench;
  const { start, end, cyclic, period, gain, before, after, of, meta } = plan;
  const curve = curveOf(layout, {
    start,
    period: cyclic ? period : undefined,
    gain,
    before,
    after,
    of,
    meta,
  });
  const density = (FINER * bench.grid.count) / (end - start);
  const error = measureFit(curve, source, start, end, density);
  return { curve, error, excess: excessOf(error, plan, tolerance) };
}

function errorAt({ value, load, jump }: FitError, timeBack: (t: number) => number): FitError {
  const moved = { value: { ...value, at: timeBack(value.at) } };
  if (!load || !jump) return moved;
  return { ...moved, load: { ...load, at: timeBack(load.at) }, jump: { ...jump, at: timeBack(jump.at) } };
}

function excessOf(error: FitError, plan: FitPlan, tolerance: number): number {
  let excess = tolerance === Number.POSITIVE_INFINITY ? 0 : ratio(error.value.max, tolerance);
  if (plan.load?.tolerance && error.load)
    excess = Math.max(excess, ratio(error.load.rms, plan.load.tolerance));
  if (plan.load?.jump && error.jump) excess = Math.max(excess, ratio(error.jump.max, plan.load.jump));
  return excess;
}

const ratio = (x: number, bound: number): number => (x <= bound ? 1 : x / bound);

/** Numbers of keys tried after `keys`: one more each time, a twentieth more from forty on. */
const nextCount = (keys: number): number => keys + Math.max(1, Math.floor(keys / 20));

/** Keys added for each locked one, and for the seam, where no number of keys meets the tolerance. */
const KEYS_AROUND = 2;

/** Keys that would do if the locked ones stood on the source, and a cycle of samples did not have to close. */
function keysAround(plan: FitPlan, source: FitSource, tolerance: number): number {
  const keysAt = [...plan.keysAt, ...plan.locked.map((key) => key.time)];
  const ends = { before: 'holds', after: 'holds' } as const;
  const open = source.samples ? { cyclic: false, period: 0, gain: 0, ...ends } : {};
  return fewest({ ...plan, ...open, tolerance, keysAt, locked: [] }, source).curve.keys.length;
}

/**
 * The search gives up where, beyond a few keys, so many times as many have not gained this factor. A generous bound: on a
 * smooth source twice the keys gain a factor of 16, and in front of a jump or of noise no number gains anything.
 */
const STALLED = 4;
const GAIN = 0.98;

/** A fit from sample to sample, where single ones stand out: it bounds the keys that are tried. */
function alongSamples(bench: Bench, source: FitSource, tolerance: number): Attempt | undefined {
  const { plan } = bench;
  const told = plan.frames || plan.locked.length > 0 || plan.keysAt.length > 0 || plan.extremes || plan.load;
  if (!bench.detailed || !source.samples || told) return undefined;
  const inside = source.samples.filter((t) => t > plan.start && t < plan.end);
  const layout = followSamples(source, joined([plan.start], inside, [plan.end]), plan, tolerance);
  const attempt = layout && measured(bench, source, layout, tolerance);
  return attempt && attempt.excess <= 1 ? attempt : undefined;
}

/**
 * Tries rising numbers of keys. The layouts that a number of keys comes to do not depend on the tolerance in value, which
 * only says which of them is near enough, and leaves out what is out of reach: so a wider tolerance never needs more
 * keys. Only steps and spikes followed from sample to sample, and a load, are outside this argument.
 */
function fewest(plan: FitPlan, source: FitSource): Attempt {
  let division = plan.frames ? PER_FRAME : DIVISION;
  let bench = setUp(plan, source, division);
  const tolerance =
    plan.tolerance ?? (plan.keyCount === undefined ? defaultTolerance(bench) : Number.POSITIVE_INFINITY);
  const forced = bench.places.forced.reduce((sum, x) => sum + x, 0);
  const least = plan.keyCount ?? Math.max(forced, plan.cyclic ? 1 : 2);
  const most = plan.keyCount ?? (plan.frames ? Math.min(plan.maxKeys, bench.places.count) : plan.maxKeys);
  const searching = plan.keyCount === undefined;
  const finalists = plan.frames ? FINALISTS : 1;
  const attempt = (keys: number, brief: boolean): Attempt | undefined => {
    if (divisionFor(keys, plan) !== division) {
      division = divisionFor(keys, plan);
      bench = setUp(plan, source, division);
    }
    const placements = bench.search.best(keys, finalists);
    const byValue = brief && !plan.load && keys < most && !fights;
    if (placements.length === 0 || (byValue && hopeless(bench, placements, tolerance))) return undefined;
    let last: { layout: Layout; attempt: Attempt } | undefined;
    const judge = (layout: Layout): Attempt => measured(bench, source, layout, tolerance);
    const accepts = (layout: Layout): boolean => {
      const found = judge(layout);
      last = found.excess <= 1 ? { layout, attempt: found } : undefined;
      return found.excess <= 1;
    };
    const layout = fitPlacements(bench, { placements, tolerance, brief, accepts });
    return last?.layout === layout ? last.attempt : judge(layout);
  };
  const along = searching ? alongSamples(bench, source, tolerance) : undefined;
  const fewer = along ? along.curve.keys.length - 1 : most;
  const fights = searching && unavoidableError(plan, source) > tolerance;
  const from = fights ? keysAround(plan, source, tolerance) : fewestKeys(plan, source, tolerance);
  const to = fights ? from + KEYS_AROUND * (plan.locked.length + 1) : fewer;
  let best: Attempt | undefined;
  let bestKeys = 0;
  let mark = Number.POSITIVE_INFINITY;
  let marked = least;
  const beaten = ({ excess, error }: Attempt): boolean =>
    best !== undefined && (fights ? error.value.rms >= best.error.value.rms : excess >= best.excess);
  // The numbers tried are the same whatever the tolerance, and the last one is always the most there may be.
  for (let keys = least; keys <= fewer; keys = keys < most ? Math.min(most, nextCount(keys)) : most + 1) {
    if (keys < Math.min(from, most)) continue;
    if (keys > to && best) break;
    const found = attempt(keys, searching);
    if (!found) continue;
    if (found.excess < GAIN * mark) {
      mark = found.excess;
      marked = keys;
    } else if (keys > STALLED * marked + DIVISION) break;
    if (beaten(found)) continue;
    best = found;
    bestKeys = keys;
    if (best.excess <= 1) return best;
  }
  if (along) return along;
  // Out of reach: what was left out as useless is done for the best after all.
  const whole = best && searching && plan.load ? attempt(bestKeys, false) : undefined;
  if (whole && best && whole.excess < best.excess) return whole;
  if (best) return best;
  throw errorOf('fitCurve', {
    field: plan.keyCount === undefined ? 'maxKeys' : 'keyCount',
    rule: 'must leave room for the ends, the forced and the locked keys, and not exceed the frames there are',
    got: String(plan.keyCount ?? plan.maxKeys),
    kind: 'range',
  });
}

/** The quick search, where what is asked for allows it. */
function quick(plan: FitPlan, source: FitSource): Attempt | undefined {
  const simple = plan.keyCount === undefined && !plan.load && plan.locked.length === 0 && !source.noisy;
  if (plan.search !== 'quick' || !simple) return undefined;
  const bench = setUp(plan, source, plan.frames ? PER_FRAME : QUICK_DIVISION);
  const tolerance = plan.tolerance ?? defaultTolerance(bench);
  let attempt: Attempt;
  let aim = tolerance;
  let round = 0;
  do {
    attempt = measured(bench, source, followLongest(source, plan, bench.places, bench.grid, aim), tolerance);
    aim *= STRICTER;
  } while (attempt.excess > 1 && ++round < 4);
  return attempt.excess <= 1 && attempt.curve.keys.length <= plan.maxKeys ? attempt : undefined;
}

function singleKey(plan: FitPlan, source: FitSource): FitResult {
  const jet = new Float64Array(3);
  source.jet(plan.start, jet);
  const flat = { span: 0, slope: 0 };
  const key = plan.locked[0] ?? { time: plan.start, value: jet[0], in: flat, out: flat };
  const { start, before, after, of, meta } = plan;
  const curve = { keys: [key], start, before, after, ...(of ? { of } : {}), ...(meta ? { meta } : {}) };
  const max = Math.abs(key.value - jet[0]);
  return { curve, error: { value: { max, at: start, rms: max } }, met: max <= (plan.tolerance ?? 0) };
}

/**
 * The curve with the fewest keys that follows a source within a tolerance, and the errors it really has.
 *
 * Places for keys are chosen by dynamic programming over the cost of single segments, then values, slopes,
 * spans and — where keys may stand anywhere — times are polished by Levenberg–Marquardt; both sides of a
 * free key share one slope. The tolerance bounds the largest error in value (and the root mean square error
 * of the second derivative, where `load.tolerance` is given), re-measured on a grid five times finer than
 * the fitting one: a measurement, not a proof between its points. A tolerance that cannot be met gives
 * the best curve found and `met: false`.
 *
 * @param source - a series, a function that writes value, slope and second derivative, samples, or a curve
 * @param options - see `FitOptions`; all optional
 * @returns the curve, its measured errors, and whether every tolerance asked for is met
 * @throws RangeError or TypeError where source or options are not usable, or forced keys exceed `keyCount`
 * @example
 * import { fitCurve } from 'underfoot/curves';
 * const bob = { period: 1, mean: 0.9, drift: 0, cos: [0, 0.02], sin: [0, 0] };
 * const { curve, error } = fitCurve(bob, { keyCount: 4, frames: { fps: 24 } });
 * console.log(curve.keys.length, error.value.max < 0.0005); // → 4 true
 */
export function fitCurve(source: Source, options: FitOptions = {}): FitResult {
  const given = readSource(source, 'fitCurve');
  const plan = readPlan(options, given, 'fitCurve');
  const closed = plan.cyclic ? closeCycle(given, plan.start, plan.period, plan.gain) : given;
  const read = holdEnds(closed, plan.start, plan.end);
  if (plan.end === plan.start) return singleKey(plan, read);
  const parts = partsOf(plan, read);
  const part = anchorPlan(partPlan(plan, parts), read);
  const fitted = quick(part.plan, part.source) ?? fewest(part.plan, part.source);
  const { excess } = fitted;
  const error = errorAt(fitted.error, part.timeBack);
  const curve = part.back(fitted.curve);
  return { curve: parts > 1 ? repeatKeys(curve, plan, parts) : curve, error, met: excess <= 1 };
}
