import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { format } from 'node:util';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { blockModule } from './block-modules.js';
import { listDocBlocks, nameBlock, printedLines } from './doc-blocks.js';

const blocks = listDocBlocks(process.cwd());

describe('the code that the documentation shows', () => {
  // Examples that write files do so in a folder of their own.
  const home = process.cwd();
  const folder = mkdtempSync(join(tmpdir(), 'underfoot-docs-'));
  beforeAll(() => process.chdir(folder));
  afterAll(() => {
    process.chdir(home);
    rmSync(folder, { recursive: true, force: true });
  });

  it('is found', () => {
    expect(blocks.length).toBeGreaterThan(0);
  });

  it.each(blocks.map((block) => [nameBlock(block), block] as const))(
    '%s prints what it says',
    async (name, block) => {
      let printed = '';
      const log = vi.spyOn(console, 'log').mockImplementation((...values) => {
        printed += `${format(...values)}\n`;
      });
      try {
        await import(/* @vite-ignore */ blockModule(name));
      } finally {
        log.mockRestore();
      }
      expect(printedLines(printed)).toEqual(block.expected);
    },
  );
});
