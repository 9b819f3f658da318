/**
 * `npm run bench` runs every `*.bench.ts` here; words after `--` choose files by name. With `--save` the
 * medians are added to the history of this machine in `bench/results/`, which is committed.
 *
 * Every file runs in a process of its own, all peers of its tasks with it: what an engine has learnt of a function
 * in one file must not slow it down in the next.
 */
import { execFileSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { arch, cpus, platform, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { allMeasured, readSink } from './harness.js';

const folder = fileURLToPath(new URL('.', import.meta.url));
const words = process.argv.slice(2);
const save = words.includes('--save');
const wanted = words.filter((word) => !word.startsWith('--'));

/** A name for machines of this kind that says nothing of whose it is. */
function nameMachine(): string {
  const model = cpus()[0]?.model ?? 'unknown';
  return `${platform()}-${arch()}-${model}`
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/-+$/, '');
}

function commit(): string {
  return execFileSync('git', ['describe', '--always', '--dirty'], { encoding: 'utf8' }).trim();
}

const files = readdirSync(folder)
  .filter((name) => name.endsWith('.bench.ts'))
  .filter((name) => wanted.length === 0 || wanted.some((word) => name.includes(word)))
  .sort();

const only = process.env.BENCH_FILE;
if (only !== undefined) {
  console.log(`\n# ${only}`);
  await import(pathToFileURL(join(folder, only)).href);
  console.log(`\n(sink ${readSink().toPrecision(3)})`);
  writeFileSync(process.env.BENCH_RESULTS as string, JSON.stringify(allMeasured()));
  process.exit();
}

const scratch = mkdtempSync(join(tmpdir(), 'bench-'));
const measured = files.flatMap((file): unknown[] => {
  const results = join(scratch, `${file}.json`);
  const env = { ...process.env, BENCH_FILE: file, BENCH_RESULTS: results };
  execFileSync(process.execPath, [...process.execArgv, fileURLToPath(import.meta.url)], {
    env,
    stdio: 'inherit',
  });
  return JSON.parse(readFileSync(results, 'utf8'));
});
rmSync(scratch, { recursive: true });
if (files.length === 0) console.log('no bench files');

if (save) {
  const path = join(folder, 'results', `${nameMachine()}.json`);
  mkdirSync(join(folder, 'results'), { recursive: true });
  const history: unknown[] = existsSync(path) ? JSON.parse(readFileSync(path, 'utf8')) : [];
  history.push({
    date: new Date().toISOString().slice(0, 10),
    commit: commit(),
    node: process.version,
    results: measured,
  });
  writeFileSync(path, `${JSON.stringify(history, null, 1)}\n`);
  console.log(`saved to bench/results/${nameMachine()}.json`);
}
