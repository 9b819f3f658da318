import { defineConfig } from 'vitest/config';

// Checks in a real browser: Chromium from CHROMIUM, or where Debian installs it.
const report = process.env.UNDERFOOT_REPORT;

export default defineConfig({
  test: {
    include: ['tests/browser/**/*.test.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    fileParallelism: false,
    env: { CHROMIUM: process.env.CHROMIUM ?? '/usr/bin/chromium' },
    reporters: report ? ['default', ['json', { outputFile: report }]] : ['default'],
  },
});
