// What is planted in the demo solos, as data/players.md lists it, is found: the right kind between the right phrases.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { relationsOf } from '../../lib/analysis/phrase-relation.js';
import { RELATION_KINDS, type Relation, type RelationKind } from '../../lib/analysis/phrase-relation-kinds.js';
import { demo, demoTable } from './made.js';

const PLAYERS = ['Marla Quillfeather', 'Tobias Underlamp', 'Juno Brackwater'] as const;
const all = relationsOf(demoTable);
const found = new Map<string, Relation[]>();
for (const relation of all) {
  const key = keyOf(relation.kind, relation.a.solo, relation.a.phrase, relation.b.phrase);
  found.set(key, [...(found.get(key) ?? []), relation]);
}

function keyOf(kind: string, solo: string, a: string, b: string): string {
  const [first, second] = Number(a) <= Number(b) ? [a, b] : [b, a];
  return `${kind} ${solo} ${first} ${second}`;
}

interface Plant {
  readonly kind: RelationKind;
  readonly solo: string;
  readonly a: string;
  readonly b: string;
  readonly line: string;
}

/** The rows of the table of planted relations. Solos stand there by id or by title. */
function planted(text: string): readonly Plant[] {
  const idOf = (name: string) => {
    const plain = name.replaceAll('`', '').trim();
    return demo.find(({ id, solo }) => id === plain || solo.title === plain)?.id ?? `unknown solo ${plain}`;
  };
  return relationPart(text)
    .split('\n')
    .flatMap((line) => {
      const cells = line.split('|').map((cell) => cell.trim());
      const kind = RELATION_KINDS.find((k) => k === cells[1]);
      if (!kind) return [];
      const number = (cell: string | undefined) => /^\d+/.exec(cell ?? '')?.[0];
      const a = number(cells[3]) as string;
      return [{ kind, solo: idOf(cells[2] as string), a, b: number(cells[4]) ?? a, line }];
    });
}

const relationPart = (text: string) => text.slice(text.indexOf('planted phrase relations\n'));

/** What follows from the plants by the same tests: `- kind, solo A and B: ...` or `- kind: solo A-B, solo A-B`. */
function alsoTrue(text: string): readonly Plant[] {
  const kindOf = (word: string) => RELATION_KINDS.find((k) => k === word.replace('(pitch)', '')) as RelationKind;
  return [
    ...relationPart(text).matchAll(/^- ([a-z-]+(?:\(pitch\))?)(?:, `([a-z-]+)` (\d+)(?: and (\d+))?:|: (`.*))/gm),
  ].flatMap(([line, kind, solo, a, b, list]) =>
    solo !== undefined
      ? [{ kind: kindOf(kind as string), solo, a: a as string, b: b ?? (a as string), line }]
      : [...(list as string).matchAll(/`([a-z-]+)` (\d+)(?:-(\d+))?/g)].map(([, id, first, second]) => ({
          kind: kindOf(kind as string),
          solo: id as string,
          a: first as string,
          b: second ?? (first as string),
          line,
        })),
  );
}

const isFound = ({ kind, solo, a, b }: Plant) => found.has(keyOf(kind, solo, a, b));

describe('planted relations', () => {
  const sections = readFileSync(new URL('../../data/players.md', import.meta.url), 'utf8').split(/^## /m);
  const pages = PLAYERS.map((name) => sections.find((section) => section.startsWith(`${name}\n`)) as string);

  it.each(PLAYERS.map((name, k) => [name, planted(pages[k] as string)] as const))('%s: none is missed', (_, plants) => {
    expect(plants.length).toBeGreaterThan(30);
    expect(new Set(plants.map(({ kind }) => kind)).size).toBe(RELATION_KINDS.length);
    expect(plants.filter((plant) => !isFound(plant)).map(({ line }) => line)).toEqual([]);
  });

  it('what follows from them is found but for these, each for a reason', () => {
    const missed = pages.flatMap((page) => alsoTrue(page).filter((plant) => !isFound(plant)));
    expect(pages.flatMap(alsoTrue).length).toBeGreaterThan(50);
    expect(missed.map(({ kind, solo, a, b }) => `${kind} ${solo} ${a}-${b}`).sort()).toEqual([
      // Four even notes: of two different lengths there must be some, or any two lines in eighths would answer each other.
      'answers low-water-gate 4-5',
      'answers low-water-gate 8-9',
      'answers slipway-sunday 4-5',
      'answers three-frets-from-home 3-4',
      'answers wet-rope 5-6',
      // The same movement of the hand in the same rhythm: more is alike than the rhythm only.
      'rhythm-only five-bollards 1-6',
      'rhythm-only five-bollards 2-6',
      'rhythm-only five-bollards 4-6',
      'rhythm-only ladder-in-the-fog 2-3',
      // All times doubled and moved: said as one relation, stretched.
      'transposed five-bollards 3-8',
      // Eight pitches in order, but no run of three steps in one rhythm.
      'varied ticket-office-heater 4-8',
      // An opening of five tones; what follows shares two pitches at other places.
      'varied wet-rope 1-2',
    ]);
  });

  it.each<[RelationKind, string, string, string, Partial<Relation['evidence']>, string]>([
    ['same', 'crossing-in-three', '1', '6', { count: 20 }, '1:1& 17:1&'],
    ['same-opening', 'wick-and-chimney', '1', '3', { count: 6 }, ''],
    ['same-opening', 'lamp-oil-and-rope', '1', '2', { count: 5 }, '0:3& 2:3&'],
    ['same-opening', 'ticket-window', '5', '10', { count: 7 }, '8:3& 20:3&'],
    ['same-ending', 'the-last-boat-over', '3', '9', { count: 6 }, '7:1 23:1'],
    ['same-ending', 'ticket-window', '6', '10', { count: 5 }, '11:1 23:1'],
    ['takes-up-the-tail', 'wet-rope', '5', '6', { count: 4 }, '12:3& 13:3'],
    ['takes-up-the-tail', 'knots-by-feel', '6', '7', { count: 4 }, '15:2& 16:1&'],
    ['contains', 'gull-on-the-rail', '4', '6', { count: 5 }, ''],
    ['transposed', 'ticket-window', '7', '8', { count: 8, transposition: 5 }, '12:3& 14:3&'],
    ['displaced', 'rope-walk-shuffle', '1', '2', { count: 10, displacement: 1 }, '0:3& 3:4&'],
    ['displaced', 'low-water-gate', '1', '9', { count: 9, displacement: 0.5 }, '1:2 17:2&'],
    ['stretched', 'bollard-row', '1', '7', { count: 9, stretch: 2 }, '0:3& 12:2'],
    ['stretched', 'gull-on-the-rail', '1', '7', { count: 8, stretch: 0.5 }, ''],
    ['same-degrees-over-another-chord', 'winch-house', '1', '5', { count: 5 }, '1:1 9:1'],
    ['sequence', 'wick-and-chimney', '4', '4', { count: 9, transposition: -2 }, '9:3 11:3'],
    ['sequence', 'ticket-office-heater', '9', '9', { count: 5, transposition: -7 }, '13:3 14:1'],
    ['ornamented', 'tide-table', '1', '7', { count: 23 }, ''],
    ['varied', 'knots-by-feel', '4', '5', { count: 12 }, ''],
    ['varied', 'tide-table', '2', '4', { count: 21 }, ''],
    ['varied', 'waiting-room-waltz', '1', '4', { count: 8 }, ''],
  ])('%s, %s %s and %s: as many tones, at the places that the list says', (kind, solo, a, b, evidence, places) => {
    const relations = found.get(keyOf(kind, solo, a, b)) as readonly Relation[];
    expect(relations.map((r) => r.evidence)).toContainEqual(expect.objectContaining(evidence));
    if (places === '') return;
    const said = relations.map(
      ({ evidence: { fromA, fromB } }) => `${fromA.bar}:${fromA.count} ${fromB.bar}:${fromB.count}`,
    );
    expect(said).toContain(places);
  });

  it('parts where the lists say', () => {
    const parts = (kind: RelationKind, solo: string, a: string, b: string) =>
      found
        .get(keyOf(kind, solo, a, b))
        ?.map(({ evidence: { partsAt } }) =>
          [partsAt?.a, partsAt?.b].map((place) => place && `${place.bar}:${place.count}`).join(' '),
        );
    expect(parts('same-opening', 'lamp-oil-and-rope', '1', '2')).toEqual(['1:3 3:3']);
    expect(parts('same-opening', 'back-room-eight-chairs', '2', '7')).toEqual(['4:1 12:1']);
    expect(parts('same-opening', 'tide-table', '1', '3')).toEqual(['2:1& 10:1&']);
    expect(parts('same-opening', 'three-frets-from-home', '1', '2')).toEqual(['2:2 4:2']);
    expect(parts('transposed', 'slow-water-at-the-slip', '1', '3')).toEqual(['1:4t 5:4t']);
  });

  it('every sentence is whole, and says what the evidence says', () => {
    for (const relation of all) {
      expect(relation.said).toMatch(/^(is|has|opens|ends|contains|stands|varies|answers|repeats) /);
      expect(relation.said).not.toMatch(/undefined|NaN|null|\s{2}|Infinity/);
      expect(relation.said).toContain(`${relation.evidence.count} note`);
      expect(relation.evidence.tonesA).toHaveLength(relation.evidence.count);
      expect(relation.evidence.tonesB).toHaveLength(relation.evidence.count);
      expect(relation.strength).toBeGreaterThan(0);
      expect(relation.strength).toBeLessThanOrEqual(1);
    }
  });
});
