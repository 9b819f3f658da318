import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';
import { docBlockModules } from './tests/docs/block-modules.js';

const src = fileURLToPath(new URL('./src', import.meta.url));

// With UNDERFOOT_REPORT set, the results are written there as JSON beside the usual summary.
const report = process.env.UNDERFOOT_REPORT;

export default defineConfig({
  plugins: [docBlockModules()],
  resolve: {
    // Examples in the docs import the package by its name; here that name means the sources.
    alias: [
      { find: /^underfoot$/, replacement: `${src}/index.ts` },
      { find: /^underfoot\/(.+)$/, replacement: `${src}/$1/index.ts` },
    ],
  },
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/package/built/**', 'tests/reference/**', 'tests/browser/**', 'node_modules/**'],
    setupFiles: ['tests/support/seed.ts'],
    testTimeout: 60_000,
    // All cores: by default one is kept free, which is half of a small machine.
    maxWorkers: '100%',
    reporters: report ? ['default', ['json', { outputFile: report }]] : ['default'],
    coverage: { include: ['src/**/*.ts'], reporter: ['text-summary', 'html'] },
  },
});
