import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { MotionDocument } from '../../src/exchange/document.js';
import { followerCurves } from '../../src/exchange/document-followers.js';
import { toPage } from '../../src/exchange/page/to-page.js';
import { DARK_GROUND, DARK_STROKES, GROUND, STROKES } from '../../src/exchange/palette.js';
import { toDocument } from '../../src/exchange/to-document.js';
import { type NoteCode, planShot } from '../../src/gait/index.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { snapToFrames } from '../../src/gait/snap-to-frames.js';
import { bellyOf, followBounce, followCloth, followStrand, STRANDS } from '../../src/secondary/index.js';

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

/** A walk with a belly, hair and a skirt. */
function dressed() {
  const walk = snapToFrames(planWalk({ pace: 'ordinary' }), { fps: 24 });
  const keys = { fps: 24 } as const;
  const skirt = {
    length: 0.5,
    links: 3,
    dampingRatio: 0.3,
    strands: 8,
    ring: true,
    flare: 0.3,
    frequencyHz: 1.4,
  } as const;
  const hair = STRANDS.ponytail.part;
  const followers = [
    ...followerCurves('belly', followBounce(walk, bellyOf(12).part), keys),
    ...followerCurves('ponytail', followStrand(walk, hair), { ...keys, part: hair }),
    ...followerCurves('skirt', followCloth(walk, skirt), { ...keys, part: skirt }),
  ];
  return toDocument(walk, { name: 'The fish-wife', scene: SCENE, followers });
}

/** A document with a script wherever it may hold a text. */
function hostile(): MotionDocument {
  const document = makeDocument('slow', HOSTILE);
  const [belly] = document.followers;
  const part = { name: HOSTILE, kind: 'bounce', carrier: 'hips' } as const;
  return {
    ...document,
    followers: [{ ...belly, name: HOSTILE, part }],
    notes: [{ code: HOSTILE as NoteCode, text: HOSTILE, values: {} }],
    made: { ...document.made, version: HOSTILE, spec: { [HOSTILE]: HOSTILE } },
  };
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
  writeFileSync(join(folder, 'all.html'), toPage(dressed()));
  const shot = planShot({
    stretches: [
      { steps: 3, turn: { by: 1 } },
      { steps: 3, stairs: { riser: 0.15, tread: 0.3 } },
    ],
  });
  writeFileSync(join(folder, 'shot.html'), toPage(toDocument(shot, { name: 'Up the mole', scene: SCENE })));
  writeFileSync(join(folder, 'hostile.html'), toPage([hostile(), brisk], { title: HOSTILE }));
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

interface Pixels {
  readonly width: number;
  readonly height: number;
  /** Red, green, blue, alpha of each, row by row. */
  readonly data: Uint8Array;
}

/** The pixels of an element as the browser shows it. */
async function pixelsOf(page: Page, selector: string): Promise<Pixels> {
  const png = (await page.locator(selector).first().screenshot()).toString('base64');
  // Another page reads them: the one that is looked at lets nothing in.
  const reader = await page.context().newPage();
  const found = await reader.evaluate(`(async () => {
    const image = await createImageBitmap(await (await fetch('data:image/png;base64,${png}')).blob());
    const canvas = new OffscreenCanvas(image.width, image.height);
    const ink = canvas.getContext('2d');
    ink.drawImage(image, 0, 0);
    const { data, width, height } = ink.getImageData(0, 0, image.width, image.height);
    const parts = [];
    for (let i = 0; i < data.length; i += 8192) parts.push(String.fromCharCode(...data.subarray(i, i + 8192)));
    return { text: parts.join(''), width, height };
  })()`);
  await reader.close();
  const { text, width, height } = found as { text: string; width: number; height: number };
  return { data: Buffer.from(text, 'latin1'), width, height };
}

/** How many pixels of a place have a colour, all but for the blur of edges. */
function inked(
  { data, width, height }: Pixels,
  hex: string,
  place: { readonly x: readonly [number, number]; readonly y: readonly [number, number] },
): number {
  const wanted = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16));
  let count = 0;
  for (let y = Math.ceil(place.y[0]); y < Math.min(height, place.y[1]); y++) {
    for (let x = Math.ceil(place.x[0]); x < Math.min(width, place.x[1]); x++) {
      const at = 4 * (y * width + x);
      if (wanted.every((value, k) => Math.abs(data[at + k] - value) <= 12)) count++;
    }
  }
  return count;
}

const frameOf = async (page: Page): Promise<number> => Number(await page.inputValue('#scrub'));
const poseOf = (page: Page) => page.getAttribute('.panel:not([hidden]) .limb.right >> nth=1', 'd');

describe('the preview page', () => {
  it('draws a figure and charts, and says nothing to the console', async () => {
    const page = await open('two.html');
    expect(await page.locator('.panel:visible').count()).toBe(2);
    expect(await page.locator('.panel:visible .chart .cursor').count()).toBe(6);
    for (const box of await page.locator('.stage').all()) {
      const { width = 0, height = 0 } = (await box.boundingBox()) ?? {};
      expect(width * height).toBeGreaterThan(20_000);
    }
    const shot = await page.locator('.stage').first().screenshot();
    await page.click('#on');
    const next = await page.locator('.stage').first().screenshot();
    expect(Buffer.compare(shot, next)).not.toBe(0);
    expect(opened).toEqual([]);
    await page.context().close();
  });

  it.each(['light', 'dark'] as const)(
    'puts ink of the right colours where it belongs, in %s',
    async (scheme) => {
      const page = await open('all.html', { colorScheme: scheme });
      await page.fill('#scrub', '2');
      const { left, right, follower, total, root } = scheme === 'light' ? STROKES : DARK_STROKES;
      const { muted } = scheme === 'light' ? GROUND : DARK_GROUND;
      const stage = await pixelsOf(page, '.stage');
      const { width, height } = stage;
      const middle = { x: [0.25 * width, 0.75 * width], y: [0, 0.7 * height] } as const;
      // Trunk and head, both legs and arms, and what hangs on: each a fair part of the figure's own place.
      expect(inked(stage, muted, middle)).toBeGreaterThan(600);
      expect(inked(stage, left.line, middle)).toBeGreaterThan(300);
      expect(inked(stage, right.line, middle)).toBeGreaterThan(300);
      expect(inked(stage, follower.line, middle)).toBeGreaterThan(600);
      // Below the floor the arrows: on that frame both feet carry.
      const below = { x: [0, width], y: [0.71 * height, height] } as const;
      expect(inked(stage, left.line, below)).toBeGreaterThan(25);
      expect(inked(stage, right.line, below)).toBeGreaterThan(25);
      // Nothing of the figure at the edges.
      for (const colour of [muted, follower.line]) {
        expect(inked(stage, colour, { x: [0, 0.15 * width], y: [0, 0.3 * height] })).toBe(0);
      }
      const charts = await page.locator('.chart').count();
      expect(charts).toBe(6);
      for (const [i, lines] of [
        [total.line, left.line, right.line],
        [root.line],
        [follower.line],
        [follower.line],
        [follower.line],
      ].entries()) {
        const chart = await pixelsOf(page, `.chart >> nth=${i}`);
        for (const line of lines) {
          // A line runs the whole way across: some of it in each third.
          for (const third of line === total.line || i > 0 ? [0, 1, 2] : [0]) {
            const x = [(0.12 + 0.28 * third) * chart.width, (0.4 + 0.28 * third) * chart.width] as const;
            expect(
              inked(chart, line, { x, y: [0, chart.height] }),
              `chart ${i}, part ${third}`,
            ).toBeGreaterThan(15);
          }
        }
      }
      await page.context().close();
    },
  );

  it('plays a shot that turns and climbs from its beginning to its end', async () => {
    const page = await open('shot.html');
    const hips = () => page.getAttribute('.trail', 'd');
    expect(await hips()).toMatch(/^M.*L/);
    const poses = new Set<string | null>();
    const last = Number(await page.getAttribute('#scrub', 'max'));
    for (let frame = 0; frame <= last; frame += Math.floor(last / 6)) {
      await page.fill('#scrub', String(frame));
      poses.add(await poseOf(page));
      expect(await page.locator('.stage').innerHTML()).not.toMatch(/NaN|Infinity|undefined/);
    }
    expect(poses.size).toBeGreaterThan(5);
    await page.selectOption('#view', 'corner');
    await page.selectOption('#view', 'front');
    expect(await page.locator('.stage').innerHTML()).not.toMatch(/NaN|Infinity|undefined/);
    expect(opened).toEqual([]);
    await page.context().close();
  });

  it('tells both loads side by side while it stands', async () => {
    const page = await open('shot.html');
    for (const view of ['side', 'corner', 'front']) {
      await page.selectOption('#view', view);
      const boxesOf = (what: string) =>
        page
          .locator(`svg.stage ${what}`)
          .evaluateAll((found) => found.map((one) => one.getBoundingClientRect().toJSON()));
      for (const what of ['text.force', 'path.tip']) {
        const [a, b] = (await boxesOf(what)).sort((one, other) => one.left - other.left);
        expect(a.width, `${what} from the ${view}`).toBeGreaterThan(5);
        expect(b.left - a.right, `${what} from the ${view}`).toBeGreaterThan(1);
      }
    }
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
    expect(await page.locator('.heading', { hasText: HOSTILE }).count()).toBe(1);
    expect(await page.locator('script').count()).toBe(2);
    expect(await page.locator('img').count()).toBe(0);
    expect(opened).toEqual([]);
    await page.context().close();
  });
});
