import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { TestProject } from 'vitest/node';
import { listDocBlocks } from '../../docs/doc-blocks.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** The packed package. */
    tarball: string;
    /** A folder whose node_modules has the package installed from the tarball. */
    consumer: string;
  }
}

/** The packages that the code of the documentation imports beside this one. */
function packagesInDocs(): string[] {
  const specifiers = listDocBlocks('.').flatMap(({ code }) =>
    [...code.matchAll(/\bfrom\s+['"]([^'"]+)['"]/g)].map((match) => match[1]),
  );
  const names = specifiers.map((specifier) => /^(@[^/]+\/)?[^/]+/.exec(specifier)?.[0] ?? specifier);
  return [...new Set(names)].filter((name) => name !== 'underfoot' && !name.startsWith('node:'));
}

/** Packs `dist` as it is and installs the tarball, with its peers, into a new folder. */
export default function setUp(project: TestProject): () => void {
  if (!existsSync('dist/index.js')) throw new Error('dist is missing: run npm run build first');
  const folder = mkdtempSync(join(tmpdir(), 'underfoot-consumer-'));
  const consumer = join(folder, 'consumer');
  mkdirSync(consumer);
  const packed = execFileSync('npm', ['pack', '--ignore-scripts', '--json', '--pack-destination', folder], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const tarball = join(folder, JSON.parse(packed)[0].filename);

  const manifest = JSON.parse(readFileSync('package.json', 'utf8'));
  const wanted = [...Object.keys(manifest.peerDependencies ?? {}), '@types/node', ...packagesInDocs()];
  const beside = [...new Set(wanted)].map((name) => `${name}@${manifest.devDependencies[name]}`);
  writeFileSync(
    join(consumer, 'package.json'),
    JSON.stringify({ name: 'consumer', private: true, type: 'module' }),
  );
  execFileSync('npm', ['install', '--no-audit', '--no-fund', '--save-exact', tarball, ...beside], {
    cwd: consumer,
    stdio: ['ignore', 'ignore', 'inherit'],
  });

  project.provide('tarball', tarball);
  project.provide('consumer', consumer);
  return () => rmSync(folder, { recursive: true, force: true });
}
