/**
 * `npm run bench` runs every `*.bench.ts` here; words after `--` choose files by name. With `--save` the
 * medians are added to the history of this machine in `bench/results/`, which is committed.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { arch, cpus, platform } from 'node:os';
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

for (const file of files) {
  console.log(`\n# ${file}`);
  await import(pathToFileURL(join(folder, file)).href);
}
if (files.length === 0) console.log('no bench files');
console.log(`\n(sink ${readSink().toPrecision(3)})`);

if (save) {
  const path = join(folder, 'results', `${nameMachine()}.json`);
  mkdirSync(join(folder, 'results'), { recursive: true });
  const history: unknown[] = existsSync(path) ? JSON.parse(readFileSync(path, 'utf8')) : [];
  history.push({
    date: new Date().toISOString().slice(0, 10),
    commit: commit(),
    node: process.version,
    results: allMeasured(),
  });
  writeFileSync(path, `${JSON.stringify(history, null, 1)}\n`);
  console.log(`saved to bench/results/${nameMachine()}.json`);
}
