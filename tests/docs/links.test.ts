import { existsSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { describe, expect, it } from 'vitest';
import { listDocs } from './doc-blocks.js';

/** The targets of the links and pictures of a Markdown text, without those in code. */
function linksOf(text: string): string[] {
  const prose = text.replace(/(`{3,}|~{3,})[\s\S]*?\1/g, '').replace(/`[^`\n]*`/g, '');
  return [...prose.matchAll(/\]\(([^)\s]+)[^)]*\)|<(?:img|source)[^>]*\ssrc(?:set)?="([^"]+)"/g)].map(
    (m) => m[1] ?? m[2],
  );
}

/** The anchor under which a heading can be linked to. */
function anchorOf(heading: string): string {
  return heading
    .trim()
    .toLowerCase()
    .replace(/[^\p{L}\p{N}\s_-]/gu, '')
    .replace(/\s/g, '-');
}

function anchorsOf(text: string): string[] {
  return [...text.matchAll(/^#+\s+(.*)$/gm)].map((match) => anchorOf(match[1]));
}

describe('the links of the documentation', () => {
  it.each(listDocs('.'))('%s points only at what exists', (file) => {
    const text = readFileSync(file, 'utf8');
    const broken = linksOf(text).filter((link) => {
      if (/^[a-z]+:/.test(link)) return false;
      const [path, anchor] = decodeURI(link).split('#');
      const target = path === '' ? file : normalize(join(dirname(file), path));
      if (!existsSync(target)) return true;
      return (
        anchor !== undefined &&
        target.endsWith('.md') &&
        !anchorsOf(readFileSync(target, 'utf8')).includes(anchor)
      );
    });
    expect(broken).toEqual([]);
  });
});
