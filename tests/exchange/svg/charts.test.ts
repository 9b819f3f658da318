import { describe, expect, it } from 'vitest';
import type { MotionDocument } from '../../../src/exchange/document.js';
import { chartFollower } from '../../../src/exchange/svg/chart-follower.js';
import { chartForces } from '../../../src/exchange/svg/chart-forces.js';
import { chartPaces } from '../../../src/exchange/svg/chart-paces.js';
import { chartRoot } from '../../../src/exchange/svg/chart-root.js';
import { chartTiming } from '../../../src/exchange/svg/chart-timing.js';
import { textWidth } from '../../../src/exchange/svg/measure-text.js';
import type { WalkSpec } from '../../../src/gait/walk.js';
import { exampleDocument } from '../example-document.js';
import { type Drawn, readSvg } from './read-svg.js';

const CHARTS: Readonly<Record<string, (document: MotionDocument) => string>> = {
  forces: chartForces,
  root: chartRoot,
  follower: (document) => chartFollower(document, document.followers[0]),
  timing: (document) =>
    chartTiming([document, exampleDocument({ name: document.name, spec: { pace: 'slow' } })]),
  paces: (document) => chartPaces([document, document, document], { title: document.name }),
};

const HOSTILE = "</text><script>alert(1)</script>\"><svg onload='alert(2)'> &amp; \u0000\ud800";
const NAMES: readonly (readonly [string, string])[] = [
  ['short', 'Lamplighter'],
  ['hostile', HOSTILE],
  [
    'long',
    'The lamplighter of the outer mole, coming home along the whole length of the harbour wall at four in the morning with the ladder, the oil can and the dog',
  ],
  ['Japanese', '港の点灯夫、夜明け前に防波堤の端から端まで歩く、はしごと油差しと犬を連れて、とても長い名前'],
  ['Arabic', 'عامل المصابيح في الميناء القديم'],
  ['pictures', '👩🏽‍🚒👨‍👩‍👧‍👦'.repeat(30)],
  ['empty', ''],
];

const SPECS: readonly WalkSpec[] = [
  { pace: 'slow' },
  { pace: 'brisk' },
  { pace: { speed: 0.3 } },
  { pace: { framesPerStep: 4, fps: 24 } },
  { pace: 'ordinary', body: { legLength: 2.4 } },
  { pace: 'ordinary', gravity: 1.62 },
];

interface Box {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Boxes of all words; the measured width errs on the wide side, so a touch here is no touch on paper yet. */
function boxesOf(drawn: readonly Drawn[]): Box[] {
  return drawn
    .filter(({ name }) => name === 'text')
    .map(({ attributes, text }) => {
      const size = Number(attributes['font-size']);
      const width = textWidth(text, size);
      const x = Number(attributes.x);
      const share = { middle: 0.5, end: 1 }[attributes['text-anchor']] ?? 0;
      const y = Number(attributes.y);
      return {
        text,
        left: x - share * width,
        right: x + (1 - share) * width,
        top: y - 0.75 * size,
        bottom: y + 0.2 * size,
      };
    });
}

describe.each(Object.entries(CHARTS))('the chart of %s', (_, chart) => {
  it.each(NAMES)('is well-formed and carries no script with a name that is %s', (_kind, name) => {
    const document = exampleDocument({ name });
    const drawn = readSvg(
      chart({ ...document, followers: [{ ...document.followers[0], name: name || 'belly' }] }),
    );
    expect(drawn[0].name).toBe('svg');
    const active = ['script', 'a', 'image', 'foreignObject', 'style', 'use', 'animate'];
    expect(drawn.filter((item) => active.includes(item.name))).toEqual([]);
    const handlers = drawn
      .flatMap(({ attributes }) => Object.keys(attributes))
      .filter((key) => /^on|href$/.test(key));
    expect(handlers).toEqual([]);
  });

  it.each(NAMES)('keeps all words on the sheet with a name that is %s', (_kind, name) => {
    const drawn = readSvg(chart(exampleDocument({ name })));
    const width = Number(drawn[0].attributes.width);
    const height = Number(drawn[0].attributes.height);
    const outside = boxesOf(drawn).filter(
      ({ left, right, top, bottom }) => left < 0 || right > width || top < 0 || bottom > height,
    );
    expect(outside).toEqual([]);
  });

  it.each(SPECS)('lets no words run into each other for %j', (spec) => {
    const boxes = boxesOf(readSvg(chart(exampleDocument({ spec }))));
    const clashes = boxes.flatMap((a, i) =>
      boxes
        .slice(i + 1)
        .filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
        .map((b) => `${a.text} | ${b.text}`),
    );
    expect(clashes).toEqual([]);
  });

  it.each(SPECS)('writes finite coordinates only for %j', (spec) => {
    expect(chart(exampleDocument({ spec }))).not.toMatch(/NaN|Infinity|undefined|null/);
  });
});

describe('the sheet of paces', () => {
  it('draws equal loads at equal heights in every column', () => {
    const documents = (['slow', 'ordinary', 'brisk'] as const).map((pace) =>
      exampleDocument({ spec: { pace } }),
    );
    const rules = readSvg(chartPaces(documents)).filter(
      ({ name, attributes }) =>
        name === 'line' && attributes.y1 === attributes.y2 && attributes['stroke-width'] === '1.2',
    );
    const places = new Set(rules.map(({ attributes }) => attributes.y1));
    // Body weight, the foot of the load panels, the mean height, the foot of the height panels.
    expect(places.size).toBe(4);
    expect(rules.length).toBe(12);
  });

  it('refuses none and more than six', () => {
    const document = exampleDocument();
    expect(() => chartPaces([])).toThrow('chartPaces: documents must have 1 to 6 entries, got 0');
    expect(() => chartPaces(new Array(7).fill(document))).toThrow('got 7');
  });
});
