/**
 * Many walks from a table of cast members, over all cores:
 *
 *     npx tsx examples/batch/main.ts cast.csv out [--part 2/8] [--threads 4]
 *
 * A walk that is there already is not made again, so a run that was stopped goes on where it was. A row that
 * cannot be walked is reported and the others are made. `--part i/n` takes every n-th row, so that any job
 * queue can spread one table over n machines that share a folder.
 */
import { existsSync, readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { Piscina } from 'piscina';
import { readCast } from './read-cast.js';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    part: { type: 'string', default: '1/1' },
    threads: { type: 'string', default: String(availableParallelism()) },
  },
});
const [table, folder] = positionals;
const [part, parts] = values.part.split('/').map(Number);
if (!table || !folder || !(part >= 1 && part <= parts)) {
  console.error('usage: main.ts <cast.csv> <folder> [--part i/n] [--threads n]');
  process.exit(2);
}

/** A file name that says who it is and cannot leave the folder; the line keeps it unlike any other. */
function fileOf(name: string, line: number): string {
  const words = name.normalize('NFKD').match(/[A-Za-z0-9]+/g) ?? ['walk'];
  return `${String(line).padStart(4, '0')}-${words.join('-').toLowerCase().slice(0, 60)}`;
}

const rows = readCast(readFileSync(table, 'utf8')).filter((_, i) => i % parts === part - 1);
const pool = new Piscina({
  filename: new URL('./make-one.ts', import.meta.url).href,
  name: 'makeOne',
  maxThreads: Math.max(1, Number(values.threads)),
  execArgv: ['--import', 'tsx'],
});
let done = 0;
const counts = { made: 0, there: 0, failed: 0 };
const say = (name: string, what: string): void => {
  done++;
  console.log(`[${done}/${rows.length}] ${name}: ${what}`);
};
await Promise.all(
  rows.map(async ({ line, fields }) => {
    const file = fileOf(fields.name ?? '', line);
    if (existsSync(join(folder, `${file}.json`))) {
      counts.there++;
      say(fields.name, 'there already');
      return;
    }
    try {
      const told = await pool.run({ fields, folder, file });
      counts.made++;
      say(fields.name, told);
    } catch (error) {
      counts.failed++;
      say(fields.name, `line ${line} cannot be walked: ${(error as Error).message}`);
    }
  }),
);
await pool.destroy();
console.log(`${counts.made} made, ${counts.there} there already, ${counts.failed} failed, in ${folder}`);
