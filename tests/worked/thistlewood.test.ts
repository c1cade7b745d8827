// Three solos by somebody who had not seen the project at work: swing in four, a capo in three, an open tuning in twelve. What each tone is, where the
// lines land and come in, what is bent and what two strings say was written down by hand and sealed before anything was counted.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { attacks } from '../../lib/analysis/attacks.js';
import { entriesOf } from '../../lib/analysis/entry.js';
import { families } from '../../lib/analysis/family.js';
import { heldBends } from '../../lib/analysis/held-bends.js';
import { impliedChords } from '../../lib/analysis/implied-chord.js';
import { landingsOf, landingUse } from '../../lib/analysis/landing.js';
import { relate, relationsOf } from '../../lib/analysis/phrase-relation.js';
import { toneColumns } from '../../lib/exchange/table-export.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { countOf } from '../analysis/made.js';

const IDS = ['ferry-on-a-rope', 'nine-apples', 'goose-has-opinions'] as const;
const read = IDS.map((id) => ({ id, ...parseSolo(readFileSync(`tests/worked/${id}.solo`, 'utf8')) }));
const table = toneTable(read.flatMap(({ id, value }) => (value ? [{ id, solo: value }] : [])));

it('are read without a fault', () => {
  expect(read.flatMap(({ diagnostics }) => diagnostics)).toEqual([]);
});

describe('every tone, bar by bar, has the degree that the hand wrote', () => {
  const c = toneColumns(table);
  const rows = Array.from({ length: table.rows }, (_, i) => i).filter((i) => !c.ornament?.[i]);
  const lines = readFileSync('tests/worked/hand-degrees.txt', 'utf8')
    .trim()
    .split('\n')
    .filter((line) => !line.startsWith('#'));

  it.each(lines)('%s', (line) => {
    const [solo, phrase, bar, chord, ...degrees] = line.split(' ');
    const own = rows.filter((i) => c.solo?.[i] === solo && c.phrase?.[i] === phrase && String(c.bar?.[i]) === bar);
    expect([...new Set(own.map((i) => `${c.function?.[i]}:${c.chord?.[i]}`))]).toEqual([chord]);
    // The hand lists a double-stop from low to high.
    expect(own.map((i) => String(c.degree?.[i]).replace('+', '')).sort()).toEqual(degrees.sort());
  });

  it('265 in all', () => {
    expect(rows).toHaveLength(265);
  });
});

describe('landings', () => {
  const of = (id: string) =>
    landingsOf(table)
      .filter((l) => l.solo === id && !l.first)
      .map((l) => `${l.bar} ${l.chord}: ${l.degrees.join(' and ')} ${l.how}`);

  it('are at the places of the hand, double-stops with both tones', () => {
    expect(of('ferry-on-a-rope')).toEqual([
      '3 Gm7: b3 held',
      '4 Dm7: b3 starts',
      '5 Gm7: 5 after',
      '7 Dm7: 5 after',
      '9 Bbmaj7: 3 held',
      '10 A7: b7 starts',
      '11 Dm7: 1 starts',
      '12 A7: 1 starts',
      '13 Dm7: b3 starts',
    ]);
    expect(of('nine-apples')).toEqual([
      '2 F#m7: 5 starts',
      '3 D: 3 starts',
      '4 E7: 3 starts',
      '5 A: 3 starts',
      '6 F#m7: b3 starts',
      '7 Bm7: 1 held',
      '8 E7: 1 starts',
      '9 D: 3 and 5 starts',
      '11 A: 3 and 5 starts',
      '12 F#m7: b3 after',
      '13 Bm7: 1 starts',
      '14 E7: 3 starts',
      '15 A: 1 starts',
    ]);
    expect(of('goose-has-opinions')).toEqual([
      '2 C7: b7 starts',
      '3 G7: 3 held',
      '5 C7: 2 starts',
      '7 G7: 1 starts',
      '8 E7: 3 starts',
      '9 Am7: b3 starts',
      '10 D7: 3 starts',
      '11 G7: 5 starts',
      '12 D7: 5 starts',
    ]);
  });

  it('31 changes, not 34: the three first chords change nothing; the third is the favourite, not the fifth', () => {
    const use = landingUse(table);
    expect(use.groups[0]).toMatchObject({ changes: 31, starts: 24, held: 4, after: 3, none: 0 });
    const counts = (u: typeof use) => ['3', '5', '1', 'b3'].map((d) => countOf(u.degrees, ['Corin Thistlewood'], d));
    expect(counts(use)).toEqual([8, 7, 7, 6]);
    expect(countOf(use.roles, ['Corin Thistlewood'], 'third')).toBe(14);
    expect(counts(landingUse(table, { firstChord: true }))).toEqual([8, 9, 7, 6]);
  });
});

it('twenty entries by count, eleven of them on the beat', () => {
  const { entries } = entriesOf(table);
  const of = (id: string) => entries.filter((e) => e.solo === id).map((e) => e.count);
  expect(IDS.map(of)).toEqual([
    ['1&', '4&', '1&', '1&', '4&', '3', '2&'],
    ['1', '1', '3&', '3', '1&', '2'],
    ['1', '4l', '1', '1', '1', '1', '1'],
  ]);
  expect(entries.filter((e) => e.kind === 'on a beat')).toHaveLength(11);
});

it('fifteen bends: nine by a whole step, three by half a step, three curls; two of them pre-bends', () => {
  const { reached } = attacks(table);
  const count = (way: string) => countOf(reached, ['Corin Thistlewood'], way);
  expect(count('curled') + count('bent') + count('prebent')).toBe(15);
  expect([count('curled'), count('prebent')]).toEqual([3, 2]);
});

describe('double-stops', () => {
  const places = impliedChords(table).filter((i) => i.heldBends.length === 0);

  it('fifteen, at the places of the hand', () => {
    expect(places.map((i) => `${i.solo} ${i.bar} ${i.count}`)).toEqual([
      'ferry-on-a-rope 4 2',
      'ferry-on-a-rope 10 2',
      'ferry-on-a-rope 10 3',
      ...['9 1', '9 3', '9 3&', '10 1', '10 2&', '10 3', '11 1', '16 3'].map((at) => `nine-apples ${at}`),
      ...['4 3', '4 4', '10 4', '11 4'].map((at) => `goose-has-opinions ${at}`),
    ]);
  });

  it('eleven agree; of the four that do not three only pass, and the sentence says the same as the table', () => {
    const others = places.filter((i) => i.verdict !== 'agrees');
    expect(others.map((i) => `${i.bar} ${i.count} ${i.verdict}: ${i.said}`)).toEqual([
      '10 2 passing: C and E say C (its root and third), over A7; in passing',
      '9 3& passing: E and G# say E (its root and third), over D; in passing',
      '10 2& passing: E and G# say E (its root and third), over D; in passing',
      '4 4 against: Bb and D say Bb (its root and third), over G7',
    ]);
  });
});

it('three held bends, each let down as the new chord comes', () => {
  expect(heldBends(table).map((b) => `${b.solo} ${b.change?.bar} (${b.change?.to}): ${b.said}`)).toEqual([
    'ferry-on-a-rope 10 (A7): A4, the 7 of Bbmaj7, is let down to G4 as A7 comes in bar 10: its b7 (held, it would be the 1)',
    'nine-apples 13 (Bm7): C#5, the 5 of F#m7, is let down to B4 as Bm7 comes in bar 13: its 1 (held, it would be the 2)',
    'goose-has-opinions 8 (E7): A4, the 2 of G7, is let down to G#4 as E7 comes in bar 8: its 3 (held, it would be the 4)',
  ]);
  expect(heldBends(table).every((b) => b.end === 'let down at a change')).toBe(true);
});

describe('openings with neighbours put in that take their own time', () => {
  const kinds = (solo: string, a: string, b: string, other = solo) =>
    relate(table, { solo, phrase: a }, { solo: other, phrase: b })
      .filter(({ kind }) => kind === 'ornamented')
      .map(({ said }) => said.split(' (')[0]);

  it('are told of, also moved and in another solo', () => {
    expect(kinds('goose-has-opinions', '1', '7')).toEqual([
      'opens as phrase 1 with notes put in: 6 notes kept, 2 between them that delay the rest',
    ]);
    expect(kinds('goose-has-opinions', '4', '7')).toHaveLength(1);
    expect(kinds('ferry-on-a-rope', '1', '7')).toEqual([
      'opens as phrase 1 with notes put in: 6 notes kept, 2 between them that delay the rest',
    ]);
    expect(kinds('ferry-on-a-rope', '3', '7')[0]).toMatch(
      /^opens as phrase 3 moved down .* with notes put in: 6 notes/,
    );
    expect(kinds('nine-apples', '1', '6')).toEqual([
      'opens as phrase 1 with notes put in: 6 notes kept, 3 between them that delay the rest',
    ]);
    expect(kinds('ferry-on-a-rope', '1', '6', 'nine-apples')).toHaveLength(1);
  });

  it('and not where another line begins', () => {
    for (const [a, b] of ['13', '15', '36', '37', '57'].map((pair) => [...pair] as [string, string]))
      expect(kinds('goose-has-opinions', a, b)).toEqual([]);
  });
});

describe('families', () => {
  it('an ending of a few tones makes no descendant; what opens, varies or adorns an earlier phrase does', () => {
    expect(families(table).map(({ form }) => form)).toEqual(["A B A' A'' C D A3", "A A' B C D A''", "A B C A C' D A'"]);
  });

  it('a sequence is played alike: no held bend and no double-stop answers a struck single string', () => {
    const sequences = relationsOf(table, { kinds: ['sequence'] });
    expect(sequences.map(({ a }) => `${a.solo} ${a.phrase}`)).toEqual(['goose-has-opinions 5']);
  });
});

it('a variation that keeps whole bars says which: the first a step up, the second the same, another end', () => {
  const [varied] = relationsOf(table, { kinds: ['varied'] }).filter(({ a }) => a.solo === 'nine-apples');
  expect(varied?.said).toBe(
    'varies phrase 1 bar by bar: bar 4 up a step of the scale, bar 5 the same, F#4 becomes A4 (bar 6, beat 1) and E4 becomes F#4 (bar 6, beat 3)',
  );
});
