import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { SERIES } from '../../../src/exchange/palette.js';
import { chartAgainst } from '../../../src/exchange/svg/chart-against.js';
import type { StrideSource } from '../../../src/exchange/svg/strides-of.js';
import { planWalk } from '../../../src/gait/plan-walk.js';
import { sampleReactions } from '../../../src/gait/reactions.js';
import { planShot } from '../../../src/gait/shot/plan-shot.js';
import { averageStride } from '../../../src/weigh/average-stride.js';
import { compareReactions } from '../../../src/weigh/compare-reactions.js';
import { readPlates } from '../../../src/weigh/read-plates.js';
import { assertClose } from '../../support/assert-close.js';
import { activeParts, clashingWords, HOSTILE, wordsOffSheet } from './inspect.js';
import { type Drawn, readSvg } from './read-svg.js';

const treadmill = new Uint8Array(readFileSync(new URL('../../fixtures/treadmill-1.30.c3d', import.meta.url)));
const recording = readPlates(treadmill);
const [slow, brisk] = [planWalk({ pace: 'slow' }), planWalk({ pace: 'brisk' })];

const PAIRS: Readonly<Record<string, readonly [StrideSource, StrideSource]>> = {
  'a recording and a walk': [recording, planWalk({ pace: { speed: 1.3 } })],
  'two walks': [slow, brisk],
  'two tables': [sampleReactions(brisk, { samples: 90 }), averageStride(recording)],
  'a walk and itself': [slow, slow],
  'a limp and a giantess': [
    planWalk({ pace: 'ordinary', uneven: { left: { stepTime: 0.92, loadShare: 0.46 } } }),
    planWalk({ pace: 'ordinary', body: { legLength: 2.4 }, heft: 1 }),
  ],
};

const linesOf = (drawn: readonly Drawn[], i: number): Drawn[] =>
  drawn.filter(
    ({ name, attributes }) =>
      name === 'path' && attributes.fill === 'none' && attributes.stroke === SERIES[i].line,
  );

describe.each(Object.entries(PAIRS))('the chart of %s', (_, [a, b]) => {
  const svg = chartAgainst(a, b, { names: ['the first', 'the second'] });
  const drawn = readSvg(svg);

  it('has no words off the sheet or over one another, and finite numbers only', () => {
    expect(wordsOffSheet(drawn)).toEqual([]);
    expect(clashingWords(drawn)).toEqual([]);
    expect(svg).not.toMatch(/NaN|Infinity|undefined|null/);
  });

  it('draws both in all seven panels, one unbroken and one broken', () => {
    expect(linesOf(drawn, 1)).toHaveLength(7);
    expect(linesOf(drawn, 2)).toHaveLength(7);
    expect(linesOf(drawn, 1)[0].attributes['stroke-dasharray']).toBeUndefined();
    expect(linesOf(drawn, 2)[0].attributes['stroke-dasharray']).toBeDefined();
  });
});

describe('a chart of one stride against another', () => {
  it('lists what compareReactions measures', () => {
    const tables = [sampleReactions(slow), sampleReactions(brisk)] as const;
    const { measures, verdict } = compareReactions(...tables);
    const words = readSvg(chartAgainst(...tables)).filter(({ name }) => name === 'text');
    const told = words.map(({ text }) => text);
    for (const name of ['firstPeak', 'trough', 'secondPeak', 'braking'] as const) {
      const pair = measures.find((measure) => measure.foot === 'right' && measure.name === name);
      expect(told).toContain(pair?.a.toFixed(2));
      expect(told).toContain(pair?.b.toFixed(2));
    }
    expect(told.join(' ')).toContain(verdict);
  });

  it('draws the highest load where its numbers are', () => {
    const drawn = readSvg(chartAgainst(slow, brisk));
    const tick = (text: string): number =>
      Number(drawn.find(({ name, text: own }) => name === 'text' && own === text)?.attributes.y) - 4;
    const perUnit = (tick('0.8') - tick('1.0')) / 0.2;
    [slow, brisk].forEach((walk, i) => {
      const peak = Math.max(...sampleReactions(walk, { samples: 400 }).total.vertical);
      const numbers = (linesOf(drawn, i + 1)[0].attributes.d.match(/[\d.]+/g) ?? []).map(Number);
      const highest = Math.min(...numbers.filter((_, at) => at % 2 === 1));
      // A tenth of a px in writing, and samples that are lined up anew.
      assertClose(highest, tick('1.0') - (peak - 1) * perUnit, { abs: 0.2 });
    });
  });

  it('shows how far single strides lie about their mean, where there are several', () => {
    const bands = (svg: string): number =>
      readSvg(svg).filter(({ name, attributes }) => name === 'path' && attributes['fill-opacity']).length;
    expect(bands(chartAgainst(recording, slow))).toBe(7);
    expect(bands(chartAgainst(brisk, slow))).toBe(0);
  });

  it('carries no script with hostile names, however long', () => {
    const long = HOSTILE.repeat(9);
    const drawn = readSvg(chartAgainst(slow, brisk, { names: [long, HOSTILE], title: long }));
    expect(activeParts(drawn)).toEqual([]);
    expect(wordsOffSheet(drawn)).toEqual([]);
    expect(clashingWords(drawn)).toEqual([]);
  });

  it('refuses what it cannot draw', () => {
    expect(() => chartAgainst(null as never, slow)).toThrow('chartAgainst: a must be an object, got null');
    expect(() => chartAgainst(slow, {} as never)).toThrow('chartAgainst: b.time must be an array');
    const shot = planShot({ stretches: [{ steps: 2 }] });
    expect(() => chartAgainst(slow, shot as never)).toThrow(
      'chartAgainst: b.kind must be what repeats: a walk, a recording or one stride of forces, got "shot"',
    );
    const table = sampleReactions(slow, { samples: 32 });
    const holed = { ...table, left: { ...table.left, side: [1] } };
    expect(() => chartAgainst(slow, holed)).toThrow('b.left.side must be 32 finite numbers');
    expect(() => chartAgainst(slow, brisk, { names: ['one'] as never })).toThrow(RangeError);
    expect(() => chartAgainst(slow, brisk, { labels: 1 } as never)).toThrow(TypeError);
  });
});
