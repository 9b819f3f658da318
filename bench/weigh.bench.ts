import { readFileSync } from 'node:fs';
import { keyRoot, planWalk, sampleReactions } from '../src/gait/index.js';
import { compareReactions, readPlates, repair, weighCurves } from '../src/weigh/index.js';
import { scaled } from '../tests/weigh/truth-cases.js';
import { bench } from './harness.js';

const fixture = (name: string) =>
  new Uint8Array(readFileSync(new URL(`../tests/fixtures/${name}`, import.meta.url)));
const [table, c3d] = [fixture('treadmill-1.30.tsv'), fixture('treadmill-1.30.c3d')];

bench('read 30 s of two plates at 300 Hz', [
  { name: 'table, 0.7 MB', run: () => readPlates(table, { rate: 300 }).contacts.length },
  { name: 'C3D, 0.5 MB', run: () => readPlates(c3d).contacts.length },
]);

const walks = ['slow', 'ordinary', 'brisk'] as const;
const keyed = walks.map((pace) => keyRoot(planWalk({ pace }), { fps: 24, of: 'root' }));
const tall = keyed.map(({ height }) => ({ height: scaled(height, 5) }));
const options = { of: 'root', fps: 24 } as const;
const findings = tall.map((curves) => weighCurves(curves, options).findings);

bench('weigh a loop of 8 to 16 keys', [
  {
    name: 'weighCurves, three paths',
    run: (i) => weighCurves({ ...pick(keyed[i % 3]) }, options).load.max,
  },
  {
    name: 'repair, a bob five times too tall',
    run: (i) => repair(tall[i % 3], findings[i % 3], options).removed.length,
  },
]);

const tables = walks.map((pace) => sampleReactions(planWalk({ pace })));
bench('compare two strides of 240 samples', [
  { name: 'compareReactions', run: (i) => compareReactions(tables[i % 3], tables[(i + 1) % 3]).worst.a },
]);

function pick({ height, forward, side }: (typeof keyed)[number]) {
  return { height, forward, side };
}
