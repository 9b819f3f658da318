/**
 * Prints the tables of `docs/method/secondary.md`.
 *
 *     npx tsx tools/secondary/measure.ts
 */
import { measureFollow } from '../../demo/measure-follow.js';
import type { Series } from '../../src/curves/series.js';
import { sampleTrack } from '../../src/secondary/follower-track.js';
import {
  BOUNCES,
  bellyOf,
  type FollowerTrack,
  followBounce,
  followStrand,
  STRANDS,
  type StrandModel,
  trackValue,
} from '../../src/secondary/index.js';
import { accelerationOf, CROOKED, velocityOf } from '../../tests/secondary/drivers.js';

const G = 9.80665;
const SIDE: Series = { period: 1.1, mean: 0, drift: 0, cos: [0.012, 0, 0.002], sin: [0.006, 0.003, 0] };
const SEAMS = [1, 2, 4, 8, 12, 15].flatMap((k) => [1 - 10 ** -k, 1 + 10 ** -k]);
const ZETAS = [1e-3, 0.05, 0.2155, 0.7, ...SEAMS, 1, 1.5, 2, 2.5, 5];

function row(cells: readonly (string | number)[]): void {
  console.log(`| ${cells.join(' | ')} |`);
}

const jet = new Float64Array(3);
const stateOf = (track: FollowerTrack, t: number): [number, number] => {
  sampleTrack(track, t, jet);
  return [jet[0], jet[1]];
};

type Equation = (t: number, y: readonly [number, number]) => [number, number];

/** The state at `to` by Runge–Kutta of fourth order, so many steps that its own error is rounding. */
function integrate(f: Equation, state: [number, number], to: number): [number, number] {
  const steps = 12_000;
  const h = to / steps;
  let [z, v] = state;
  for (let i = 0; i < steps; i++) {
    const t = i * h;
    const a = f(t, [z, v]);
    const b = f(t + h / 2, [z + (h / 2) * a[0], v + (h / 2) * a[1]]);
    const c = f(t + h / 2, [z + (h / 2) * b[0], v + (h / 2) * b[1]]);
    const d = f(t + h, [z + h * c[0], v + h * c[1]]);
    z += (h / 6) * (a[0] + 2 * b[0] + 2 * c[0] + d[0]);
    v += (h / 6) * (a[1] + 2 * b[1] + 2 * c[1] + d[1]);
  }
  return [z, v];
}

/** Largest gap after 0.3, 0.7 and 1 period between a loop and an integration set out on it, over the loop's size. */
function gapOf(track: FollowerTrack, f: Equation): number {
  let size = 0;
  for (let i = 0; i < 64; i++) size = Math.max(size, Math.abs(stateOf(track, (i * 1.1) / 64)[0]));
  const gaps = [0.3, 0.7, 1].map((part) => {
    const [z] = integrate(f, stateOf(track, 0), part * 1.1);
    return Math.abs(z - stateOf(track, part * 1.1)[0]) / size;
  });
  return Math.max(...gaps);
}

const bounceGap = (dampedBy: 'parent' | 'air') => (zeta: number) => {
  const omega = 2 * Math.PI * 2.3;
  const f: Equation = (t, [z, v]) => {
    const air = dampedBy === 'air' ? velocityOf(CROOKED, t) : 0;
    return [v, -2 * zeta * omega * (v + air) - omega * omega * z - accelerationOf(CROOKED, t)];
  };
  const { height } = followBounce(
    { height: CROOKED },
    { frequencyHz: 2.3, dampingRatio: zeta, dampedBy },
  ).tracks;
  return gapOf(height as Series, f);
};

const rodGap = (model: StrandModel, dampedBy: 'parent' | 'air') => (zeta: number) => {
  const l = 0.2;
  const drag = 2 * zeta * Math.sqrt((3 * G) / (2 * l));
  const air = dampedBy === 'air' ? drag : 0;
  const f: Equation = (t, [x, v]) => {
    const down = accelerationOf(CROOKED, t) + air * velocityOf(CROOKED, t);
    const across = accelerationOf(SIDE, t) + air * velocityOf(SIDE, t);
    const [s, c] = model === 'full' ? [Math.sin(x), Math.cos(x)] : [x, 1];
    return [v, -drag * v - (1.5 / l) * ((G + down) * s + across * c)];
  };
  const part = { length: l, links: 1, dampingRatio: zeta, dampedBy };
  const { links } = followStrand({ height: CROOKED, side: SIDE }, part, { model, space: 'world' });
  return gapOf(links[0].roll, f);
};

console.log('\nLoops beside an integration of fourth order, damping ratios 0.001 to 5 and 1 ± 10⁻ᵏ\n');
row(['answer', 'damped by', 'largest gap, of the swing', 'bar']);
row(['---', '---', '---:', '---:']);
for (const dampedBy of ['parent', 'air'] as const) {
  const worst = (gap: (zeta: number) => number): string => Math.max(...ZETAS.map(gap)).toExponential(1);
  row(['bounce', dampedBy, worst(bounceGap(dampedBy)), '1e-8']);
  row(['one link, small angles', dampedBy, worst(rodGap('small', dampedBy)), '1e-8']);
  row(['one link, full', dampedBy, worst(rodGap('full', dampedBy)), '1e-5']);
}

console.log('\nThree paces\n');
row(['walk', 'load over', 'belly over', 'hair’s tip over']);
row(['---', '---:', '---:', '---:']);
const parts = { belly: bellyOf(10).part, hair: STRANDS.ponytail.part };
for (const pace of ['slow', 'ordinary', 'brisk'] as const) {
  const { speed, load, belly, hair } = measureFollow(
    pace,
    { pace, body: { mass: 72, legLength: 0.9 } },
    parts,
  );
  row([
    `${pace}, ${speed.toFixed(2)} m/s`,
    `${load.range.toFixed(2)} BW`,
    `${belly.range.toFixed(1)} cm`,
    `${hair.range.toFixed(1)} cm`,
  ]);
}

/** A push of 20 cm in a third of a second, then nothing. */
const EVERY = 1 / 60;
const push = Array.from({ length: 25 }, (_, i) => 0.2 * Math.sin((Math.min(1, i / 20) * Math.PI) / 2) ** 2);

function describe(valueAt: (t: number) => number): readonly [string, string] {
  const frames = Array.from({ length: 24 * 9 * 4 }, (_, i) => i / 96);
  const values = frames.map((t) => Math.abs(valueAt(t)));
  const most = Math.max(...values);
  const first = frames[values.indexOf(most)];
  const last = frames.filter((_, i) => values[i] > 0.05 * most).pop() ?? 0;
  return [(24 * first).toFixed(1), (24 * last).toFixed(0)];
}

console.log('\nPresets under a push of 20 cm in a third of a second, 24 fps\n');
row(['preset', 'dragged furthest, frame', 'settled to a twentieth, frame', 'source']);
row(['---', '---:', '---:', '---']);
for (const [name, { part, source }] of Object.entries(STRANDS)) {
  const driver = { forward: push, every: EVERY, repeats: false };
  const { links } = followStrand(driver, part, { model: 'small', settle: 9 });
  row([name, ...describe((t) => links.reduce((sum, { pitch }) => sum + trackValue(pitch, t), 0)), source]);
}
const bounces = {
  ...BOUNCES,
  'belly of 5 kg': bellyOf(5),
  'belly of 10 kg': bellyOf(10),
  'belly of 20 kg': bellyOf(20),
};
for (const [name, { part, source }] of Object.entries(bounces)) {
  const { height } = followBounce({ height: push, every: EVERY, repeats: false }, part, { settle: 9 }).tracks;
  row([name, ...describe((t) => trackValue(height, t)), source]);
}
