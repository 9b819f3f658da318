/** What a fit follows, brought to one form: a jet at a time, and where it bends sharply. */
import {
  errorOf,
  isRecord,
  numberProblem,
  recordProblem,
  refuseAny,
  requireArray,
  show,
} from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Outside, Tracked } from '../curve.js';
import { endSlope } from '../segment.js';
import { type Series, sampleSeries } from '../series.js';
import { Track } from '../track.js';
import { readSamples, type Samples } from './samples.js';

/** A function with its derivatives: writes value, slope and second derivative at `t` (s) into `out[0..2]`. */
export interface JetFunction {
  /** Writes value, slope and second derivative at `t` (s) into `out[0..2]`. */
  readonly jet: (t: number, out: Float64Array) => void;
}

/** Everything `fitCurve` follows. */
export type Source = Series | JetFunction | Samples | Curve;

export interface FitSource {
  jet(t: number, out: Float64Array): void;
  /** Whether the second derivative means anything. */
  readonly hasSecond: boolean;
  /** Whether its slopes are too noisy to be taken as they are. */
  readonly noisy?: boolean;
  /** Where the source begins, if it says so. */
  readonly start?: number;
  /** Where it ends, if it says so. */
  readonly end?: number;
  readonly period?: number;
  readonly gain?: number;
  readonly before?: Outside;
  readonly after?: Outside;
  readonly of?: Tracked;
  readonly meta?: Curve['meta'];
  /** Into how many equal parts the period falls, a series without odd harmonics for example into two. */
  readonly parts: number;
  /** Whether the second half of the period is the first one upside down, as without even harmonics. */
  readonly mirrored?: boolean;
  /** Times at which the slope jumps, where a fit needs a key with two slopes. */
  readonly corners: readonly number[];
  /** Times of a curve's keys, where the error of a fit may be largest. */
  readonly knots?: readonly number[];
  /** Times of the samples, for sources that are samples. */
  readonly samples?: Float64Array;
  /** Their values. */
  readonly sampled?: Float64Array;
}

const greatestDivisor = (a: number, b: number): number => (b === 0 ? a : greatestDivisor(b, a % b));

/** Harmonics smaller than this fraction of the largest do not break a symmetry. */
const SILENT = 1e-14;

function seriesSource(series: Series, where: string): FitSource {
  refuseAny(where, [
    recordProblem('source', series, ['period', 'mean', 'drift', 'cos', 'sin']),
    numberProblem('source.period', series.period, { above: 0, unit: 's' }),
    numberProblem('source.mean', series.mean),
    numberProblem('source.drift', series.drift),
  ]);
  const cos = requireArray(where, 'source.cos', series.cos);
  const sin = requireArray(where, 'source.sin', series.sin);
  refuseAny(where, [
    ...cos.map((x, i) => numberProblem(`source.cos[${i}]`, x)),
    ...sin.map((x, i) => numberProblem(`source.sin[${i}]`, x)),
  ]);
  if (cos.length !== sin.length) {
    throw errorOf(where, {
      field: 'source.sin',
      rule: `must have ${cos.length} entries, as cos has`,
      got: String(sin.length),
      kind: 'range',
    });
  }
  const sizes = series.cos.map((x, k) => Math.hypot(x, series.sin[k]));
  const largest = Math.max(0, ...sizes);
  let parts = 0;
  sizes.forEach((size, k) => {
    if (size > SILENT * largest) parts = greatestDivisor(k + 1, parts);
  });
  return {
    jet: (t, out) => sampleSeries(series, t, out),
    hasSecond: true,
    start: 0,
    period: series.period,
    gain: series.drift,
    before: series.drift === 0 ? 'loops' : 'travels',
    after: series.drift === 0 ? 'loops' : 'travels',
    parts: Math.max(1, parts),
    mirrored: series.drift === 0 && sizes.every((size, k) => k % 2 === 0 || size <= SILENT * largest),
    corners: [],
  };
}

/** Whether a curve leaves a key from another value, or with another slope, than it arrives with, as its handles point. */
function bendsAt({ keys, period = 0, gain = 0 }: Curve, i: number): boolean {
  const before = (i + keys.length - 1) % keys.length;
  if (keys[before].next === 'hold' || (keys[i].arrives ?? keys[i].value) !== keys[i].value) return true;
  const slopeOf = (left: number, side: 'left' | 'right'): number | undefined => {
    const right = (left + 1) % keys.length;
    const lap = right <= left ? 1 : 0;
    const [from, to] = [keys[left], keys[right]];
    const rise = (to.arrives ?? to.value) - from.value + lap * gain;
    return endSlope(from, to, to.time - from.time + lap * period, rise, side);
  };
  const arriving = slopeOf(before, 'right');
  return arriving === undefined || arriving !== slopeOf(i, 'left');
}

/** A valid curve as a source; its jumps are part of it. */
export function sourceOf(curve: Curve): FitSource {
  const track = new Track(curve);
  const { keys, period } = curve;
  const corners: number[] = [];
  keys.forEach((key, i) => {
    const inner = period !== undefined || (i > 0 && i + 1 < keys.length);
    if (inner && bendsAt(curve, i)) corners.push(key.time);
  });
  return {
    jet: (t, out) => track.writeJet(t, out, 0),
    hasSecond: true,
    start: curve.start,
    end: period === undefined ? track.last : undefined,
    period,
    gain: curve.gain ?? 0,
    before: curve.before,
    after: curve.after,
    of: curve.of,
    meta: curve.meta,
    parts: 1,
    corners,
    knots: keys.map((key) => key.time),
  };
}

function curveSource(given: Curve, where: string): FitSource {
  const curve = requireCurve(where, given, 'source');
  const refuse = (field: string, rule: string, got: unknown): never => {
    throw errorOf(where, { field: `source.${field}`, rule, got: show(got), kind: 'range' });
  };
  curve.keys.forEach((key, i) => {
    if (key.arrives !== undefined && key.arrives !== key.value) {
      refuse(`keys[${i}].arrives`, 'must equal value: split the curve at its jumps first', key.arrives);
    }
    if (key.next === 'hold') refuse(`keys[${i}].next`, 'must not be "hold", which ends in a jump', key.next);
  });
  return sourceOf(curve);
}

/** Brings any source to one form, or refuses it. */
export function readSource(source: Source, where: string): FitSource {
  if (!isRecord(source)) {
    throw errorOf(where, {
      field: 'source',
      rule: 'must be a series, a jet function, samples or a curve',
      got: show(source),
      kind: 'type',
    });
  }
  if ('keys' in source) return curveSource(source as Curve, where);
  if ('cos' in source) return seriesSource(source as unknown as Series, where);
  if ('jet' in source) {
    const { jet } = source as unknown as JetFunction;
    refuseAny(where, [recordProblem('source', source, ['jet'])]);
    if (typeof jet !== 'function') {
      throw errorOf(where, { field: 'source.jet', rule: 'must be a function', got: show(jet), kind: 'type' });
    }
    const guarded = (t: number, out: Float64Array): void => {
      // What is not written is not taken for what the last call left.
      out.fill(Number.NaN, 0, 3);
      jet(t, out);
      if (!(Number.isFinite(out[0]) && Number.isFinite(out[1]) && Number.isFinite(out[2]))) {
        throw errorOf(where, {
          field: 'source.jet',
          rule: `must write three finite numbers at ${t} s`,
          got: `${out[0]}, ${out[1]}, ${out[2]}`,
          kind: 'range',
        });
      }
    };
    return { jet: guarded, hasSecond: true, parts: 1, corners: [] };
  }
  return readSamples(source as unknown as Samples, where);
}
