const NAMED: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/**
 * Text made safe inside XML and HTML, in content and in quoted attributes. Characters that XML 1.0 does
 * not allow (control characters, lone surrogates, U+FFFE and U+FFFF) become U+FFFD, the replacement sign.
 */
export function escapeText(text: string): string {
  return (
    text
      // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what has to go.
      .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|\p{Surrogate}/gu, '\ufffd')
      .replace(/[&<>"']/g, (sign) => NAMED[sign])
  );
}
