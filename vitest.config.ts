import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/package/**', 'tests/reference/**', 'node_modules/**'],
    testTimeout: 60_000,
  },
});
