import fc from 'fast-check';
import { expect, it } from 'vitest';
import { escapeMarkdown } from '../../lib/foundation/escape.js';

/** What a reader of CommonMark shows of a line: backslash escapes (0.31, section 2.4) and entities (2.5) undone. */
const shown = (line: string): string =>
  line.replace(/\\([!-/:-@[-`{-~])|&lt;|&amp;/g, (all, escaped?: string) => escaped ?? (all === '&lt;' ? '<' : '&'));

it('plain titles stay as they are', () => {
  for (const text of ['"behind the blind" (9 notes)', 'F#m7 & E7', 'up to 76; see 3.', "player's own", 'b3+ and 4'])
    expect(escapeMarkdown(text)).toBe(text);
});

it('any text is shown as it is, on one line, and opens no tag, link, list or heading', () => {
  fc.assert(
    fc.property(
      fc.oneof(fc.string({ unit: 'binary' }), fc.string({ unit: fc.constantFrom(...'# ->*_[]()!`<>&;lt1.|~\\\n\r') })),
      (text) => {
        const line = escapeMarkdown(text);
        expect(line).not.toMatch(/[\r\n]/);
        expect(line).not.toMatch(/</);
        expect(line).not.toMatch(/^\s*(#{1,6}(\s|$)|[>+=-]|\d{1,9}[.)](\s|$))/);
        expect(line.replace(/\\./g, '')).not.toMatch(/[`*_[\]|~]/);
        const plain = text
          .replace(/[\r\n\u0085\u2028\u2029]+/g, ' ')
          // biome-ignore lint/suspicious/noControlCharactersInRegex: they are left out
          .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/g, '');
        expect(shown(line)).toBe(plain);
      },
    ),
    { numRuns: 2000 },
  );
});
