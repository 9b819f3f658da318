import type { Plugin } from 'vitest/config';
import { listDocBlocks, nameBlock } from './doc-blocks.js';

const PREFIX = 'virtual:doc-block/';

/** The module name under which a block of the documentation can be imported. */
export function blockModule(name: string): string {
  return `${PREFIX}${name}`;
}

/** Serves each block of the documentation as a TypeScript module, so that it runs as users would run it. */
export function docBlockModules(): Plugin {
  let root = '.';
  return {
    name: 'doc-block-modules',
    configResolved(config) {
      root = config.root;
    },
    resolveId(id) {
      if (!id.startsWith(PREFIX)) return undefined;
      // A module that is imported again arrives under the name it was given the first time.
      return id.endsWith('.ts') ? id : `${id}.ts`;
    },
    load(id) {
      if (!id.startsWith(PREFIX)) return undefined;
      const name = id.slice(PREFIX.length, -'.ts'.length);
      const block = listDocBlocks(root).find((candidate) => nameBlock(candidate) === name);
      if (!block) throw new Error(`no block at ${name}`);
      // A block without imports or exports is made a module too, for its top-level await.
      return { code: `${block.code}\nexport {};`, moduleType: 'ts' };
    },
  };
}
