import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';

/** One public entry of the package: the root or a part under `src` that has an `index.ts`. */
export interface Entry {
  /** Folder below `src`, with forward slashes; empty for the package itself. */
  readonly folder: string;
  /** Key in the package's `exports`: `.` or `./curves`. */
  readonly subpath: string;
  /** What users import: `underfoot` or `underfoot/curves`. */
  readonly specifier: string;
  /** Source file, from the root of the repository. */
  readonly source: string;
}

/** How one entry is published; the order of the fields matters to resolvers, `types` comes first. */
export interface ExportTarget {
  readonly import: { readonly types: string; readonly default: string };
  readonly require: { readonly types: string; readonly default: string };
}

// The one part of a part that is public. Any other `index.ts` further down serves its own part only.
const INNER = ['exchange/node'];

function publicFolders(root: string): string[] {
  const parts = readdirSync(join(root, 'src'), { withFileTypes: true })
    .filter((item) => item.isDirectory())
    .map((item) => item.name);
  return ['', ...parts, ...INNER].filter((folder) => existsSync(join(root, 'src', folder, 'index.ts')));
}

/** Every public entry, in the order of their folders. The sources decide, so no list can fall behind. */
export function listEntries(root: string): Entry[] {
  return publicFolders(root)
    .sort()
    .map((folder) => ({
      folder,
      subpath: folder === '' ? '.' : `./${folder}`,
      specifier: folder === '' ? 'underfoot' : `underfoot/${folder}`,
      source: folder === '' ? 'src/index.ts' : `src/${folder}/index.ts`,
    }));
}

/** The `exports` field that the entries call for. */
export function exportsOf(entries: readonly Entry[]): Record<string, ExportTarget | string> {
  const map: Record<string, ExportTarget | string> = {};
  for (const { folder, subpath } of entries) {
    const stem = folder === '' ? './dist/index' : `./dist/${folder}/index`;
    map[subpath] = {
      import: { types: `${stem}.d.ts`, default: `${stem}.js` },
      require: { types: `${stem}.d.cts`, default: `${stem}.cjs` },
    };
  }
  map['./package.json'] = './package.json';
  return map;
}
