import { readdirSync, readFileSync } from 'node:fs';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import { diagnosticText } from '../../lib/foundation/diagnostic.js';
import { LONGEST_TEXT, parseSolo, parseSoloOrThrow } from '../../lib/notation/parser.js';
import { printSolo } from '../../lib/notation/printer.js';
import { TEXT_CASES } from './fault-cases.js';
import { HAND_CASES } from './hand-fault-cases.js';
import { HEAD, phraseOf, unmarked } from './marked.js';
import { PHRASE_CASES } from './phrase-fault-cases.js';

const CASES = [...TEXT_CASES, ...PHRASE_CASES, ...HAND_CASES];

describe('each fault is said once, at its place, in words and with its remedy', () => {
  for (const [i, given] of CASES.entries())
    it(`${given.code}: ${given.message} (${i + 1})`, () => {
      const { text, place } = unmarked(given.text);
      const { value, diagnostics } = parseSolo(text, 'a.solo');
      const found = diagnostics.find((d) => d.code === given.code);
      expect(found, diagnostics.map((d) => `${d.code} ${d.message}`).join('\n')).toMatchObject({
        code: given.code,
        message: given.message,
        severity: given.warning ? 'warning' : 'fault',
        file: 'a.solo',
        place,
        ...(given.remedy !== undefined && { remedy: given.remedy }),
      });
      expect(diagnostics.map((d) => d.code).sort()).toEqual([given.code, ...(given.also ?? [])].sort());
      if (given.warning) expect(value).toBeDefined();
    });
});

describe('the codes', () => {
  it('each code that the reader or the hand can give has a case here', () => {
    const codes = codesOf('lib/notation/', 'lib/solo/');
    expect(codes.size).toBeGreaterThan(40);
    const tested = new Set([...CASES.map((c) => c.code), 'too-long']);
    expect([...codes].filter((c) => !tested.has(c))).toEqual([]);
    expect([...tested].filter((c) => !codes.has(c))).toEqual([]);
  });
});

/** The codes that stand as first argument in calls of `fault` and `add`, in the files of some rooms. */
function codesOf(...rooms: readonly string[]): Set<string> {
  const codes = new Set<string>();
  const visit = (node: ts.Node): void => {
    if (ts.isCallExpression(node)) {
      const called = ts.isPropertyAccessExpression(node.expression) ? node.expression.name : node.expression;
      const [first] = node.arguments;
      if (ts.isIdentifier(called) && /^(fault|add)$/.test(called.text) && first) {
        const choices = ts.isConditionalExpression(first) ? [first.whenTrue, first.whenFalse] : [first];
        for (const choice of choices) if (ts.isStringLiteral(choice)) codes.add(choice.text);
      }
    }
    ts.forEachChild(node, visit);
  };
  for (const room of rooms) {
    const folder = new URL(`../../${room}`, import.meta.url);
    for (const name of readdirSync(folder))
      visit(ts.createSourceFile(name, readFileSync(new URL(name, folder), 'utf8'), ts.ScriptTarget.ES2022));
  }
  return codes;
}

describe('what a fault loses', () => {
  const phrases = (second: string) =>
    `${HEAD}phrase 1\nat 1 1\nq 5@2 - - - | w - |\n${second}\nphrase 3\nat 2 1\nw 7@2 |\n`;
  const kept = (text: string) => parseSolo(text).value?.phrases.map((p) => [p.id, p.length / 20160]);

  it('a broken phrase is lost alone: the others keep their notes and their length', () => {
    expect(kept(phrases(''))).toEqual([
      ['1', 4],
      ['3', 4],
    ]);
    for (const second of [
      'phrase 2\nat 1 2\nh 5@2 7@2 |', // a bar too long
      'phrase 2\nat 1 2\nq 5@2 5@2 5@2 5@2 5@2 5@2 5@2', // runs on under phrase 3
      'phrase 2\nat x 1\nq 5@2', // no entry
      'phrase 2\nat 1 2\nq 25@2', // off the neck
      'phrase 1\nat 1 2\nq 5@2', // an id that is taken
    ])
      expect(kept(phrases(second)), second).toEqual([
        ['1', 4],
        ['3', 4],
      ]);
    expect(kept(phrases('phrase 2\nat 1 3\nq 5@2'))).toEqual([
      ['1', 2],
      ['2', 1],
      ['3', 4],
    ]);
  });

  it('a damp in last rests that give way to the next phrase goes with them', () => {
    const text = `${HEAD}phrase 1\nat 1 1\nq 5@2= - damp - damp - |\nphrase 2\nat 1 3\nq 5@2\n`;
    const [first] = parseSoloOrThrow(text).phrases;
    expect(first).toMatchObject({ length: 2 * 20160, damps: [80640 + 2 * 20160] });
  });

  it('a fault in the head or in the changes loses the solo', () => {
    expect(parseSolo(phraseOf('w 5@2 |')).value).toBeDefined();
    expect(parseSolo(phraseOf('w 5@2 |').replace('96', 'fast')).value).toBeUndefined();
    expect(parseSolo(`${HEAD}changes\n1 Q\nphrase 1\nat 1 1\nw 5@2 |\n`).value).toBeUndefined();
  });

  it('the faults of a file stand in order of place, whatever part of the reader found them', () => {
    const { diagnostics } = parseSolo(`${HEAD}changes\n1 Q | F7\nphrase 1\nat 1 1\nq 5@2 5@9 z | w 5@2 5@2 |\n`);
    expect(diagnostics.map((d) => `${d.place.line}:${d.place.column} ${d.code}`)).toEqual([
      '8:3 unknown-chord',
      '11:1 bar-short',
      '11:7 no-such-string',
      '11:11 bad-note',
      '11:15 bar-long',
    ]);
  });
});

describe('what is right is left alone', () => {
  it.each([
    ['levels that move, from where the string is', 'h 8@3(0>2) @3(2>0) |'],
    ['a held level with a time of its own', 'h 8@3(0>2) @3(2 q>0 q) |'],
    ['a string that goes on without a path', 'h 8@3(0>2) @3 |'],
    ['a hammer from nowhere', 'h 8@3 h5@1 |'],
    ['a pull from a note that ends right here', 'h 8@3 p5@3 |'],
    ['a pull from a string that rings through a rest', 'q 8@3= - h p5@3 |'],
    ['a pull from a string that was let down', 'q 8@3(0>2) h @3(>0) q p5@3 |'],
    ['hammered and tapped, which look like values', 'h 8@3 q h5@2 t12@2 |'],
  ])('%s: %s %s', (_, words) => {
    expect(parseSolo(phraseOf(words)).diagnostics).toEqual([]);
  });

  it('a pull as a phrase comes in, from a string that the phrase before leaves sounding', () => {
    const codes = (first: string) =>
      parseSolo(`${phraseOf(first)}phrase 2\nat 2 1\nw p5@1 |\n`).diagnostics.map((d) => d.code);
    expect(codes('w 8@1 |')).toEqual([]);
    expect(codes('h 8@1= - |')).toEqual([]);
    expect(codes('h 8@1= - damp |')).toEqual(['pull-silent']);
    expect(codes('h 8@2 8@1 | w - |')).toEqual([]);
    expect(codes('h 8@1 |')).toEqual(['bar-short']); // nobody knows how long a broken phrase sounds
  });

  it('settings before the first bar, and where no bar is written; those past the last bar are printed with it', () => {
    const text = (lines: string) => `${HEAD}changes\n${lines}\nphrase 1\nat 1 1\nh. 5@2 |\n`;
    expect(parseSolo(text('meter 3/4\nstrum "D D D"\n1 C | F')).diagnostics).toEqual([]);
    expect(parseSolo(text('meter 3/4\nstrum "D D D"')).diagnostics).toEqual([]);
    const { value, diagnostics } = parseSolo(text('meter 3/4\n1 C | F\nstrum "D - -"\ntempo 80'));
    expect(diagnostics.map((d) => d.code)).toEqual(['past-the-bars', 'past-the-bars']);
    const printed = printSolo(value!);
    expect(printed).toContain('tempo 80 from 3\n  strum "D - -" from 3\n');
    expect(parseSolo(printed)).toEqual({ value, diagnostics: [] });
  });

  it('notes of two bars are never taken for one event where the first bar runs over', () => {
    const { diagnostics } = parseSolo(phraseOf('w 5@2 q 5@2 | 5@2 5@2 h 5@2 |'));
    expect(diagnostics.map((d) => d.code)).toEqual(['bar-long']);
  });
});

describe('how a fault is shown', () => {
  it('place, message, the line and the spot under it, as the notation promises', () => {
    const text = `${HEAD}phrase 1\nat 5 1\n  q 8@2 e 7@2 5@2 q - |\n`;
    const [fault] = parseSolo(text, 'gasworks-lane.solo').diagnostics;
    expect(diagnosticText(fault!, text.split('\n')[fault!.place.line - 1])).toBe(
      [
        'gasworks-lane.solo:9:3 bar 5 holds 3 beats, 4 expected (one quarter short)',
        '    9 |   q 8@2 e 7@2 5@2 q - |',
        '      |   ^^^^^^^^^^^^^^^^^^^^^',
        '        lengthen a note, or write what is missing; a rest is -',
      ].join('\n'),
    );
  });

  it('the throwing wrapper lists all of them', () => {
    expect(() => parseSoloOrThrow(phraseOf('q 5@2 z |'), 'a.solo')).toThrow(
      'a.solo:9:1 bar 1 holds 2 beats, 4 expected (two quarters short)\n        lengthen a note, or write what is missing; a rest is -\na.solo:9:7 "z" is not a note',
    );
  });

  it('a text longer than any solo is refused unread', () => {
    const { value, diagnostics } = parseSolo('x'.repeat(LONGEST_TEXT + 1), 'a.solo');
    expect(value).toBeUndefined();
    expect(diagnostics).toMatchObject([{ code: 'too-long', place: { line: 1, column: 1 } }]);
  });
});
