import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, inject, it } from 'vitest';
import { listEntries } from '../../../tools/entries.js';
import { runNode } from './run.js';

const consumer = inject('consumer');

// The promise to users: a script that imports the library starts this little later than an empty one.
const LIMIT_MS = 20;
const RUNS = 21;
const PROMISED = ['underfoot', 'underfoot/gait', 'underfoot/curves', 'underfoot/secondary'];

function timeNode(file: string): number {
  const from = performance.now();
  const { code, output } = runNode(consumer, [file]);
  const time = performance.now() - from;
  expect(code, output).toBe(0);
  return time;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
}

describe('a cold start of Node', () => {
  const promised = listEntries('.').filter(({ specifier }) => PROMISED.includes(specifier));

  it.each(promised)(`takes at most ${LIMIT_MS} ms longer with $specifier`, ({ specifier }) => {
    writeFileSync(join(consumer, 'empty.mjs'), '');
    writeFileSync(join(consumer, 'start.mjs'), `import '${specifier}';\n`);
    timeNode('empty.mjs');
    timeNode('start.mjs');
    // The two take turns, so that a busy moment of the machine hits both.
    const extra = Array.from({ length: RUNS }, () => {
      const empty = timeNode('empty.mjs');
      return timeNode('start.mjs') - empty;
    });
    const cost = median(extra);
    console.log(
      `cold start: ${specifier} costs ${cost.toFixed(1)} ms over an empty Node (median of ${RUNS} pairs)`,
    );
    expect(cost).toBeLessThanOrEqual(LIMIT_MS);
  });
});
