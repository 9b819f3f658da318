/**
 * The fewest smooth segments through 1000 samples of three shapes, to three tolerances: time, keys and the true
 * largest error on a grid ten times finer than the samples, beside a general-purpose curve fitter.
 */
import fitPoints from 'fit-curve';
import { type Curve, createSampler, fitCurve, type Key } from '../src/curves/index.js';
import { bench, createRng, type Peer } from './harness.js';

const SAMPLES = 1000;
const times = Array.from({ length: SAMPLES }, (_, i) => i / (SAMPLES - 1));
const doubleHump = (x: number): number =>
  Math.sin(Math.PI * x) + 0.3 * Math.sin(3 * Math.PI * x) + 0.05 * Math.sin(9 * Math.PI * x);
const rng = createRng(11);
const noise = times.map(() => 2e-4 * (2 * rng() - 1));

interface Shape {
  readonly name: string;
  readonly exact: (x: number) => number;
  readonly noisy: boolean;
}

const shapes: Shape[] = [
  { name: 'sine', exact: (x) => Math.sin(2 * Math.PI * x), noisy: false },
  { name: 'double hump', exact: doubleHump, noisy: false },
  { name: 'double hump with noise', exact: doubleHump, noisy: true },
];

/** Largest error against the exact shape, as a share of its range. */
function errorOf(curve: Curve, exact: (x: number) => number, range: number): number {
  const sampler = createSampler(curve);
  const out = new Float64Array(1);
  let worst = 0;
  for (let i = 0; i <= 10 * (SAMPLES - 1); i++) {
    const x = i / (10 * (SAMPLES - 1));
    sampler.sample(x, out);
    worst = Math.max(worst, Math.abs(out[0] - exact(x)));
  }
  return worst / range;
}

/** The peer's segments as keys: its corners keep both their slopes. */
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

for (const { name, exact, noisy } of shapes) {
  const clean = times.map(exact);
  const range = Math.max(...clean) - Math.min(...clean);
  const values = clean.map((v, i) => v + (noisy ? range * noise[i] : 0));
  for (const share of noisy ? [1e-3] : [1e-3, 1e-4, 1e-5]) {
    const tolerance = share * range;
    const fitting = (search: 'quick' | 'fewest') => () =>
      fitCurve({ times, values }, { tolerance, search }).curve;
    // Time is stretched for the peer, so that its distances are all but vertical ones; its bound is a squared one.
    const stretch = 1e3 * range;
    const points = times.map((t, i) => [t * stretch, values[i]]);
    const peer = (): Curve =>
      curveOfPieces(
        fitPoints(points, tolerance ** 2).map((piece) => piece.map(([x, y]) => [x / stretch, y])),
      );
    const makers = [
      { name: 'underfoot, quick', make: fitting('quick') },
      { name: 'underfoot, fewest', make: fitting('fewest') },
      { name: 'fit-curve, time stretched', make: peer },
    ];
    const peers = makers.map(({ name: label, make }): Peer => {
      const curve = make();
      let maxError: number | undefined;
      try {
        maxError = errorOf(curve, exact, range);
      } catch {
        maxError = undefined;
      }
      return { name: label, keys: curve.keys.length, maxError, run: () => make().keys.length };
    });
    bench(`${name}, ${share} of range`, peers, { batches: 15, errorLabel: 'true max, of range' });
  }
}
