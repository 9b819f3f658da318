import { textWidth } from '../../../src/exchange/svg/measure-text.js';
import type { Drawn } from './read-svg.js';

/** A name that tries to leave its element. */
export const HOSTILE = "</text><script>alert(1)</script>\"><svg onload='alert(2)'> &amp; \u0000\ud800";
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

/** Words that stand beyond the sheet's edges. */
export function wordsOffSheet(drawn: readonly Drawn[]): Box[] {
  const width = Number(drawn[0].attributes.width);
  const height = Number(drawn[0].attributes.height);
  return boxesOf(drawn).filter(
    ({ left, right, top, bottom }) => left < 0 || right > width || top < 0 || bottom > height,
  );
}

/** Pairs of words that run into each other. */
export function clashingWords(drawn: readonly Drawn[]): string[] {
  const boxes = boxesOf(drawn);
  return boxes.flatMap((a, i) =>
    boxes
      .slice(i + 1)
      .filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
      .map((b) => `${a.text} | ${b.text}`),
  );
}

/** Elements and attributes that could run or fetch something. */
export function activeParts(drawn: readonly Drawn[]): string[] {
  const active = ['script', 'a', 'image', 'foreignObject', 'style', 'use', 'animate'];
  return drawn.flatMap(({ name, attributes }) => [
    ...active.filter((item) => item === name),
    ...Object.keys(attributes).filter((key) => /^on|href$/.test(key)),
  ]);
}
