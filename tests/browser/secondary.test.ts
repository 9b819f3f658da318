import { build } from 'esbuild';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { RECORDED } from '../secondary/record-run.js';

let browser: Browser;

beforeAll(async () => {
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM, args: ['--no-sandbox'] });
});

afterAll(async () => {
  await browser?.close();
});

describe('live followers in a browser', () => {
  it('give the same bytes as on Node', async () => {
    const { outputFiles } = await build({
      stdin: {
        contents: "export { digestRuns } from './tests/secondary/record-run.ts';",
        resolveDir: process.cwd(),
      },
      bundle: true,
      write: false,
      format: 'iife',
      globalName: 'recorded',
      target: 'es2022',
    });
    const page = await browser.newPage();
    await page.addScriptTag({ content: outputFiles[0].text });
    const digests = await page.evaluate('recorded.digestRuns()');
    expect(digests).toEqual(RECORDED);
  });
});
