/**
 * The tables of error against key count in `docs/method/curves.md`: `npx tsx bench/curves-error-table.ts --write`.
 *
 * Planned walks at 24 fps, keys on whole frames; free spans as `fitCurve` finds them beside third-length
 * spans on evenly spaced frames with exact values and slopes.
 */

import { readFileSync, writeFileSync } from 'node:fs';
import { createSampler, evaluateSeries, fitCurve, fromHermite, type Series } from '../src/curves/index.js';
import { planWalk } from '../src/gait/plan-walk.js';
import { pathOf } from '../src/gait/root.js';
import { snapToFrames } from '../src/gait/snap-to-frames.js';

const GRAVITY = 9.80665;

/** One body weight of load error counts as 10 mm. */
const WEIGHT = 0.01 / GRAVITY;

interface Row {
  readonly mm: number;
  readonly load: number;
  readonly jump: number;
}

const worstOf = (rows: readonly Row[]): Row => ({
  mm: Math.max(...rows.map((row) => row.mm)),
  load: Math.max(...rows.map((row) => row.load)),
  jump: Math.max(...rows.map((row) => row.jump)),
});

/** Error of keys with third-length spans on evenly spread frames, exact in value and slope. */
function thirdsError(source: Series, perStride: number): Row {
  const frames = Math.round(source.period * 24);
  const keys = Array.from({ length: perStride }, (_, i) => {
    const time = Math.round((i * frames) / perStride) / 24;
    const { value, velocity } = evaluateSeries(source, time);
    return { time, value, in: velocity, out: velocity };
  });
  const outside = source.drift === 0 ? ('loops' as const) : ('travels' as const);
  const curve = {
    keys: fromHermite(keys, source.period),
    start: 0,
    period: source.period,
    ...(source.drift === 0 ? {} : { gain: source.drift }),
    before: outside,
    after: outside,
  };
  const sampler = createSampler(curve);
  const jet = new Float64Array(3);
  let mm = 0;
  let squares = 0;
  const count = 4000;
  for (let i = 0; i < count; i++) {
    const t = ((i + 0.5) * source.period) / count;
    sampler.sampleJets(t, jet);
    const exact = evaluateSeries(source, t);
    mm = Math.max(mm, 1e3 * Math.abs(jet[0] - exact.value));
    squares += ((jet[2] - exact.acceleration) / GRAVITY) ** 2;
  }
  let jump = 0;
  for (const { time } of keys) {
    sampler.sampleJets(time + 1e-9, jet);
    const right = jet[2];
    sampler.sampleJets(time - 1e-9 + source.period, jet);
    jump = Math.max(jump, Math.abs(right - jet[2]) / GRAVITY);
  }
  return { mm, load: Math.sqrt(squares / count), jump };
}

function freeError(source: Series, perStride: number, keysAt?: readonly number[]): Row {
  const { error } = fitCurve(source, {
    keyCount: perStride,
    frames: { fps: 24 },
    load: { weight: WEIGHT },
    keysAt,
  });
  return { mm: 1e3 * error.value.max, load: error.load!.rms / GRAVITY, jump: error.jump!.max / GRAVITY };
}

const walks = [
  ...(['slow', 'ordinary', 'brisk'] as const).map((pace) => ({ name: pace, walk: planWalk({ pace }) })),
  ...[12, 13, 14, 16].map((frames) => ({
    name: `${frames} frames a step`,
    walk: planWalk({ pace: { framesPerStep: frames, fps: 24 } }),
  })),
  ...[0, 1].map((poseTiming) => ({
    name: poseTiming ? 'charted, 12 frames a step' : 'measured, 12 frames a step',
    walk: planWalk({ pace: { framesPerStep: 12, fps: 24 }, poseTiming }),
  })),
].map(({ name, walk }) => ({ name, walk: snapToFrames(walk, { fps: 24 }) }));

const number = (x: number): string => (x === 0 ? '0' : Number(x.toPrecision(2)).toString());

/** One table per channel, the worst of all walks in each cell. */
function tables(): string {
  const lines: string[] = [];
  for (const channel of ['height', 'forward', 'side'] as const) {
    const title = channel[0].toUpperCase() + channel.slice(1);
    lines.push('', `${title}:`, '');
    lines.push('| keys a step | free spans: mm | BW rms | jump, BW | thirds: mm | BW rms | jump, BW |');
    lines.push('|---|---|---|---|---|---|---|');
    const sources = walks.map(({ walk }) => pathOf(walk, 'centreOfMass')[channel]);
    for (const keys of [2, 3, 4, 6, 8]) {
      const free = worstOf(sources.map((source) => freeError(source, 2 * keys)));
      const thirds = worstOf(sources.map((source) => thirdsError(source, 2 * keys)));
      const cells = [free.mm, free.load, free.jump, thirds.mm, thirds.load, thirds.jump].map(number);
      lines.push(`| ${keys} | ${cells.join(' | ')} |`);
    }
  }
  return lines.join('\n');
}

const text = tables();
console.log(text);
if (process.argv.includes('--write')) {
  const file = new URL('../docs/method/curves.md', import.meta.url);
  const page = readFileSync(file, 'utf8');
  const [before, rest] = page.split('<!-- tables -->');
  const after = rest.split('<!-- end of tables -->')[1];
  writeFileSync(file, `${before}<!-- tables -->\n${text}\n\n<!-- end of tables -->${after}`);
}

console.log('\nheight, worst of each walk at 2, 3, 4 keys a step: mm / BW rms / jump BW\n');
for (const { name, walk } of walks) {
  const { height } = pathOf(walk, 'centreOfMass');
  const cells = [2, 3, 4]
    .map((keys) => freeError(height, 2 * keys))
    .map((row) => [row.mm, row.load, row.jump].map(number).join(' / '));
  const step = Math.round(walk.pace.strideTime * 24) / 2;
  const poses = [0, 0.25, 0.5, 0.75].map((share) => Math.round(share * step) / 24);
  const forced = Number.isInteger(step)
    ? freeError(height, 8, [...poses, ...poses.map((t) => t + step / 24)]).mm
    : Number.NaN;
  console.log(`| ${name} | ${cells.join(' | ')} | four poses forced: ${number(forced)} mm |`);
}

const { walk } = walks[1];
const path = pathOf(walk, 'centreOfMass');
const times: number[] = [];
for (let i = 0; i < 40; i++) {
  const begin = performance.now();
  for (const channel of ['height', 'forward', 'side'] as const) {
    fitCurve(path[channel], { keyCount: 8, frames: { fps: 24 }, load: { weight: WEIGHT } });
  }
  times.push(performance.now() - begin);
}
times.sort((a, b) => a - b);
console.log(
  `\nthree channels of a walk at 4 keys a step: median ${times[20].toFixed(2)} ms, least ${times[0].toFixed(2)} ms`,
);
