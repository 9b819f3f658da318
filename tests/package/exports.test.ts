import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { exportsOf, listEntries } from '../../tools/entries.js';

const manifest = JSON.parse(readFileSync('package.json', 'utf8'));

describe('the exports of the package', () => {
  it('are exactly the parts that have an index.ts (npm run exports writes them)', () => {
    expect(manifest.exports).toEqual(exportsOf(listEntries('.')));
  });

  it('name types first, since resolvers take the first condition that holds', () => {
    for (const target of Object.values<unknown>(manifest.exports)) {
      if (typeof target !== 'object' || target === null) continue;
      for (const branch of Object.values(target)) expect(Object.keys(branch as object)[0]).toBe('types');
    }
  });

  it('leave the internal parts out', () => {
    expect(Object.keys(manifest.exports).filter((key) => key.includes('internal'))).toEqual([]);
  });
});
