/**
 * Value at a time: one cubic segment with easy and with adversarial handles, and a track of 33 keys played in
 * order and at random, beside the peers that do the same job.
 */
import unitBezier from '@mapbox/unitbezier';
import createEasing from 'bezier-easing';
import { Bezier } from 'bezier-js';
import Spline from 'cubic-spline';
import { cubicBezier } from 'motion';
import { cubicBezier as popmotionBezier } from 'popmotion';
import { type Curve, createSampler, type Key } from '../src/curves/index.js';
import { solveTime } from '../src/curves/solve-time.js';
import { gltfInterpolant } from './gltf-interpolant.js';
import { askInTurn, bench, createRng, playInto } from './harness.js';

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

const KEYS = 33;
const values = Array.from({ length: KEYS }, (_, i) => Math.sin(i));
const slopes = Array.from({ length: KEYS }, (_, i) => Math.cos(i));

function trackOf(share: (i: number) => number): Curve {
  const keys = values.map((value, i) => ({
    time: i,
    value,
    in: { span: share(2 * i), slope: slopes[i] },
    out: { span: share(2 * i + 1), slope: slopes[i] },
  }));
  return { keys, start: 0, before: 'holds', after: 'holds' };
}

const three = await gltfInterpolant(values, slopes);
const spline = new Spline(
  values.map((_, i) => i),
  values,
);
const thirds = createSampler(trackOf(() => 1 / 3));
const free = createSampler(trackOf((i) => 0.2 + 0.02 * ((i * 7) % 19)));
const one = new Float64Array(1);

/** The largest distance from the exact Hermite curve; the free curve and the spline are other curves. */
function hermiteError(value: (t: number) => number): number {
  let most = 0;
  for (let i = 0; i < 3200; i++) {
    const t = (i + 0.37) / 100;
    const k = Math.min(KEYS - 2, Math.floor(t));
    const s = t - k;
    const exact =
      (1 + 2 * s) * (1 - s) ** 2 * values[k] +
      s * (1 - s) ** 2 * slopes[k] +
      s * s * (3 - 2 * s) * values[k + 1] -
      s * s * (1 - s) * slopes[k + 1];
    most = Math.max(most, Math.abs(value(t) - exact));
  }
  return most;
}

function sampled(t: number): number {
  thirds.sample(t, one);
  return one[0];
}

const SAMPLE = 'player.sample(t, out, i)';
const players = [
  {
    name: 'underfoot, third-length spans',
    player: thirds,
    statement: SAMPLE,
    maxError: hermiteError(sampled),
  },
  { name: 'underfoot, free spans', player: free, statement: SAMPLE },
  {
    name: 'three, glTF cubic, 32 bits as loaded',
    player: three,
    statement: 'out[i] = player.evaluate(t)[0]',
    maxError: hermiteError((t) => three.evaluate(t)[0]),
  },
  { name: 'cubic-spline', player: spline, statement: 'out[i] = player.at(t)' },
];
const playedTimes = Float64Array.from({ length: COUNT }, (_, i) => (i * 31.99) / COUNT);
const randomTimes = Float64Array.from({ length: COUNT }, () => 31.99 * rng());
const played = new Float64Array(COUNT);
const whole = ({ player }: (typeof players)[number]): boolean => player === thirds || player === free;
for (const [task, times] of [
  ['in order', playedTimes],
  ['at random', randomTimes],
] as const) {
  bench(
    `track of 33 keys, 1024 frames ${task} (time per 1024)`,
    players.flatMap((row) => {
      const { name, player, statement, maxError } = row;
      const single = {
        name: `${name}${whole(row) ? ', sample' : ''}`,
        keys: KEYS,
        maxError,
        run: playInto(statement, player, times, played),
      };
      if (!whole(row)) return [single];
      const sampler = player as typeof free;
      const many = () => {
        sampler.sampleMany(times, played);
        return played[7];
      };
      return [single, { name: `${name}, sampleMany`, keys: KEYS, maxError, run: many }];
    }),
  );
}

/** Heap in bytes after a million calls less that before. */
function allocated(ask: (t: number) => void): number {
  const before = process.memoryUsage().heapUsed;
  for (let i = 0; i < 1e6; i++) ask(playedTimes[i & (COUNT - 1)]);
  return process.memoryUsage().heapUsed - before;
}
const asked = {
  'free spans': (t: number) => free.sample(t, one),
  'third-length spans': (t: number) => thirds.sample(t, one),
  nothing: () => {},
};
for (let warm = 0; warm < 3; warm++) for (const ask of Object.values(asked)) allocated(ask);
const bytesOf = (ask: (t: number) => void): number =>
  Array.from({ length: 9 }, () => allocated(ask)).sort((a, b) => a - b)[4];
const measuring = bytesOf(asked.nothing);
console.log('\nheap after 10⁶ evaluations, less what measuring takes, median of 9');
for (const [name, ask] of Object.entries(asked)) console.log(`  ${name}: ${bytesOf(ask) - measuring} bytes`);
