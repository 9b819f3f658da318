import { describe, expect, it } from 'vitest';
import { exampleBlocks, markdownBlocks, printedLines } from './doc-blocks.js';

describe('finding the code in the documentation', () => {
  it('takes TypeScript fences and leaves the others', () => {
    const text = ['# Title', '', '```sh', 'npm ci', '```', '', '```ts', 'const a = 1;', '```', ''].join('\n');
    expect(markdownBlocks('x.md', text)).toEqual([
      { file: 'x.md', line: 8, code: 'const a = 1;', expected: [] },
    ]);
  });

  it('removes the indent of a fence inside a list', () => {
    const text = ['1. Do this:', '   ```ts', '   if (a) {', '     b();', '   }', '   ```'].join('\n');
    expect(markdownBlocks('x.md', text)[0].code).toBe('if (a) {\n  b();\n}');
  });

  it('reads the promises in their order', () => {
    const text = ['```ts', 'console.log(1); // → 1', 'console.log("a b");', '// → a b', '```'].join('\n');
    expect(markdownBlocks('x.md', text)[0].expected).toEqual(['1', 'a b']);
  });

  it('takes examples out of doc comments, fenced or not, up to the next tag', () => {
    const text = [
      '/**',
      ' * Returns one.',
      ' * @example',
      ' * console.log(one()); // → 1',
      ' * @returns one',
      ' * @example A title',
      ' * ```ts',
      " * import { one } from 'underfoot';",
      ' * console.log(one() + 1); // → 2',
      ' * ```',
      ' */',
      'export const one = () => 1;',
    ].join('\n');
    const [bare, fenced] = exampleBlocks('x.ts', text);
    expect(bare).toEqual({ file: 'x.ts', line: 4, code: 'console.log(one()); // → 1', expected: ['1'] });
    expect(fenced.line).toBe(8);
    expect(fenced.code).toBe("import { one } from 'underfoot';\nconsole.log(one() + 1); // → 2");
  });

  it('keeps an example that ends with its comment and forgets the one before', () => {
    const text = ['/** @example', ' * a();', ' */', '/** No example. */', 'const b = 1;'].join('\n');
    expect(exampleBlocks('x.ts', text)).toEqual([{ file: 'x.ts', line: 2, code: 'a();', expected: [] }]);
  });

  it('splits what was printed into lines', () => {
    expect(printedLines('')).toEqual([]);
    expect(printedLines('a\n  b\n')).toEqual(['a', 'b']);
  });
});
