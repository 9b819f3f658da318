import { describe, expect, it } from 'vitest';
import { GROUND, SERIES, STROKES } from '../../src/exchange/palette.js';

function linear(hex: string): [number, number, number] {
  const channel = (i: number): number => {
    const x = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4;
  };
  return [channel(1), channel(3), channel(5)];
}

const luminance = ([r, g, b]: readonly number[]): number => 0.2126 * r + 0.7152 * g + 0.0722 * b;

/** Contrast ratio of WCAG 2.2. */
function contrast(a: readonly number[], b: readonly number[]): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

// Full dichromacy in linear RGB: Viénot, Brettel & Mollon 1999, Color Res. Appl. 24:243, eqs. for protan and deutan.
const BLIND: Readonly<Record<string, (rgb: readonly number[]) => number[]>> = {
  protan: ([r, g, b]) => [
    0.11238 * r + 0.88762 * g,
    0.11238 * r + 0.88762 * g,
    0.00401 * r - 0.00401 * g + b,
  ],
  deutan: ([r, g, b]) => [
    0.29275 * r + 0.70725 * g,
    0.29275 * r + 0.70725 * g,
    -0.02234 * r + 0.02234 * g + b,
  ],
};

/** Least of WCAG 2.2 for graphics (1.4.11) and for text (1.4.3). */
const LINE_CONTRAST = 3;
const TEXT_CONTRAST = 4.5;

describe('the palette', () => {
  it.each([...Object.entries(STROKES), ...SERIES.map((stroke, i) => [`line ${i}`, stroke] as const)])(
    'draws and names %s well off the paper and the panel',
    (_, { line, text }) => {
      for (const ground of [GROUND.paper, GROUND.panel].map(linear)) {
        expect(contrast(linear(line), ground)).toBeGreaterThanOrEqual(LINE_CONTRAST);
        expect(contrast(linear(text), ground)).toBeGreaterThanOrEqual(TEXT_CONTRAST);
      }
    },
  );

  it('has words that can be read on every ground', () => {
    for (const ground of [GROUND.paper, GROUND.panel, GROUND.above, GROUND.below].map(linear)) {
      expect(contrast(linear(GROUND.ink), ground)).toBeGreaterThanOrEqual(TEXT_CONTRAST);
    }
    expect(contrast(linear(GROUND.muted), linear(GROUND.paper))).toBeGreaterThanOrEqual(TEXT_CONTRAST);
  });

  it('keeps lines that meet in one panel apart by more than hue: by dash or by weight', () => {
    for (const [a, b] of [
      ['left', 'right'],
      ['total', 'left'],
      ['total', 'right'],
      ['root', 'follower'],
    ] as const) {
      const [x, y] = [STROKES[a], STROKES[b]];
      expect(x.dash !== y.dash || x.width / y.width >= 2 || y.width / x.width >= 2, `${a}, ${b}`).toBe(true);
    }
  });

  it('gives compared lines a dash of their own, and the first three a lightness of their own', () => {
    expect(new Set(SERIES.map(({ dash, width }) => `${dash} ${dash ? '' : width}`)).size).toBe(SERIES.length);
    const greys = SERIES.slice(0, 3).map(({ line }) => luminance(linear(line)));
    greys.slice(1).forEach((grey, i) => {
      expect(contrast([grey, grey, grey], [greys[i], greys[i], greys[i]])).toBeGreaterThan(1.4);
    });
  });

  it.each(Object.entries(BLIND))('keeps left and right apart for %s readers', (_, see) => {
    const [left, right] = [STROKES.left, STROKES.right].map(({ line }) => see(linear(line)));
    const apart = Math.hypot(...left.map((x, i) => x - right[i]));
    // Far above what two printed greys of one step differ by, about 0.02 in linear light.
    expect(apart).toBeGreaterThan(0.15);
  });
});
