import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, inject, it } from 'vitest';
import { listEntries } from '../../../tools/entries.js';
import { runTool } from './run.js';

const tarball = inject('tarball');
const installed = join(inject('consumer'), 'node_modules/underfoot');

function filesOf(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
    statSync(join(folder, name)).isFile(),
  );
}

describe('the packed package', () => {
  it.each(listEntries('.'))('has code and types of $specifier for both module systems', ({ folder }) => {
    const stem = join(installed, 'dist', folder, 'index');
    for (const ending of ['.js', '.cjs', '.d.ts', '.d.cts']) {
      expect(existsSync(stem + ending), stem + ending).toBe(true);
      expect(statSync(stem + ending).size).toBeGreaterThan(0);
    }
  });

  it('holds what users need and nothing else', () => {
    const stray = filesOf(installed).filter(
      (name) =>
        !/^(dist\/.*\.(js|cjs|d\.ts|d\.cts|json)|package\.json|README\.md|LICENSE|CHANGELOG\.md)$/.test(name),
    );
    expect(stray).toEqual([]);
    for (const name of ['README.md', 'LICENSE', 'CHANGELOG.md'])
      expect(existsSync(join(installed, name))).toBe(true);
  });

  it('shows no types of its own dependencies', () => {
    // They would be `any` for most users and an error from CommonJS, and no linter of packages says so.
    const leaks = filesOf(installed)
      .filter((name) => /\.d\.c?ts$/.test(name))
      .filter((name) => /['"](mathjs|bezier-js)['"]/.test(readFileSync(join(installed, name), 'utf8')));
    expect(leaks).toEqual([]);
  });

  it('satisfies publint', () => {
    const { code, output } = runTool('.', 'publint/src/cli.js', [tarball, '--strict']);
    expect(code, output).toBe(0);
  });

  it('satisfies attw for every resolver since Node 16', () => {
    const { code, output } = runTool('.', '@arethetypeswrong/cli/dist/index.js', [
      tarball,
      '--profile',
      'node16',
    ]);
    expect(code, output).toBe(0);
  });
});
