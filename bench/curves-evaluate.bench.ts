/**
 * Value at a time: one cubic segment with easy and with adversarial handles, beside the peers that do the same job.
 */
import unitBezier from '@mapbox/unitbezier';
import createEasing from 'bezier-easing';
import { Bezier } from 'bezier-js';
import { cubicBezier } from 'motion';
import { cubicBezier as popmotionBezier } from 'popmotion';
import { type Curve, createSampler, type Key } from '../src/curves/index.js';
import { solveTime } from '../src/curves/solve-time.js';
import { askInTurn, bench, createRng } from './harness.js';

const COUNT = 1024;
const rng = createRng(4);

interface Handles {
  readonly p: number;
  readonly v1: number;
  readonly q: number;
  readonly v2: number;
}

/** The true value at x, by plain halving to the last bit. */
function reference({ p, v1, q, v2 }: Handles, x: number): number {
  const at = (a: number, b: number, s: number): number =>
    3 * (1 - s) ** 2 * s * a + 3 * (1 - s) * s * s * b + s ** 3;
  let low = 0;
  let high = 1;
  for (let step = 0; step < 60; step++) {
    const s = (low + high) / 2;
    if (at(p, 1 - q, s) <= x) low = s;
    else high = s;
  }
  return at(v1, v2, (low + high) / 2);
}

function curveOf({ p, v1, q, v2 }: Handles): Curve {
  const key = (time: number, span: number, slope: number): Key => ({
    time,
    value: time,
    in: { span, slope },
    out: { span, slope },
  });
  const keys = [key(0, p, p > 0 ? v1 / p : 0), key(1, q, q > 0 ? (1 - v2) / q : 0)];
  return { keys, start: 0, before: 'holds', after: 'holds' };
}

function oneSegment(task: string, handles: Handles, xs: Float64Array): void {
  const sampler = createSampler(curveOf(handles));
  const out = new Float64Array(1);
  const { p, v1, q, v2 } = handles;
  const unit = unitBezier(p, v1, 1 - q, v2);
  const easing = createEasing(p, v1, 1 - q, v2);
  const motion = cubicBezier(p, v1, 1 - q, v2);
  const popmotion = popmotionBezier(p, v1, 1 - q, v2);
  const geometry = new Bezier(0, 0, p, v1, 1 - q, v2, 1, 1);
  const peers = [
    {
      name: 'underfoot sampler',
      value: (x: number) => {
        sampler.sample(x, out);
        return out[0];
      },
    },
    { name: '@mapbox/unitbezier (1e-6)', value: (x: number) => unit(x) },
    { name: '@mapbox/unitbezier (1e-15)', value: (x: number) => unit(x, 1e-15) },
    { name: 'bezier-easing', value: easing },
    { name: 'motion', value: motion },
    { name: 'popmotion', value: popmotion },
    {
      name: 'bezier-js intersects',
      value: (x: number) => {
        const hits = geometry.intersects({ p1: { x, y: -9 }, p2: { x, y: 9 } });
        return hits.length > 0 ? geometry.get(Number(hits[0])).y : Number.NaN;
      },
    },
  ];
  const truth = xs.map((x) => reference(handles, x));
  bench(
    task,
    peers.map(({ name, value }) => ({
      name,
      keys: 2,
      run: askInTurn(value, xs),
      maxError: xs.reduce((worst, x, i) => {
        const miss = Math.abs(value(x) - truth[i]);
        return Number.isNaN(miss) ? Number.POSITIVE_INFINITY : Math.max(worst, miss);
      }, 0),
    })),
  );
}

const even = Float64Array.from({ length: COUNT }, () => rng());
oneSegment('one segment, easy handles', { p: 0.42, v1: 0, q: 0.42, v2: 1 }, even);
const nearMiddle = Float64Array.from({ length: COUNT }, (_, i) => 0.5 + (i & 1 ? 1 : -1) * 0.4 * rng() ** 3);
oneSegment('one segment, vertical tangent in the middle', { p: 1, v1: 0.2, q: 1, v2: 0.8 }, nearMiddle);
const cancelling = { p: 0.25, v1: 0.1, q: 2 / 3 - 0.25 + 1e-9, v2: 0.9 };
oneSegment('one segment, leading coefficient 3e-9', cancelling, even);
oneSegment('one segment, leading coefficient 0', { p: 0.25, v1: 0.1, q: 2 / 3 - 0.25, v2: 0.9 }, even);
oneSegment('one segment, equal handles of a half', { p: 0.5, v1: 0.1, q: 0.5, v2: 0.9 }, even);
oneSegment('one segment, no width on the left', { p: 0, v1: 0, q: 0.58, v2: 1 }, even);
oneSegment('one segment, no width on either side', { p: 0, v1: 0, q: 0, v2: 1 }, even);

/** Backward errors in time over adversarial segments: how far the time at the answer is from the one asked. */
function adversarial(count: number): { worst: number; segments: Float64Array } {
  const edges = [
    0,
    1e-300,
    1e-16,
    1e-12,
    1e-8,
    1e-4,
    1 / 3,
    1 / 3 + 1e-10,
    0.5,
    2 / 3,
    1 - 1e-10,
    1 - 1e-16,
    1,
  ];
  const pick = (): number => (rng() < 0.5 ? edges[Math.floor(rng() * edges.length)] : rng());
  const segments = new Float64Array(3 * count);
  let worst = 0;
  for (let i = 0; i < count; i++) {
    const p = pick();
    // A quarter of them with a leading coefficient at or next to zero, a quarter with equal handles.
    const kind = i & 3;
    const beside = 10 ** -(4 + Math.floor(rng() * 14));
    const q = kind === 0 ? Math.max(0, 2 / 3 - p + (rng() < 0.3 ? 0 : beside)) : kind === 1 ? p : pick();
    const x = pick();
    segments.set([p, q, x], 3 * i);
    const [a, b, c] = [3 * (p + q) - 2, 3 * (1 - q - 2 * p), 3 * p];
    const s = solveTime(a, b, c, x, x);
    worst = Math.max(worst, Math.abs(((a * s + b) * s + c) * s - x));
  }
  return { worst, segments };
}

const { worst, segments } = adversarial(1_000_000);
const onSegments = (solve: (p: number, q: number, x: number) => number) => (i: number) => {
  const at = 3 * (i % 1_000_000);
  return solve(segments[at], segments[at + 1], segments[at + 2]);
};
function worstOver(solve: (p: number, q: number, x: number) => number): number {
  let most = 0;
  for (let i = 0; i < 1_000_000; i++) {
    const [p, q, x] = [segments[3 * i], segments[3 * i + 1], segments[3 * i + 2]];
    const s = solve(p, q, x);
    const miss = Math.abs(((3 * (p + q) - 2) * s + 3 * (1 - q - 2 * p)) * s * s + 3 * p * s - x);
    if (!(miss <= most)) most = Number.isNaN(miss) ? Number.POSITIVE_INFINITY : miss;
  }
  return most;
}
// Peers take the second handle at a quarter so that their value is the parameter itself: y(s) = s.
const parameterOf = {
  unit: (p: number, q: number, x: number) => unitBezier(p, 1 / 3, 1 - q, 2 / 3)(x, 1e-15),
  easing: (p: number, q: number, x: number) => createEasing(p, 1 / 3, 1 - q, 2 / 3)(x),
  motion: (p: number, q: number, x: number) => cubicBezier(p, 1 / 3, 1 - q, 2 / 3)(x),
  popmotion: (p: number, q: number, x: number) => popmotionBezier(p, 1 / 3, 1 - q, 2 / 3)(x),
};
bench(
  'a million adversarial segments, each made ready and asked once',
  [
    {
      name: 'underfoot solveTime',
      run: onSegments((p, q, x) => solveTime(3 * (p + q) - 2, 3 * (1 - q - 2 * p), 3 * p, x, x)),
      maxError: worst,
    },
    {
      name: '@mapbox/unitbezier (1e-15)',
      run: onSegments(parameterOf.unit),
      maxError: worstOver(parameterOf.unit),
    },
    { name: 'bezier-easing', run: onSegments(parameterOf.easing), maxError: worstOver(parameterOf.easing) },
    { name: 'motion', run: onSegments(parameterOf.motion), maxError: worstOver(parameterOf.motion) },
    {
      name: 'popmotion',
      run: onSegments(parameterOf.popmotion),
      maxError: worstOver(parameterOf.popmotion),
    },
  ],
  { errorLabel: 'worst |x(s) − x|' },
);
