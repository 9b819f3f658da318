import { describe, expect, it } from 'vitest';
import { SERIES } from '../../../src/exchange/palette.js';
import { chartTextbook } from '../../../src/exchange/svg/chart-textbook.js';
import { type TextbookCurves, textbookCurves } from '../../../src/gait/textbook-curves.js';
import { assertClose } from '../../support/assert-close.js';
import { activeParts, clashingWords, HOSTILE, wordsOffSheet } from './inspect.js';
import { readSvg } from './read-svg.js';

const SETS = {
  'the three of textbooks': textbookCurves(),
  'one slow one': textbookCurves({ paces: [{ speed: 0.3 }], steps: 20 }),
  'six, hurried to strolling': textbookCurves({
    paces: [{ speed: 2.4 }, 'brisk', 'ordinary', { speed: 1 }, 'slow', { speed: 0.4 }],
  }),
  'a child': textbookCurves({ paces: ['slow', 'brisk'], body: { legLength: 0.5 } }),
};

function renamed(curves: TextbookCurves, name: string): TextbookCurves {
  return { ...curves, paces: curves.paces.map((pace) => ({ ...pace, name })) };
}

describe.each(Object.entries(SETS))('the textbook chart of %s', (_, curves) => {
  const drawn = readSvg(chartTextbook(curves));

  it('has no words off the sheet or over one another, and finite numbers only', () => {
    expect(wordsOffSheet(drawn)).toEqual([]);
    expect(clashingWords(drawn)).toEqual([]);
    expect(chartTextbook(curves)).not.toMatch(/NaN|Infinity|undefined|null/);
  });

  it('draws every pace in all six panels, apart by dash, sign and hue', () => {
    curves.paces.forEach((_pace, i) => {
      const own = drawn.filter(
        ({ name, attributes }) =>
          name === 'path' &&
          attributes.fill === 'none' &&
          attributes.stroke === SERIES[i].line &&
          attributes['stroke-dasharray'] === SERIES[i].dash &&
          attributes['stroke-linejoin'] === 'round',
      );
      expect(own).toHaveLength(6);
    });
  });

  it('says units and what the percentages are of', () => {
    const words = drawn.filter(({ name }) => name === 'text').map(({ text }) => text);
    for (const part of ['Per cent of stance', 'Per cent of the stride']) expect(words).toContain(part);
    for (const part of ['Upwards, BW', 'Fore-aft, BW', 'Sideways, BW']) {
      expect(words.some((text) => text.startsWith(part))).toBe(true);
    }
  });
});

// Coordinates are written to a tenth of a px.
const TENTH = { abs: 0.051 };

describe('the textbook chart', () => {
  it('puts the peaks of each pace where its numbers are', () => {
    const curves = textbookCurves();
    const drawn = readSvg(chartTextbook(curves));
    const tick = (text: string): number => {
      const found = drawn.find(({ name, text: own }) => name === 'text' && own === text);
      return Number(found?.attributes.y) - 4;
    };
    const perUnit = (tick('0.50') - tick('1.00')) / 0.5;
    curves.paces.forEach(({ points }, i) => {
      const line = drawn.find(
        ({ name, attributes }) =>
          name === 'path' &&
          attributes.stroke === SERIES[i].line &&
          attributes['stroke-linejoin'] === 'round',
      );
      const numbers = (line?.attributes.d.match(/[\d.]+/g) ?? []).map(Number);
      const highest = Math.min(...numbers.filter((_, at) => at % 2 === 1));
      const peak = Math.max(points.firstPeak.value, points.secondPeak.value);
      assertClose(highest, tick('1.00') - (peak - 1) * perUnit, TENTH);
    });
  });

  it('carries no script with a hostile name', () => {
    const drawn = readSvg(
      chartTextbook(renamed(SETS['the three of textbooks'], HOSTILE), { title: HOSTILE }),
    );
    expect(activeParts(drawn)).toEqual([]);
    expect(wordsOffSheet(drawn)).toEqual([]);
    expect(clashingWords(drawn)).toEqual([]);
  });

  it('refuses what it cannot draw', () => {
    const curves = textbookCurves();
    const paces = curves.paces;
    expect(() => chartTextbook(null as never)).toThrow(TypeError);
    expect(() => chartTextbook({ ...curves, paces: [] })).toThrow('chartTextbook: curves.paces must have');
    expect(() => chartTextbook({ ...curves, paces: new Array(7).fill(paces[0]) })).toThrow(
      'chartTextbook: curves.paces.length must be <= 6, got 7',
    );
    const stance = {
      ...paces[0].stance,
      vertical: paces[0].stance.vertical.map((x, i) => (i === 3 ? Number.NaN : x)),
    };
    expect(() => chartTextbook({ ...curves, paces: [{ ...paces[0], stance }] })).toThrow(
      'chartTextbook: curves.paces[0].stance.vertical[3] must be a finite number, got NaN',
    );
    expect(() => chartTextbook(curves, { heading: 'x' } as never)).toThrow(TypeError);
    expect(() => chartTextbook(curves, { title: 3 as never })).toThrow(TypeError);
  });
});
