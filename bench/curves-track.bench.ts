/**
 * A track of 33 keys played in order and at random, beside the peers that play one, and what that puts on the heap.
 */
import Spline from 'cubic-spline';
import { type Curve, createSampler } from '../src/curves/index.js';
import { gltfInterpolant } from './gltf-interpolant.js';
import { bench, createRng, playInto } from './harness.js';

const COUNT = 1024;
const rng = createRng(4);

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
