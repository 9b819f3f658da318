import { requireCurve } from '../curves/check-curve.js';
import type { Curve } from '../curves/curve.js';
import { fitCurve } from '../curves/fit/fit-curve.js';
import { createSampler } from '../curves/sampler.js';
import { sampleSeries } from '../curves/series.js';
import { requireArray, requireNumber, requireRecord } from '../internal/check.js';
import { toSeries } from './centre-from-plates.js';
import { refuse } from './refuse.js';
import type { ReadPath, SampledPath, WeighedPath } from './weighed.js';

/** Most harmonics that even samples of a loop become. */
const MOST_HARMONICS = 24;

/** Part of their range that a curve through open samples may stray, and what a m/s² of load is worth in m. */
const STRAY = 1e-3;

/**
 * A path with exact derivatives: a curve's own; of a loop of even samples, its Fourier series; of other
 * samples, the curve fitted to them.
 */
export function readPath(where: string, field: string, path: WeighedPath): ReadPath {
  requireRecord(where, field, path);
  return 'keys' in path
    ? curvePath(requireCurve(where, path, field))
    : samplePath(where, field, path as SampledPath);
}

function curvePath(curve: Curve): ReadPath {
  const sampler = createSampler(curve);
  const { keys, period, gain = 0 } = curve;
  const start = period === undefined ? keys[0].time : curve.start;
  return {
    jet: (t, out) => sampler.sampleJets(t, out),
    keys: keys.map(({ time }) => time),
    start,
    duration: period ?? keys[keys.length - 1].time - start,
    cyclic: period !== undefined,
    gain,
  };
}

function samplePath(where: string, field: string, path: SampledPath): ReadPath {
  requireRecord(where, field, path, ['times', 'values', 'period', 'gain']);
  const times = requireArray(where, `${field}.times`, path.times, 4) as readonly number[];
  const values = requireArray(where, `${field}.values`, path.values, times.length) as readonly number[];
  if (values.length !== times.length) {
    refuse(where, `${field}.values`, `must have ${times.length} entries, as times has`, `${values.length}`);
  }
  times.forEach((time, i) => {
    requireNumber(
      where,
      `${field}.times[${i}]`,
      time,
      i > 0 ? { above: times[i - 1], unit: 's' } : { unit: 's' },
    );
    requireNumber(where, `${field}.values[${i}]`, values[i], { unit: 'm' });
  });
  const { period, gain = 0 } = path;
  requireNumber(where, `${field}.gain`, gain, { unit: 'm' });
  const [start, last, n] = [times[0], times[times.length - 1], times.length];
  if (period === undefined) {
    const range = Math.max(...values) - Math.min(...values);
    const { curve } = fitCurve({ times, values }, { tolerance: Math.max(STRAY * range, 1e-9) });
    return { ...curvePath(curve), keys: [] };
  }
  requireNumber(where, `${field}.period`, period, { above: last - start, unit: 's' });
  const step = period / n;
  if (times.some((time, i) => Math.abs(time - start - i * step) > 1e-3 * step)) {
    const closed = { times: [...times, start + period], values: [...values, values[0] + gain] };
    const range = Math.max(...values) - Math.min(...values);
    const { curve } = fitCurve(closed, { period, gain, tolerance: Math.max(STRAY * range, 1e-9) });
    return { ...curvePath(curve), keys: [] };
  }
  const level = values.map((value, i) => value - (gain * i) / n);
  const series = {
    ...toSeries(level, period, Math.min(MOST_HARMONICS, Math.floor((n - 1) / 2))),
    drift: gain,
  };
  return {
    jet: (t, out) => sampleSeries(series, t - start, out),
    keys: [],
    start,
    duration: period,
    cyclic: true,
    gain,
  };
}
