import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { toPage } from '../../src/exchange/page/to-page.js';
import { toDocument } from '../../src/exchange/to-document.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { snapToFrames } from '../../src/gait/snap-to-frames.js';
import { followBounce } from '../../src/secondary/index.js';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const HOSTILE = '</script><script>window.hurt=1</script><img src=x onerror="window.hurt=1">';
const SCENE = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;

let browser: Browser;
let folder: string;
const opened: string[] = [];

function makeDocument(pace: 'slow' | 'ordinary' | 'brisk', name: string) {
  const walk = snapToFrames(planWalk({ pace }), { fps: 24 });
  const belly = followBounce(walk, { frequencyHz: 2.8, dampingRatio: 0.35 }, { keys: { fps: 24 } });
  const curve = belly.keyed?.height?.curve;
  if (!curve) throw new Error('no keys');
  const followers = [{ name: 'belly', unit: 'm', channel: 'height', space: 'relative', curve }] as const;
  return toDocument(walk, { name, scene: SCENE, followers });
}

beforeAll(async () => {
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM, args: ['--no-sandbox'] });
  folder = mkdtempSync(join(tmpdir(), 'page-'));
  const [slow, brisk] = [
    makeDocument('slow', 'The lamplighter, slow'),
    makeDocument('brisk', 'The lamplighter, brisk'),
  ];
  writeFileSync(join(folder, 'two.html'), toPage([slow, brisk], { title: 'Two paces' }));
  writeFileSync(join(folder, 'one.html'), toPage(slow));
  writeFileSync(
    join(folder, 'hostile.html'),
    toPage([makeDocument('slow', HOSTILE), brisk], { title: HOSTILE }),
  );
});

afterAll(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Opens a page from disk, without a network, and keeps what it complains about. */
async function open(file: string, options: BrowserContextOptions = {}): Promise<Page> {
  const context = await browser.newContext({ offline: true, reducedMotion: 'reduce', ...options });
  const page = await context.newPage();
  page.on('console', (message) => opened.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => opened.push(String(error)));
  page.on('request', (request) => {
    if (!request.url().startsWith('file:')) opened.push(`asked for ${request.url()}`);
  });
  opened.length = 0;
  await page.goto(pathToFileURL(join(folder, file)).href);
  return page;
}

const frameOf = async (page: Page): Promise<number> => Number(await page.inputValue('#scrub'));
const poseOf = (page: Page) => page.getAttribute('.panel:not([hidden]) .limb.right >> nth=1', 'd');

describe('the preview page', () => {
  it('draws a figure and charts, and says nothing to the console', async () => {
    const page = await open('two.html');
    expect(await page.locator('.panel:visible').count()).toBe(2);
    expect(await page.locator('.panel:visible .chart').count()).toBe(6);
    for (const box of await page.locator('.stage').all()) {
      const { width = 0, height = 0 } = (await box.boundingBox()) ?? {};
      expect(width * height).toBeGreaterThan(20_000);
    }
    const shot = await page.locator('.stage').first().screenshot();
    await page.click('#on');
    const next = await page.locator('.stage').first().screenshot();
    expect(Buffer.compare(shot, next)).not.toBe(0);
    // A blank stage of this size compresses to far less.
    expect(shot.length).toBeGreaterThan(2500);
    expect(opened).toEqual([]);
    await page.context().close();
  });

  it('starts paused where less motion is asked for, and plays where it is not', async () => {
    const calm = await open('one.html', { reducedMotion: 'reduce' });
    const pose = await poseOf(calm);
    await calm.waitForTimeout(300);
    expect(await poseOf(calm)).toBe(pose);
    expect(await calm.textContent('#play')).toBe('Play');
    await calm.context().close();
    const lively = await open('one.html', { reducedMotion: 'no-preference' });
    const first = await poseOf(lively);
    await lively.waitForTimeout(300);
    expect(await poseOf(lively)).not.toBe(first);
    expect(await lively.textContent('#play')).toBe('Pause');
    await lively.emulateMedia({ reducedMotion: 'reduce' });
    await lively.waitForFunction("document.querySelector('#play').textContent === 'Play'");
    await lively.context().close();
  });

  it('plays, pauses, steps by whole frames and scrubs', async () => {
    const page = await open('two.html');
    await page.click('#play');
    await page.waitForTimeout(250);
    await page.click('#play');
    const stopped = await frameOf(page);
    await page.waitForTimeout(150);
    expect(await frameOf(page)).toBe(stopped);
    await page.click('#on');
    const whole = await frameOf(page);
    expect(Math.abs(whole - Math.round(whole))).toBeLessThan(1e-6);
    await page.click('#on');
    await page.click('#on');
    await page.click('#back');
    expect(Math.abs((await frameOf(page)) - whole - 1)).toBeLessThan(1e-6);
    await page.fill('#scrub', '10');
    expect(await page.getAttribute('#scrub', 'aria-valuetext')).toBe('frame 11.0');
    expect(await page.textContent('#told')).toMatch(/slow, frame 11: .*both \d\.\d\d body weights/);
    await page.context().close();
  });

  it('is played by keys alone', async () => {
    const page = await open('one.html');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    expect(Math.abs((await frameOf(page)) - 2)).toBeLessThan(1e-6);
    await page.keyboard.press('ArrowLeft');
    expect(Math.abs((await frameOf(page)) - 1)).toBeLessThan(1e-6);
    await page.keyboard.press('Space');
    expect(await page.textContent('#play')).toBe('Pause');
    await page.keyboard.press('Space');
    expect(await page.textContent('#play')).toBe('Play');
    // Every control can be reached, in the order in which it stands.
    const reached: string[] = [];
    for (let i = 0; i < 6; i++) {
      await page.keyboard.press('Tab');
      reached.push(await page.evaluate('document.activeElement.id'));
    }
    expect(reached).toEqual(['play', 'back', 'on', 'scrub', 'speed', 'view']);
    await page.keyboard.press('Shift+Tab');
    await page.keyboard.press('Shift+Tab');
    await page.keyboard.press('Home');
    expect(await frameOf(page)).toBe(0);
    await page.context().close();
  });

  it('switches between motions and views, and walks them in step', async () => {
    const page = await open('two.html');
    await page.fill('#scrub', '8');
    const apart = await page
      .locator('.cursor')
      .evaluateAll((all) => all.map((line) => line.getAttribute('transform')));
    expect(apart[0]).not.toBe(apart[3]);
    await page.check('#steps');
    const together = await page
      .locator('.cursor')
      .evaluateAll((all) => all.map((line) => line.getAttribute('transform')));
    expect(together[0]).toBe(together[3]);
    const side = await poseOf(page);
    await page.selectOption('#view', 'front');
    expect(await poseOf(page)).not.toBe(side);
    await page.locator('input[name=motion]').first().uncheck();
    expect(await page.locator('.panel:visible h2').allTextContents()).toEqual(['The lamplighter, brisk']);
    await page.context().close();
  });

  it.each([
    ['light', 1280],
    ['dark', 1280],
    ['light', 380],
  ] as const)('is accessible in %s at %s px', async (colorScheme, width) => {
    const page = await open('two.html', { colorScheme, viewport: { width, height: 800 } });
    // The page's policy lets no other program in, so the judge comes by way of the debugger.
    await page.evaluate(AXE);
    const { violations } = (await page.evaluate('axe.run()')) as {
      violations: { id: string; nodes: unknown[] }[];
    };
    expect(violations.map(({ id, nodes }) => `${id}: ${JSON.stringify(nodes).slice(0, 300)}`)).toEqual([]);
    const overflow = await page.evaluate(
      'document.documentElement.scrollWidth - document.documentElement.clientWidth',
    );
    expect(overflow).toBe(0);
    await page.context().close();
  });

  it('runs nothing that a name brings along', async () => {
    const page = await open('hostile.html');
    await page.click('#on');
    expect(await page.evaluate('window.hurt')).toBeUndefined();
    expect(await page.locator('h2').first().textContent()).toBe(HOSTILE);
    expect(opened).toEqual([]);
    await page.context().close();
  });
});
