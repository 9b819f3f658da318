import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';

/** One public entry of the package: a folder under `src` that has an `index.ts`. */
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

function foldersWithIndex(root: string, folder: string): string[] {
  const here = join(root, 'src', folder);
  const own = existsSync(join(here, 'index.ts')) ? [folder] : [];
  const below = readdirSync(here)
    .filter((name) => statSync(join(here, name)).isDirectory())
    .flatMap((name) => foldersWithIndex(root, folder === '' ? name : `${folder}/${name}`));
  return [...own, ...below];
}

/** Every public entry, in the order of their folders. The sources decide, so no list can fall behind. */
export function listEntries(root: string): Entry[] {
  return foldersWithIndex(root, '')
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
