/**
 * The fewest smooth segments through 1000 samples of three shapes, to three tolerances: time, keys and the true
 * largest error on a grid ten times finer than the samples, beside general-purpose curve fitters; then the shapes that
 * fits fail on, judged at the samples.
 */
import fitPoints from 'fit-curve';
import paperCore from 'paper/dist/paper-core.js';
import { type Curve, createSampler, fitCurve, type Key } from '../src/curves/index.js';
import { bench, createRng, type Peer } from './harness.js';

const SAMPLES = 1000;
const times = Array.from({ length: SAMPLES }, (_, i) => i / (SAMPLES - 1));
const doubleHump = (x: number): number =>
  Math.sin(Math.PI * x) + 0.3 * Math.sin(3 * Math.PI * x) + 0.05 * Math.sin(9 * Math.PI * x);
const rng = createRng(11);
const noise = times.map(() => 2e-4 * (2 * rng() - 1));

const rangeOf = (values: readonly number[]): number =>
  values.reduce((a, b) => Math.max(a, b)) - values.reduce((a, b) => Math.min(a, b));

/** Where a fit is judged, and what is right there. */
interface Judge {
  readonly times: readonly number[];
  readonly values: readonly number[];
}

/** Largest error as a share of the range. */
function errorOf(curve: Curve, { times: at, values }: Judge, range: number): number {
  const sampler = createSampler(curve);
  const out = new Float64Array(1);
  return (
    at.reduce((worst, x, i) => {
      sampler.sample(x, out);
      return Math.max(worst, Math.abs(out[0] - values[i]));
    }, 0) / range
  );
}

/** The peers' segments as keys: their corners keep both slopes. */
function curveOfPieces(pieces: readonly (readonly number[][])[]): Curve {
  const keys: Key[] = [];
  const flat = { span: 0, slope: 0 };
  pieces.forEach(([p0, p1, p2, p3], i) => {
    const side = (a: readonly number[], b: readonly number[]) => {
      const span = Math.max(0, b[0] - a[0]);
      return { span, slope: span > 0 ? (b[1] - a[1]) / span : 0 };
    };
    const before = i > 0 ? keys[i] : { time: p0[0], value: p0[1], in: flat, out: flat };
    keys[i] = { ...before, out: side(p0, p1) };
    keys[i + 1] = { time: p3[0], value: p3[1], in: side(p2, p3), out: flat };
  });
  return { keys, start: keys[0].time, before: 'holds', after: 'holds' };
}

/** What is used here of a peer whose types are those of its page build. */
const paper = paperCore as unknown as {
  setup(size: readonly number[]): void;
  Path: new (options: {
    segments: number[][];
    insert: boolean;
  }) => { simplify(tolerance: number): boolean; curves: { points: { x: number; y: number }[] }[] };
};

type Maker = (samples: Judge, tolerance: number, stretch: number) => Curve;

/** Both peers measure squared distances in the plane: time is stretched, so that they are all but vertical. */
const makers: { name: string; make: Maker }[] = [
  {
    name: 'underfoot, quick',
    make: (samples, tolerance) => fitCurve(samples, { tolerance, search: 'quick' }).curve,
  },
  {
    name: 'underfoot, fewest',
    make: (samples, tolerance) => fitCurve(samples, { tolerance, search: 'fewest' }).curve,
  },
  {
    name: 'fit-curve, time stretched',
    make: (samples, tolerance, stretch) => {
      const points = samples.times.map((t, i) => [t * stretch, samples.values[i]]);
      const pieces = fitPoints(points, tolerance ** 2);
      return curveOfPieces(pieces.map((piece) => piece.map(([x, y]) => [x / stretch, y])));
    },
  },
  {
    name: 'Paper.js, time stretched',
    make: (samples, tolerance, stretch) => {
      const segments = samples.times.map((t, i) => [t * stretch, samples.values[i]]);
      const path = new paper.Path({ segments, insert: false });
      path.simplify(tolerance ** 2);
      const pieces = path.curves.map(({ points }) => points.map(({ x, y }) => [x / stretch, y]));
      return curveOfPieces(pieces);
    },
  },
];

function compare(task: string, samples: Judge, judge: Judge, share: number, label: string): void {
  const range = rangeOf(judge.values) || 1;
  const peers = makers.map(({ name, make }): Peer => {
    const run = (): number => {
      try {
        return make(samples, share * range, 1e3 * range).keys.length;
      } catch {
        return -1;
      }
    };
    try {
      const curve = make(samples, share * range, 1e3 * range);
      return { name, keys: curve.keys.length, maxError: errorOf(curve, judge, range), run };
    } catch {
      // A peer whose answer is not a function of time, or that fails, has no error to show.
      return { name: `${name}: no curve`, run };
    }
  });
  bench(task, peers, { batches: 15, errorLabel: label });
}

paper.setup([1, 1]);

const fineTimes = Array.from({ length: 10 * (SAMPLES - 1) + 1 }, (_, i) => i / (10 * (SAMPLES - 1)));
for (const { name, exact, noisy } of [
  { name: 'sine', exact: (x: number) => Math.sin(2 * Math.PI * x), noisy: false },
  { name: 'double hump', exact: doubleHump, noisy: false },
  { name: 'double hump with noise', exact: doubleHump, noisy: true },
]) {
  const clean = times.map(exact);
  const samples = { times, values: clean.map((v, i) => v + (noisy ? rangeOf(clean) * noise[i] : 0)) };
  const judge = { times: fineTimes, values: fineTimes.map(exact) };
  for (const share of noisy ? [1e-3] : [1e-3, 1e-4, 1e-5]) {
    compare(`${name}, ${share} of range`, samples, judge, share, 'true max, of range');
  }
}

for (const [name, shape] of [
  ['a constant', () => 3],
  ['a ramp', (i: number) => i / SAMPLES],
  ['a ramp that starts and stops', (i: number) => Math.min(600, Math.max(300, i))],
  ['a step', (i: number) => Number(i >= 500)],
  ['a spike of one sample', (i: number) => Number(i === 500)],
] as const) {
  const samples = { times, values: times.map((_, i) => shape(i)) };
  compare(`${name}, 0.001 of range`, samples, samples, 1e-3, 'at samples, of range');
}
