import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** A piece of code that the documentation shows, and what it says the code prints. */
export interface DocBlock {
  /** File, from the root of the repository. */
  readonly file: string;
  /** Line of its first line of code, counted from 1. */
  readonly line: number;
  readonly code: string;
  /** The text after each `// →`, in order: one for each line printed. */
  readonly expected: readonly string[];
}

const CODE_FENCE = /^(\s*)(`{3,}|~{3,})\s*(ts|typescript|js|javascript)\b/;
const PROMISE = /\/\/\s*→\s?(.*)$/;

function blockOf(file: string, line: number, lines: readonly string[]): DocBlock {
  const expected = lines.flatMap((text) => PROMISE.exec(text)?.[1].trim() ?? []);
  return { file, line, code: lines.join('\n'), expected };
}

/** The fenced TypeScript blocks of lines of Markdown, which begin at line `from` of the file. */
function fencedBlocks(file: string, lines: readonly string[], from: number): DocBlock[] {
  const blocks: DocBlock[] = [];
  for (let i = 0; i < lines.length; i++) {
    const open = CODE_FENCE.exec(lines[i]);
    if (!open) continue;
    const first = i + 1;
    i = first;
    while (i < lines.length && !lines[i].trim().startsWith(open[2])) i++;
    const code = lines
      .slice(first, i)
      .map((text) => text.slice(Math.min(open[1].length, text.search(/\S|$/))));
    blocks.push(blockOf(file, from + first, code));
  }
  return blocks;
}

/** The blocks of a Markdown text. */
export function markdownBlocks(file: string, text: string): DocBlock[] {
  return fencedBlocks(file, text.split('\n'), 1);
}

/** The `@example` blocks in the doc comments of a source text; an example without a fence is all code. */
export function exampleBlocks(file: string, text: string): DocBlock[] {
  const blocks: DocBlock[] = [];
  const lines = text.split('\n').map((line) => line.replace(/\r$/, ''));
  let inComment = false;
  let example: { from: number; lines: string[] } | undefined;
  const finish = () => {
    if (!example) return;
    const { from, lines: body } = example;
    const fenced = fencedBlocks(file, body, from);
    if (fenced.length > 0) blocks.push(...fenced);
    else if (body.some((line) => line.trim() !== '')) blocks.push(blockOf(file, from, body));
    example = undefined;
  };
  lines.forEach((line, index) => {
    if (!inComment) {
      if (!/^\s*\/\*\*/.test(line)) return;
      inComment = true;
    }
    const ends = line.includes('*/');
    const inner = line.replace(/\s*\*+\/.*$/, '').replace(/^\s*\/?\*+ ?/, '');
    const tag = /^@(\w+)/.exec(inner);
    if (tag) {
      finish();
      // Text behind the tag is its title; the code starts on the next line.
      if (tag[1] === 'example') example = { from: index + 2, lines: [] };
    } else if (example && !(ends && inner.trim() === '')) {
      example.lines.push(inner);
    }
    if (ends) {
      finish();
      inComment = false;
    }
  });
  return blocks;
}

function filesBelow(root: string, folder: string, ending: string): string[] {
  if (!existsSync(join(root, folder))) return [];
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .map((name) => `${folder}/${name.replaceAll('\\', '/')}`)
    .filter((name) => name.endsWith(ending))
    .sort();
}

/** The Markdown files that people read: everything but the generated reference. */
export function listDocs(root: string): string[] {
  const top = readdirSync(root).filter((name) => name.endsWith('.md'));
  const docs = filesBelow(root, 'docs', '.md').filter((name) => !name.startsWith('docs/api/'));
  return [...top.sort(), ...docs];
}

/** Every block that has to run: README, docs and doc comments. */
export function listDocBlocks(root: string): DocBlock[] {
  const read = (file: string) => readFileSync(join(root, file), 'utf8');
  return [
    ...listDocs(root).flatMap((file) => markdownBlocks(file, read(file))),
    ...filesBelow(root, 'src', '.ts').flatMap((file) => exampleBlocks(file, read(file))),
  ];
}

/** How a block is called in test names: file and line. */
export function nameBlock(block: DocBlock): string {
  return `${block.file}:${block.line}`;
}

/** Printed text, in lines without the blank around them, as the promises are written. */
export function printedLines(text: string): string[] {
  const lines = text.split('\n').map((line) => line.trim());
  return lines.at(-1) === '' ? lines.slice(0, -1) : lines;
}
