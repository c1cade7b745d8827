// Text from a file is never trusted by the format it is written into.

const HTML: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

/** Text that can stand in HTML or XML, also inside a quoted attribute. Characters that XML forbids are dropped. */
export function escapeMarkup(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: XML 1.0 forbids these characters
  const allowed = text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, '');
  return allowed.replace(/[&<>"']/g, (c) => HTML[c] as string);
}

/**
 * One CSV field after RFC 4180. A field that a spreadsheet would run as a formula gets a leading apostrophe; numbers do not.
 * @example
 * csvField('a "b", c') // => '"a ""b"", c"'
 * csvField('=1+1') // => "'=1+1"
 * csvField('-2') // => '-2'
 */
export function csvField(value: string | number | boolean | null | undefined): string {
  if (value === null || value === undefined) return '';
  let text = String(value);
  if (typeof value === 'string' && /^[=+\-@\t\r]/.test(text) && !/^[+-]?\d+(\.\d+)?$/.test(text)) text = `'${text}`;
  return /[",\r\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
}

/**
 * A text that can stand within a line of Markdown as plain words, and still reads as it is: only what would mean something there gets a backslash (CommonMark 0.31).
 * Line ends become blanks, control characters are left out.
 * @example
 * escapeMarkdown('"behind the blind" (9 notes), F#m7 & E7') // => '"behind the blind" (9 notes), F#m7 & E7'
 * escapeMarkdown('<b>*loud* | soft') // => '&lt;b>\\*loud\\* \\| soft'
 */
export function escapeMarkdown(text: string): string {
  return (
    text
      .replace(/[\r\n\u0085\u2028\u2029]+/g, ' ')
      // biome-ignore lint/suspicious/noControlCharactersInRegex: they are none of a text's business
      .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/g, '')
      .replace(/&(?=#?\w+;)/g, '&amp;')
      .replace(/[\\`*_[\]|~]/g, '\\$&')
      .replace(/</g, '&lt;') // a backslash would do, but not every reader of Markdown knows it there
      .replace(/!(?=\\\[)/g, '\\!')
      // At the start of a line: headings, quotes, lists.
      .replace(/^(\s*)(#{1,6}(?=\s|$)|[>+=-])/, '$1\\$2')
      .replace(/^(\s*\d{1,9})([.)])(?=\s|$)/, '$1\\$2')
  );
}
