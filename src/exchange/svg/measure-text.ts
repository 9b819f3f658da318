import { TYPE } from './type-scale.js';

/** Widths in em, on the wide side of common sans-serif faces so that what is measured to fit does fit. */
const NARROW = /^[ijl.,:;'|!()[\]{}/ ·’]/;
const WIDE = /^[mwMW@%—…]/;
const CAPITAL = /^[A-Z0-9#&+=<>−–×]/;
const FULL_WIDTH =
  /^[\u1100-\u115f\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6]/;
const PICTURE = /^\p{Extended_Pictographic}/u;

/** The text in the units that a reader sees as one sign, so that none is ever cut in two. */
export function splitSigns(text: string): string[] {
  if (typeof Intl === 'object' && 'Segmenter' in Intl) {
    return Array.from(new Intl.Segmenter().segment(text), ({ segment }) => segment);
  }
  return Array.from(text);
}

function signWidth(sign: string): number {
  if (FULL_WIDTH.test(sign) || PICTURE.test(sign)) return 1.05;
  if (NARROW.test(sign)) return 0.38;
  if (WIDE.test(sign)) return 0.98;
  if (CAPITAL.test(sign)) return 0.72;
  return sign > '\u024f' ? 0.75 : 0.62;
}

/** About how wide a text is, in px, at a type size in px; meant to err on the wide side. */
export function textWidth(text: string, size: number = TYPE.body): number {
  let width = 0;
  for (const sign of splitSigns(text)) width += signWidth(sign);
  return width * size;
}

/** The text, or as much of its beginning as fits into a width in px, with an ellipsis. */
export function fitText(text: string, room: number, size: number = TYPE.body): string {
  const line = text.replace(/\s+/gu, ' ').trim();
  if (textWidth(line, size) <= room) return line;
  let width = signWidth('…') * size;
  let kept = '';
  for (const sign of splitSigns(line)) {
    width += signWidth(sign) * size;
    if (width > room) break;
    kept += sign;
  }
  return `${kept.trimEnd()}…`;
}

/** The text broken at blanks into lines that fit a width in px; a word that does not fit is cut. */
export function wrapText(text: string, room: number, size: number = TYPE.body): string[] {
  const lines: string[] = [];
  for (const word of text.split(/\s+/u).filter(Boolean)) {
    const last = lines[lines.length - 1];
    const longer = last === undefined ? word : `${last} ${word}`;
    if (last !== undefined && textWidth(longer, size) <= room) lines[lines.length - 1] = longer;
    else lines.push(fitText(word, room, size));
  }
  return lines;
}
