/** One element of a drawing, in document order. */
export interface Drawn {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly text: string;
}

const UNESCAPED: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" };

/** Text with its references resolved; throws at a stray ampersand or angle. */
function unescapeText(text: string): string {
  if (/[<>]|&(?!(amp|lt|gt|quot|#39);)/.test(text)) throw new Error(`not escaped: ${text}`);
  return text.replace(/&(amp|lt|gt|quot|#39);/g, (_, name: string) => UNESCAPED[name]);
}

/**
 * Reads the XML that our charts are written in, strictly: balanced elements, quoted attributes, every sign
 * of mark-up escaped, no comments, processing instructions or declarations. Throws at anything else.
 */
export function readSvg(svg: string): Drawn[] {
  const out: { name: string; attributes: Record<string, string>; text: string }[] = [];
  const open: typeof out = [];
  const token = /<(\/?)([a-z][a-z0-9]*)((?:\s+[a-zA-Z0-9:-]+="[^"<>]*")*)\s*(\/?)>|([^<]+)/gy;
  let at = 0;
  while (at < svg.length) {
    token.lastIndex = at;
    const match = token.exec(svg);
    if (!match) throw new Error(`not well formed at ${at}: ${svg.slice(at, at + 60)}`);
    at = token.lastIndex;
    const [, closing, name, attributes, empty, text] = match;
    if (text !== undefined) {
      if (open.length > 0) open[open.length - 1].text += unescapeText(text);
      else if (text.trim() !== '') throw new Error(`text outside the drawing: ${text}`);
    } else if (closing) {
      if (open.pop()?.name !== name) throw new Error(`${name} closes nothing`);
    } else {
      const element = { name, attributes: {} as Record<string, string>, text: '' };
      for (const [, key, value] of attributes.matchAll(/([a-zA-Z0-9:-]+)="([^"]*)"/g)) {
        element.attributes[key] = unescapeText(value);
      }
      out.push(element);
      if (!empty) open.push(element);
    }
  }
  if (open.length > 0) throw new Error(`${open[0].name} is not closed`);
  return out;
}
