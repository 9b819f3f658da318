import { execFile } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readCast } from '../../examples/batch/read-cast.js';
import { readDocument } from '../../src/exchange/read-document.js';

let folder: string;
const run = async (...more: string[]): Promise<string> => {
  const args = [
    'node_modules/tsx/dist/cli.mjs',
    'examples/batch/main.ts',
    join(folder, 'cast.csv'),
    join(folder, 'out'),
    ...more,
  ];
  return (await promisify(execFile)(process.execPath, args)).stdout;
};

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'batch-'));
  const rows = [
    'name,pace,leg_m',
    '"Porter, ""Old""",slow,0.9',
    'Nobody,ordinary,-1',
    'Child,ordinary,0.55',
    '../../Thief,brisk,0.9',
  ];
  writeFileSync(join(folder, 'cast.csv'), rows.join('\r\n'));
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('the example that makes many walks', () => {
  it('makes its share of the table, then the rest, and reports the bad row', async () => {
    const share = await run('--part', '1/2', '--threads', '1');
    expect(share).toContain('2 made, 0 there already, 0 failed');
    const [first] = readdirSync(join(folder, 'out')).filter((name) => name.endsWith('.json'));
    const made = statSync(join(folder, 'out', first)).mtimeMs;
    const rest = await run('--threads', '2');
    expect(rest).toContain('line 3 cannot be walked: planWalk: body.legLength must be > 0 m, got -1');
    expect(rest).toContain('[4/4]');
    expect(rest).toContain('1 made, 2 there already, 1 failed');
    expect(statSync(join(folder, 'out', first)).mtimeMs).toBe(made);
    const files = readdirSync(join(folder, 'out')).sort();
    expect(files.filter((name) => name.endsWith('.json'))).toEqual([
      '0002-porter-old.json',
      '0004-child.json',
      '0005-thief.json',
    ]);
    expect(files).toHaveLength(9);
    const document = readDocument(readFileSync(join(folder, 'out', files[1]), 'utf8'));
    expect(document.name).toBe('Porter, "Old"');
  });
});

describe('the table of a cast', () => {
  it('may have quotes, line breaks in them, a byte order mark and empty lines', () => {
    expect(readCast('\ufeffname,pace\r\n"a\nb","x ""y"""\r\n\r\nc,d')).toEqual([
      { line: 2, fields: { name: 'a\nb', pace: 'x "y"' } },
      { line: 5, fields: { name: 'c', pace: 'd' } },
    ]);
    expect(readCast('')).toEqual([]);
  });
});
