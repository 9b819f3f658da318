import { defineConfig } from 'tsup';
import { listEntries } from './tools/entries.js';

const entries = listEntries('.').map(({ folder, source }) => [
  folder === '' ? 'index' : `${folder}/index`,
  source,
]);

export default defineConfig({
  entry: Object.fromEntries(entries),
  format: ['esm', 'cjs'],
  target: 'node20',
  platform: 'node',
  // Built-ins keep their `node:` prefix, so a bundler that meets exchange/node in a browser says so.
  removeNodeProtocol: false,
  // tsup sets `baseUrl` for its declaration build, which TypeScript 6 reports as deprecated.
  dts: { compilerOptions: { ignoreDeprecations: '6.0' } },
  clean: true,
  // One file per entry, without blanks and with short names, for the cold start; see docs/decisions.
  splitting: false,
  esbuildOptions(options) {
    options.minifyWhitespace = true;
    options.minifySyntax = true;
    options.minifyIdentifiers = true;
  },
});
