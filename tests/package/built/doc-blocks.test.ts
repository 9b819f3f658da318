import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';
import { beforeAll, describe, expect, inject, it } from 'vitest';
import { type DocBlock, listDocBlocks, nameBlock, printedLines } from '../../docs/doc-blocks.js';
import { runNode, runTool } from './run.js';

const blocks = listDocBlocks('.');
const folder = join(inject('consumer'), 'doc-blocks');

function fileOf(block: DocBlock): string {
  return nameBlock(block).replaceAll(/[^\w.-]/g, '_');
}

describe('the code that the documentation shows, with the built package', () => {
  beforeAll(() => {
    mkdirSync(folder, { recursive: true });
    for (const block of blocks) {
      // `export {}` makes a module of a block that imports nothing, for its top-level await.
      writeFileSync(join(folder, `${fileOf(block)}.mts`), `${block.code}\nexport {};\n`);
    }
    const compilerOptions = {
      module: 'node16',
      moduleResolution: 'node16',
      target: 'ES2022',
      lib: ['ES2022', 'DOM'],
      types: ['node'],
      strict: true,
      skipLibCheck: true,
      noEmit: true,
    };
    writeFileSync(join(folder, 'tsconfig.json'), JSON.stringify({ compilerOptions, include: ['.'] }));
  });

  it('has the types it claims', () => {
    const { code, output } = runTool(folder, 'typescript/bin/tsc', ['-p', '.']);
    expect(code, output).toBe(0);
  });

  it.each(blocks.map((block) => [nameBlock(block), block] as const))('%s prints what it says', (_, block) => {
    const options = { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2022 };
    const script = ts.transpileModule(`${block.code}\nexport {};\n`, { compilerOptions: options }).outputText;
    writeFileSync(join(folder, `${fileOf(block)}.mjs`), script);
    const { code, stdout, output } = runNode(folder, [`${fileOf(block)}.mjs`]);
    expect(code, output).toBe(0);
    expect(printedLines(stdout)).toEqual(block.expected);
  });
});
