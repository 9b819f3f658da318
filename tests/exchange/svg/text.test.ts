import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { escapeText } from '../../../src/exchange/svg/escape-text.js';
import { fitText, splitSigns, textWidth } from '../../../src/exchange/svg/measure-text.js';
import { placeInRows } from '../../../src/exchange/svg/place-labels.js';
import { niceRange, niceTicks } from '../../../src/exchange/svg/ticks.js';
import { readSvg } from './read-svg.js';

const anyText = fc.string({ unit: 'binary', maxLength: 60 });

describe('escaped text', () => {
  it('can be read back in content and in an attribute, save for what XML does not allow', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const safe = escapeText(text);
        const [drawn] = readSvg(`<text id="${safe}">${safe}</text>`);
        return drawn.text === drawn.attributes.id && (drawn.text === text || drawn.text.includes('\ufffd'));
      }),
      { numRuns: 2000 },
    );
  });
});

describe('fitted text', () => {
  it('is never wider than its room, and is whole where there is room', () => {
    fc.assert(
      fc.property(anyText, fc.double({ min: 20, max: 600, noNaN: true }), (text, room) => {
        const fitted = fitText(text, room);
        const line = text.replace(/\s+/gu, ' ').trim();
        return textWidth(fitted) <= room + 1e-9 && (textWidth(line) > room || fitted === line);
      }),
    );
  });

  it('cuts no sign in two', () => {
    const family = '👨‍👩‍👧‍👦';
    expect(splitSigns(`${family}ab`)).toEqual([family, 'a', 'b']);
    expect(fitText(family.repeat(9), 60)).toBe(`${family.repeat(3)}…`);
  });
});

describe('ticks', () => {
  it('are round, inside the range, and neither too few nor too many', () => {
    const ends = fc.tuple(
      fc.double({ min: -1e4, max: 1e4, noNaN: true }),
      fc.double({ min: 1e-4, max: 1e5, noNaN: true }),
    );
    fc.assert(
      fc.property(ends, fc.integer({ min: 2, max: 12 }), ([low, size], count) => {
        const { values, step, decimals } = niceTicks(low, low + size, count);
        const inside = values.every((x) => x >= low - 1e-6 * size && x <= low + 1.000001 * size);
        const written = values.every((x) => Math.abs(Number(x.toFixed(decimals)) - x) < 1e-6 * step);
        return inside && written && values.length <= 2 * count + 1 && values.length >= count / 2.6 - 1;
      }),
      { numRuns: 2000 },
    );
  });

  it('reach round a range', () => {
    expect(niceRange(-0.13, 0.22, 4)).toEqual([-0.2, 0.30000000000000004]);
  });
});

describe('labels in rows', () => {
  it('touch no other label of their row', () => {
    const labels = fc.array(
      fc.record({
        x: fc.double({ min: 0, max: 800, noNaN: true }),
        width: fc.double({ min: 5, max: 90, noNaN: true }),
      }),
      {
        maxLength: 12,
      },
    );
    fc.assert(
      fc.property(labels, (wanted) => {
        const sorted = wanted.sort((a, b) => a.x - b.x);
        const placed = placeInRows(sorted, 0, 800);
        return placed.every((a, i) =>
          placed.every(
            (b, j) =>
              i === j || a.row !== b.row || Math.abs(a.x - b.x) >= (sorted[i].width + sorted[j].width) / 2,
          ),
        );
      }),
    );
  });
});
