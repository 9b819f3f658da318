/** The keys that samples cannot be followed without. */
import { expect, it } from 'vitest';
import { fewestKeys } from '../../src/curves/fit/needed.js';
import { readPlan } from '../../src/curves/fit/options.js';
import { readSource } from '../../src/curves/fit/source.js';
import { fitCurve } from '../../src/curves/index.js';

it('counts a segment for every two changes of direction larger than the tolerance, and no fit needs fewer', () => {
  const times = Array.from({ length: 12 }, (_, i) => i / 11);
  const samples = { times, values: times.map((_, i) => i % 2) };
  const source = readSource(samples, 'fitCurve');
  const plan = readPlan({}, source, 'fitCurve');
  // Eleven rises and falls have ten turns between them: five segments, six keys.
  expect(fewestKeys(plan, source, 0.4)).toBe(6);
  expect(fewestKeys(plan, source, 0.6)).toBe(1);
  const { curve, met } = fitCurve(samples, { tolerance: 0.4 });
  expect(met).toBe(true);
  expect(curve.keys.length).toBeGreaterThanOrEqual(6);
});
