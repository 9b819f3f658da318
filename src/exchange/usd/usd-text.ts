/** Text as a string of an OpenUSD text layer; control characters become spaces, lone surrogates U+FFFD. */
export function usdString(text: string): string {
  const plain = text
    // biome-ignore lint/suspicious/noControlCharactersInRegex: these have no place in a one-line string.
    .replace(/[\u0000-\u001f\u007f]/gu, ' ')
    .replace(/\p{Surrogate}/gu, '\ufffd')
    .replace(/[\\"]/g, '\\$&');
  return `"${plain}"`;
}

/** Names for prims made from any text, each once: ASCII letters, digits and underscores. */
export function primNames(texts: readonly string[], fallback: string): string[] {
  const taken = new Set<string>();
  return texts.map((text) => {
    const words = text.match(/[A-Za-z0-9]+/g) ?? [];
    const joined = words.map((word) => word[0].toUpperCase() + word.slice(1)).join('') || fallback;
    const base = /^[0-9]/.test(joined) ? `_${joined}` : joined;
    let name = base;
    for (let i = 2; taken.has(name); i++) name = `${base}_${i}`;
    taken.add(name);
    return name;
  });
}

/** Lines indented by four spaces per level. */
export function indent(lines: readonly string[], levels = 1): string[] {
  return lines.map((line) => (line === '' ? '' : '    '.repeat(levels) + line));
}
