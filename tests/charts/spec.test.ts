import { createRequire } from 'node:module';
import { Resvg } from '@resvg/resvg-js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  chart,
  countText,
  percentText,
  plainText,
  shorten,
  textWidth,
  type Weight,
  wrap,
} from '../../lib/charts/spec.js';
import { escapeMarkup } from '../../lib/foundation/escape.js';

const fontFile = (path: string): string => createRequire(import.meta.url).resolve(`@expo-google-fonts/arimo/${path}`);

describe('textWidth', () => {
  // Arimo has the advance widths of Arial, as Arial has those of Helvetica: the widths in the code are read back from the font file, by a
  // renderer that knows nothing of them. An H on each side, since ink does not reach to the ends of a letter's own width.
  it.each([
    ['normal', '400Regular/Arimo_400Regular.ttf', 400],
    ['bold', '700Bold/Arimo_700Bold.ttf', 700],
  ] as const)(
    'is that of Arimo, %s, for every printable character of ASCII and the signs in use',
    (weight: Weight, path, css) => {
      const font = { fontFiles: [fontFile(path)], loadSystemFonts: false, defaultFontFamily: 'Arimo' };
      const ink = (text: string): number => {
        const words = `<text y="1000" font-size="1000" font-family="Arimo" font-weight="${css}" xml:space="preserve" style="font-kerning:none">${escapeMarkup(text)}</text>`;
        const box = new Resvg(`<svg xmlns="http://www.w3.org/2000/svg" width="4000" height="2000">${words}</svg>`, {
          font,
          logLevel: 'off',
        }).innerBBox();
        return box ? box.width : Number.NaN;
      };
      const both = ink('HH');
      const off: string[] = [];
      const ascii = Array.from({ length: 95 }, (_, i) => String.fromCharCode(32 + i));
      for (const c of [...ascii, '°', 'ø', '–', '…']) {
        const found = ink(`H${c}H`) - both;
        if (Math.abs(found - textWidth(c, 1000, weight)) > 2)
          off.push(`${c}: ${textWidth(c, 1000, weight)}, font ${found}`);
      }
      expect(off).toEqual([]);
    },
  );

  it('takes a letter with an accent for the letter, and what it does not know for a square', () => {
    expect(textWidth('é', 10)).toBe(textWidth('e', 10));
    expect(textWidth('e\u0301', 10)).toBe(textWidth('e', 10));
    expect(textWidth('漢🎸', 10)).toBe(20);
  });
});

const texts = fc.oneof(
  fc.string({ maxLength: 80 }),
  fc.string({ unit: 'grapheme', maxLength: 40 }),
  fc.lorem({ maxCount: 20 }),
);

describe('wrap', () => {
  it('keeps every word, in lines that fit', () =>
    fc.assert(
      fc.property(texts, fc.integer({ min: 20, max: 400 }), (text, width) => {
        const lines = wrap(text, width, 12);
        expect(lines.join('').replaceAll(' ', '')).toBe(plainText(text).replaceAll(' ', ''));
        for (const line of lines)
          if ([...line].length > 1 && !/ %/.test(line)) expect(textWidth(line, 12)).toBeLessThanOrEqual(width);
      }),
    ));

  it('leaves % with its number', () => {
    for (let width = 40; width < 300; width++)
      for (const line of wrap('15 to 26 % here and 12 % there', width, 14)) expect(line).not.toMatch(/^%/);
  });

  it('gives no line for no words', () => expect(wrap('  ', 100, 12)).toEqual([]));
});

describe('shorten', () => {
  it('leaves what fits, and cuts what does not so that it fits', () =>
    fc.assert(
      fc.property(texts, fc.integer({ min: 20, max: 400 }), (text, width) => {
        const cut = shorten(text, width, 12);
        if (textWidth(text, 12) <= width) expect(cut).toBe(text);
        else {
          expect(cut.endsWith('…')).toBe(true);
          expect(text.startsWith(cut.slice(0, -1))).toBe(true);
          expect(textWidth(cut, 12)).toBeLessThanOrEqual(width);
        }
      }),
    ));
});

describe('numbers as they are read', () => {
  it.each([
    [0, '0'],
    [0.0049, '<1'],
    [0.005, '1'],
    [0.994, '99'],
    [1, '100'],
  ])('a share of %d is %s %%', (share, text) => expect(percentText(share)).toBe(text));
  it.each([
    [0, '0'],
    [999, '999'],
    [1000, '1,000'],
    [1234567, '1,234,567'],
  ])('a count of %d is %s', (n, text) => expect(countText(n)).toBe(text));
});

describe('chart', () => {
  const parts = { notes: [], width: 100, height: 50, left: 20, above: 10, below: 5, datasets: {}, layers: [] };

  it('has no control characters and no line breaks of others in what it says', () => {
    const spec = chart({ ...parts, title: 'a\u0000b\nc\u202Ed', question: 'B♭7\u001b[31m' });
    expect(spec.title.text.join(' ')).toBe('a.b c.d');
    expect(spec.title.subtitle).toEqual(['Bb7.[31m']);
    expect(spec.description).toBe('a.b c.d. Bb7.[31m');
  });

  it('grows upward with its title, and downward with its notes', () => {
    const short = chart({ ...parts, title: 'a', question: 'b' });
    const long = chart({ ...parts, title: 'a word '.repeat(20), question: 'b', notes: ['one', 'two'] });
    const room = (spec: ReturnType<typeof chart>) => spec.padding as { top: number; bottom: number; left: number };
    expect(room(long).top - room(short).top).toBe(23 * (long.title.text.length - 1));
    expect(room(long).bottom - room(short).bottom).toBe(32);
    expect(room(long).left).toBe(room(short).left);
  });
});
