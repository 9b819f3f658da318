import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { PLANTED } from './planted-bugs.js';
import { PLANTED_IN_ENGINES } from './planted-engine-bugs.js';

const note = readFileSync('docs/method/testing.md', 'utf8');

/** The rows of the table behind a heading, without its head. */
function rowsBehind(heading: string): string[] {
  const part = note.split(`## ${heading}\n`)[1]?.split('\n## ')[0] ?? '';
  return part.split('\n').filter((line) => line.startsWith('| ') && !line.startsWith('| planted'));
}

describe('the tables of planted bugs in the method note', () => {
  it('have every bug of the adapters and its law, in their order', () => {
    expect(rowsBehind('Planted bugs in adapters')).toEqual(
      PLANTED.map(({ bug, law }) => `| ${bug} | ${law} |`),
    );
  });

  it('have every bug of the evaluators and its law, in their order', () => {
    expect(rowsBehind('Planted bugs in evaluators')).toEqual(
      PLANTED_IN_ENGINES.map(([bug, , law]) => `| ${bug} | ${law} |`),
    );
  });
});
