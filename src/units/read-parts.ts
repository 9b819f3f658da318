/** One number and the unit behind it. */
export interface Part {
  readonly number: number;
  /** Unit in plain letters, for example `ft` or `/min`. */
  readonly unit: string;
}

/** Longest text that is read; nobody writes longer quantities. */
const LONGEST = 100;

const SUPERSCRIPTS = '⁰¹²³⁴⁵⁶⁷⁸⁹';

const NUMBER = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+(?![A-Za-z]))?`;
/** Letters, products, quotients and whole powers; a number only behind a power sign. */
const UNIT = String.raw`(?:[A-Za-zµ°]|\^-?\d|[*/ ])+`;
const PART = new RegExp(String.raw`\s*(${NUMBER})(?:\s*/\s*(\d+\.?\d*))?\s*(${UNIT})`, 'y');

/** Signs that people write, in plain letters: m/s², 5′ 9″, 5'9, 6 ft., 2.5 m·s⁻¹, −3 m, 40 per minute. */
export function plainText(text: string): string {
  return (
    text
      .replace(/[⁰¹²³⁴⁵⁶⁷⁸⁹]+/g, (digits) => `^${[...digits].map((d) => SUPERSCRIPTS.indexOf(d)).join('')}`)
      .replace(/⁻\^/g, '^-')
      .replace(/[−–]/g, '-')
      .replace(/[·⋅×]/g, '*')
      .replace(/[″"“”]|[′'‘’]{2}/g, ' in ')
      .replace(/[′'‘’]/g, ' ft ')
      .replace(/([A-Za-z])\.(?=\s|$)/g, '$1')
      // Inches are what is left out behind feet, and nothing else is.
      .replace(/\b(ft|foot|feet)\s+(\d+(?:\.\d+)?)\s*$/i, '$1 $2 in')
      .replace(/°/g, ' deg ')
      .replace(/μ/g, 'µ')
      .replace(/\bper\b/g, '/')
      .trim()
  );
}

/**
 * The numbers and units of a quantity: one for `3 ft`, two for `5 ft 9 in`; nothing where it is not one.
 * A number may be a quotient of two, as in `2/3 stride/s`. The sign of the first holds for all.
 */
export function readParts(text: string): readonly Part[] | undefined {
  if (text.length > LONGEST) return undefined;
  const plain = plainText(text);
  const parts: Part[] = [];
  PART.lastIndex = 0;
  let end = 0;
  while (end < plain.length) {
    const found = PART.exec(plain);
    if (!found || found[3].trim() === '') return undefined;
    if (parts.length > 0 && /^[+-]/.test(found[1])) return undefined;
    const sign = parts.length > 0 && plain.startsWith('-') ? -1 : 1;
    parts.push({ number: (sign * Number(found[1])) / Number(found[2] ?? 1), unit: found[3].trim() });
    end = PART.lastIndex;
  }
  return parts.length > 0 ? parts : undefined;
}
