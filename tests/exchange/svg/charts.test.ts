import { describe, expect, it } from 'vitest';
import type { MotionDocument } from '../../../src/exchange/document.js';
import { chartFollower } from '../../../src/exchange/svg/chart-follower.js';
import { chartForces } from '../../../src/exchange/svg/chart-forces.js';
import { chartPaces } from '../../../src/exchange/svg/chart-paces.js';
import { chartRoot } from '../../../src/exchange/svg/chart-root.js';
import { chartTiming } from '../../../src/exchange/svg/chart-timing.js';
import type { WalkSpec } from '../../../src/gait/walk.js';
import { exampleDocument } from '../example-document.js';
import { SHOTS, shotDocument } from '../shot-documents.js';
import { activeParts, clashingWords, HOSTILE, wordsOffSheet } from './inspect.js';
import { readSvg } from './read-svg.js';

const CHARTS: Readonly<Record<string, (document: MotionDocument) => string>> = {
  forces: chartForces,
  root: chartRoot,
  follower: (document) => chartFollower(document, document.followers[0]),
  timing: (document) =>
    chartTiming([document, exampleDocument({ name: document.name, spec: { pace: 'slow' } })]),
  paces: (document) => chartPaces([document, document, document], { title: document.name }),
};

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

describe.each(Object.entries(CHARTS))('the chart of %s', (_, chart) => {
  it.each(NAMES)('is well-formed and carries no script with a name that is %s', (_kind, name) => {
    const document = exampleDocument({ name });
    const drawn = readSvg(
      chart({ ...document, followers: [{ ...document.followers[0], name: name || 'belly' }] }),
    );
    expect(drawn[0].name).toBe('svg');
    expect(activeParts(drawn)).toEqual([]);
  });

  it.each(NAMES)('keeps all words on the sheet with a name that is %s', (_kind, name) => {
    expect(wordsOffSheet(readSvg(chart(exampleDocument({ name }))))).toEqual([]);
  });

  it.each(SPECS)('lets no words run into each other for %j', (spec) => {
    expect(clashingWords(readSvg(chart(exampleDocument({ spec }))))).toEqual([]);
  });

  it.each(SPECS)('writes finite coordinates only for %j', (spec) => {
    expect(chart(exampleDocument({ spec }))).not.toMatch(/NaN|Infinity|undefined|null/);
  });
});

describe.each(Object.keys(SHOTS))('the charts of a shot: %s', (name) => {
  const document = shotDocument(name);
  it.each(Object.entries(CHARTS))('%s keeps its words on the sheet and apart', (_, chart) => {
    const svg = chart(document);
    const drawn = readSvg(svg);
    expect(svg).not.toMatch(/NaN|Infinity|undefined|null/);
    expect(wordsOffSheet(drawn)).toEqual([]);
    expect(clashingWords(drawn)).toEqual([]);
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
