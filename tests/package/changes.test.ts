import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const files = readdirSync('.changeset').filter((name) => name.endsWith('.md') && name !== 'README.md');

describe('the changes on their way to a release', () => {
  it.skipIf(files.length === 0).each(files)(
    '%s says which kind of release it asks for, and what changes',
    (file) => {
      const text = readFileSync(`.changeset/${file}`, 'utf8');
      expect(text).toMatch(/^---\n(['"])underfoot\1: (major|minor|patch)\n---\n\n\S/);
    },
  );
});
