import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Diagnostic } from '../../lib/foundation/diagnostic.js';
import { createRandom, type Random } from '../../lib/foundation/random.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { printSolo } from '../../lib/notation/printer.js';
import { solos } from '../arbitraries.js';
import { writtenSolos } from '../arbitrary-texts.js';
import { type BarWord, type ClosedBar, CORPUS, closedBars } from './corpus.js';
import { HEAD, phraseOf } from './marked.js';

const RUNS = 2000;
const SLOWEST = 1000; // ms for one text

/** Good texts to be spoiled: those of the project, some printed from arbitrary solos, some as typed. */
const TEXTS: readonly string[] = [
  ...CORPUS.map(([, text]) => text),
  ...fc.sample(solos, { numRuns: 20, seed: 11 }).map(printSolo),
  ...fc.sample(writtenSolos, { numRuns: 20, seed: 12 }).map((w) => w.text),
];

const NASTY = [
  ...'\0\r\n\t"\'()|#%@>_+-=~!*\\:[]{}&0\u2028\ufeff\u202e\ud83d',
  '---',
  '99999999999999999999',
  '😀',
  'é',
  '1e9',
  '`',
  '\r\n',
];

type Spoil = (text: string, random: Random) => string;
const cut = (text: string, at: number, length: number, put = ''): string =>
  text.slice(0, at) + put + text.slice(at + length);
const words = (text: string): RegExpExecArray[] => [...text.matchAll(/\S+/g)] as RegExpExecArray[];
const of = <T>(list: readonly T[], random: Random): T => list[random.int(list.length)]!;
const long = 6_000;

const SPOILS: readonly (readonly [name: string, spoil: Spoil])[] = [
  ['a character less', (t, r) => cut(t, r.int(t.length), 1)],
  ['a character more', (t, r) => cut(t, r.int(t.length), 0, String.fromCharCode(32 + r.int(95)))],
  ['a nasty character more', (t, r) => cut(t, r.int(t.length), 0, of(NASTY, r))],
  ['two characters swapped', (t, r) => { const i = r.int(t.length - 1); return cut(t, i, 2, t.charAt(i + 1) + t.charAt(i)); }],
  ['any character of Unicode', (t, r) => cut(t, r.int(t.length), 1, String.fromCodePoint(r.int(0x10ffff)))],
  ['a word less', (t, r) => { const w = of(words(t), r); return cut(t, w.index, w[0].length); }],
  ['a word twice', (t, r) => { const w = of(words(t), r); return cut(t, w.index, 0, `${w[0]} `); }],
  ['two words swapped', (t, r) => { const w = words(t); const i = r.int(w.length - 1); return cut(t, w[i]!.index, w[i]![0].length, w[i + 1]![0]); }],
  ['lines shuffled', (t, r) => { const l = t.split('\n'); const i = r.int(l.length); const [line] = l.splice(i, 1); l.splice(r.int(l.length), 0, line!); return l.join('\n'); }],
  ['a line less', (t, r) => { const l = t.split('\n'); l.splice(r.int(l.length), 1); return l.join('\n'); }],
  ['the end missing', (t, r) => t.slice(0, r.int(t.length))],
  ['the beginning missing', (t, r) => t.slice(r.int(t.length))],
  ['zeros', (t, r) => cut(t, r.int(t.length), r.int(9), '\0'.repeat(1 + r.int(9)))],
  ['a very long word', (t, r) => cut(t, r.int(t.length), 0, of(['9', '(', '@1', '1@1+', ' (1', ':a', '"', '[', '5@2(0>', '_@1+', 'b9', '{', '- '], r).repeat(long / 4))],
  ['a very long line', (t, r) => { const w = of(words(t), r); return cut(t, w.index, 0, `${w[0]} `.repeat(long / (w[0].length + 1))); }],
  ['all blanks gone', (t) => t.replace(/ /g, '')],
  ['all line ends gone', (t) => t.replace(/\n/g, ' ')],
]; // biome-ignore format: one a line

/** Spoils a text once, or in one case of three up to five times. */
function spoiled(text: string, random: Random): { readonly text: string; readonly how: string } {
  const how: string[] = [];
  for (let n = random.int(3) === 0 ? 1 + random.int(5) : 1; n > 0 && text.length > 1; n--) {
    const [name, spoil] = of(SPOILS, random);
    text = /\S\s+\S/.test(text) ? spoil(text, random) : text;
    how.push(name);
  }
  return { text, how: how.join(', ') };
}

/** What is wrong with a diagnostic itself, if anything is. */
function flaw(d: Diagnostic, lengths: readonly number[]): string | undefined {
  const { line, column, endLine, endColumn } = d.place;
  const inside = (l: number, c: number) => l >= 1 && l <= lengths.length && c >= 1 && c <= lengths[l - 1]! + 1;
  if (!inside(line, column) || !inside(endLine, endColumn)) return 'placed outside the text';
  if (endLine < line || (endLine === line && endColumn < column)) return 'ends before it starts';
  for (const words of [d.message, d.remedy, d.expected, d.found])
    if (words !== undefined && (/undefined|NaN|Infinity|\[object/.test(words) || words.length > 400))
      return 'badly said';
  return d.message.trim() === '' || d.code === '' ? 'not said' : undefined;
}

/** A reading and the processor time it took, in ms: other work may share the machine. */
function timed(text: string) {
  const start = process.cpuUsage();
  const reading = parseSolo(text, 'a.solo');
  const { user, system } = process.cpuUsage(start);
  return { ...reading, took: (user + system) / 1000 };
}

describe('bad text', () => {
  it(`${RUNS} spoiled solos: none throws, hangs or is said to be wrong outside itself`, () => {
    const random = createRandom(20260);
    let slowest = 0;
    let faulty = 0;
    for (let run = 0; run < RUNS; run++) {
      const { text, how } = spoiled(TEXTS[run % TEXTS.length]!, random);
      const { value, diagnostics, took } = timed(text);
      slowest = Math.max(slowest, took);
      if (diagnostics.length > 0) faulty++;
      // The lengths of lines with their ends: a fault may stand on the line end itself.
      const lengths = text.split(/(?<=\r\n|\n|\r(?!\n))/).map((l) => l.length);
      if (/[\r\n]$/.test(text) || text === '') lengths.push(0);
      const flawed = diagnostics.find((d) => flaw(d, lengths));
      if (flawed)
        expect(flaw(flawed, lengths), `run ${run}, ${how}: ${JSON.stringify(flawed).slice(0, 600)}`).toBeUndefined();
      expect(value !== undefined || diagnostics.some((d) => d.severity === 'fault'), how).toBe(true);
    }
    console.log(`${RUNS} spoiled solos: ${faulty} with something to say, slowest ${Math.round(slowest)} ms`);
    expect(slowest).toBeLessThan(SLOWEST);
    expect(faulty).toBeGreaterThan(RUNS / 2);
  }, 90_000);

  /** Made to be slow, to run out of stack, or to be told off by the million. */
  const many = (word: string, n = 30_000) => word.repeat(n);
  const SLOW: Readonly<Record<string, string>> = {
    'open brackets': phraseOf(`q ${many('(a ')}`),
    'digits in a bend': phraseOf(`q 5@1(${many('1')}x)`),
    'a group on one string': phraseOf(`q ${many('1@1+')}1@1 _`),
    'marks on one note': phraseOf(`q 1@1${Array.from({ length: 30_000 }, (_, i) => `:a${i}`).join('')}`),
    'notes that ring and are damped': phraseOf(`t ${many('1@1= damp ')}`),
    'words that are no notes': phraseOf(many('q ', 200_000)),
    'names of strings to tie': phraseOf(`q 5@1 ${many('_@1+')}_@1`),
    'a chord of many alterations': `${HEAD}changes\n1 C7${many('b9')}\n`,
    'a key with a gap': `${HEAD}changes\nkey A x${many(' ')}y\n`,
    'repeats of one bar': `${HEAD}changes\nmeter 3/4\n1 C\n${Array.from({ length: 9000 }, (_, i) => `repeat ${i + 1}-${i + 1} x2`).join('\n')}`,
    'repeats that wait': `${HEAD}changes\n${many('repeat 9990-9998 x2\n', 5000)}${Array.from({ length: 9000 }, (_, i) => `${i + 1} C`).join('\n')}`,
    'sections in a repeat': `${HEAD}changes\n1 C\n${many('section "a" 1-1\n')}repeat 1-1 x9\n`,
    'lists in lists in the head': `---\n${many('- ')}\n---\n`,
    'brackets in the head': `---\n${many('[')}\n---\n`,
    'a head without an end': `---\n${many('x: y\n')}`,
    'lines of nothing': many('\n', 500_000),
    'lines before the head': many('# x\n', 100_000),
  };
  for (const [name, text] of Object.entries(SLOW))
    it(`${name}, by the thousand: read in a second, with fewer faults than characters`, () => {
      const { diagnostics, took } = timed(text);
      expect(took).toBeLessThan(SLOWEST);
      expect(diagnostics.length).toBeLessThan(text.length);
    });

  it('whatever could still be read is a solo that can be printed and read back', () => {
    const random = createRandom(20261);
    let read = 0;
    for (let run = 0; run < 300; run++) {
      const { value } = parseSolo(spoiled(TEXTS[run % TEXTS.length]!, random).text);
      if (!value) continue;
      read++;
      const text = printSolo(value);
      expect(parseSolo(text).value, text).toEqual(value);
    }
    expect(read).toBeGreaterThan(100);
  });
});

/** Slips that change the length of one closed bar: the text with the slip, or nothing where it cannot be made. */
const SLIPS: readonly (readonly [name: string, slip: (text: string, bar: ClosedBar, random: Random) => string | undefined])[] = [
  ['a note left out', (text, bar, random) => without(text, pickWord(bar, random, (w) => w.spends && w.word !== '-'))],
  ['a rest left out', (text, bar, random) => without(text, pickWord(bar, random, (w) => w.word === '-'))],
  ['a note twice', (text, bar, random) => {
    const w = pickWord(bar, random, (w) => w.spends);
    return w && cut(text, w.start, 0, `${w.word} `);
  }],
  ['another value', (text, bar, random) => {
    const w = pickWord(bar, random, (w, next) => w.isValue && next?.isValue === false);
    if (!w) return undefined;
    const others = ['w', 'h', 'q', 'e', 's', 't', 'q.', 'e.', 'e:3'].filter((v) => v !== w.word);
    return cut(text, w.start, w.end - w.start, of(others, random));
  }],
]; // biome-ignore format: one a paragraph

const without = (text: string, w: BarWord | undefined): string | undefined => w && cut(text, w.start, w.end - w.start);
function pickWord(
  bar: ClosedBar,
  random: Random,
  fits: (w: BarWord, next: BarWord | undefined) => boolean,
): BarWord | undefined {
  const fitting = bar.words.filter((w, i) => fits(w, bar.words[i + 1]));
  return fitting.length === 0 ? undefined : of(fitting, random);
}

describe('a single slip in the length of a closed bar', () => {
  it('is named at that bar in at least 95 of 100', () => {
    const random = createRandom(95);
    const tally = new Map<string, { tried: number; named: number }>();
    const missed: string[] = [];
    const typed = CORPUS.map(([, text]) => text);
    const printed = fc.sample(solos, { numRuns: 30, seed: 14 }).map(printSolo);
    for (const text of [...typed, ...printed])
      for (const bar of closedBars(text))
        for (const [name, slip] of SLIPS) {
          const slipped = slip(text, bar, random);
          if (slipped === undefined) continue;
          const count = tally.get(name) ?? { tried: 0, named: 0 };
          tally.set(name, count);
          count.tried++;
          const first = parseSolo(slipped).diagnostics.find((d) => d.code === 'bar-short' || d.code === 'bar-long');
          if (first?.message.match(/^bar (\d+)\b/)?.[1] === String(bar.number)) count.named++;
          else missed.push(`${name} in bar ${bar.number}: ${first?.message ?? 'nothing said'}`);
        }
    for (const [name, { tried, named }] of tally) {
      console.log(`${name}: ${named} of ${tried} named at the right bar (${((100 * named) / tried).toFixed(1)} %)`);
      expect(tried, name).toBeGreaterThan(50);
      expect(named / tried, `${name}\n${missed.slice(0, 5).join('\n')}`).toBeGreaterThanOrEqual(0.95);
    }
    expect(tally.size).toBe(SLIPS.length);
  });
});
