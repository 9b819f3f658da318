import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, inject, it } from 'vitest';
import { listEntries } from '../../../tools/entries.js';
import { runNode, runTool } from './run.js';

const consumer = inject('consumer');
const entries = listEntries('.');

/** The names that the package gives to a script, by either module system. */
function namesOf(specifier: string, system: 'import' | 'require'): string[] {
  const load = system === 'import' ? `await import('${specifier}')` : `require('${specifier}')`;
  const script = `console.log(JSON.stringify(Object.keys(${load}).sort()))`;
  const type = system === 'import' ? 'module' : 'commonjs';
  const { code, stdout, output } = runNode(consumer, [`--input-type=${type}`, '-e', script]);
  expect(code, output).toBe(0);
  return JSON.parse(stdout).filter((name: string) => name !== '__esModule');
}

/** Type-checks one script that uses everything the package exports, as a module of the given kind. */
function checkTypes(kind: 'esm' | 'cjs'): string {
  const folder = join(consumer, `types-${kind}`);
  mkdirSync(folder, { recursive: true });
  const lines = ['type IsAny<T> = 0 extends 1 & T ? true : false;'];
  entries.forEach(({ specifier }, index) => {
    lines.push(`import * as part${index} from '${specifier}';`);
    for (const name of namesOf(specifier, 'import')) {
      lines.push(`export const part${index}_${name}: IsAny<typeof part${index}.${name}> = false;`);
    }
  });
  writeFileSync(join(folder, kind === 'esm' ? 'use.mts' : 'use.cts'), lines.join('\n'));
  const compilerOptions = {
    module: 'node16',
    moduleResolution: 'node16',
    target: 'ES2022',
    lib: ['ES2022'],
    types: [],
    strict: true,
    skipLibCheck: false,
    noEmit: true,
  };
  writeFileSync(join(folder, 'tsconfig.json'), JSON.stringify({ compilerOptions, include: ['.'] }));
  const { code, output } = runTool(folder, 'typescript/bin/tsc', ['-p', '.']);
  return code === 0 ? '' : output;
}

describe('a script that installs the package', () => {
  it.each(entries)('imports and requires the same names from $specifier', ({ specifier }) => {
    const imported = namesOf(specifier, 'import');
    expect(imported.length).toBeGreaterThan(0);
    expect(imported).not.toContain('default');
    expect(namesOf(specifier, 'require')).toEqual(imported);
  });

  it('gets full types as an ES module, libraries checked', () => {
    expect(checkTypes('esm')).toBe('');
  });

  it('gets full types as CommonJS, libraries checked', () => {
    expect(checkTypes('cjs')).toBe('');
  });

  it('cannot reach the internal parts', () => {
    const { code, output } = runNode(consumer, [
      '--input-type=module',
      '-e',
      "await import('underfoot/internal')",
    ]);
    expect(code).not.toBe(0);
    expect(output).toContain('ERR_PACKAGE_PATH_NOT_EXPORTED');
  });
});
