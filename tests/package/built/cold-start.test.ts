import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, inject, it } from 'vitest';
import { listEntries } from '../../../tools/entries.js';
import { runNode } from './run.js';

const consumer = inject('consumer');

// The promise to users: a script that imports the library starts this little later than an empty one.
const LIMIT_MS = 20;
const PAIRS = 15;
// Other work on the machine only ever adds to a start, so the quietest of a few rounds counts.
const ROUNDS = 4;
const PROMISED = ['underfoot', 'underfoot/gait', 'underfoot/curves', 'underfoot/secondary'];

const TELL_PROCESSOR_TIME = `process.on('exit', () => {
  const { user, system } = process.cpuUsage();
  console.log((user + system) / 1000);
});
`;

interface Start {
  /** Time from start to end, in ms. */
  readonly wall: number;
  /** Processor time, in ms. */
  readonly processor: number;
}

function startNode(file: string): Start {
  const from = performance.now();
  const { code, stdout, output } = runNode(consumer, [file]);
  const wall = performance.now() - from;
  expect(code, output).toBe(0);
  return { wall, processor: Number(stdout) };
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
}

/** What the import costs over an empty script, in medians over pairs that take turns. */
function measureRound(): Start {
  const pairs = Array.from({ length: PAIRS }, () => {
    const empty = startNode('empty.mjs');
    const full = startNode('start.mjs');
    return { wall: full.wall - empty.wall, processor: full.processor - empty.processor };
  });
  return {
    wall: median(pairs.map(({ wall }) => wall)),
    processor: median(pairs.map(({ processor }) => processor)),
  };
}

describe('a cold start of Node', () => {
  const promised = listEntries('.').filter(({ specifier }) => PROMISED.includes(specifier));

  it.each(promised)(`takes at most ${LIMIT_MS} ms longer with $specifier`, ({ specifier }) => {
    writeFileSync(join(consumer, 'empty.mjs'), TELL_PROCESSOR_TIME);
    writeFileSync(join(consumer, 'start.mjs'), `import '${specifier}';\n${TELL_PROCESSOR_TIME}`);
    startNode('empty.mjs');
    startNode('start.mjs');
    let best = measureRound();
    for (let round = 1; round < ROUNDS && best.wall > LIMIT_MS; round++) {
      const next = measureRound();
      if (next.wall < best.wall) best = next;
    }
    const figures = `${best.wall.toFixed(1)} ms, ${best.processor.toFixed(1)} ms of processor time`;
    console.log(`cold start: ${specifier} costs ${figures} over an empty Node (median of ${PAIRS} pairs)`);
    expect(best.wall).toBeLessThanOrEqual(LIMIT_MS);
  });
});
