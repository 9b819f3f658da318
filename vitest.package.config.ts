import { defineConfig } from 'vitest/config';

// Checks of the built package: they pack `dist` as it is and install it into a throw-away consumer.
const report = process.env.UNDERFOOT_REPORT;

export default defineConfig({
  test: {
    include: ['tests/package/built/**/*.test.ts'],
    testTimeout: 120_000,
    hookTimeout: 180_000,
    // One consumer is installed once and shared, and the cold start is timed: nothing runs beside it.
    globalSetup: ['tests/package/built/consumer-setup.ts'],
    fileParallelism: false,
    reporters: report ? ['default', ['json', { outputFile: report }]] : ['default'],
  },
});
