// Searching phrases: against a search that tries everything, on any phrases; and what each look finds in phrases written for it.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linesOf } from '../../lib/analysis/line.js';
import {
  all,
  any,
  contour,
  degrees,
  durations,
  endsOn,
  entersOn,
  gesture,
  holding,
  lasts,
  not,
  onString,
  patternOf,
  type Query,
  rhythm,
  steps,
} from '../../lib/analysis/phrase-query.js';
import { findPhrases, type PhraseSearch } from '../../lib/analysis/phrase-search.js';
import { parseQuery } from '../../lib/analysis/query-text.js';
import { type ToneTable, toneTable } from '../../lib/solo/tone-table.js';
import { solos as anySolos } from '../arbitraries.js';
import { asNamed, demoTable, madeTable } from './made.js';
import { relatedCorpora } from './made-phrases.js';
import { FOUND, queries, type Spot, searchedNaively } from './made-queries.js';

const spotsOf = (table: ToneTable, { matches }: PhraseSearch): readonly Spot[] => {
  const { onset, solo, phrase } = table.columns;
  const events = new Map<string, readonly number[]>();
  for (const line of linesOf(table, Number.MAX_SAFE_INTEGER as never))
    events.set(
      `${line.solo} ${line.phrase}`,
      line.events.map((e) => e.onset),
    );
  return matches.map(({ rows }): Spot => {
    const [first, last] = [rows[0] as number, rows[rows.length - 1] as number];
    const onsets = events.get(`${solo[first]} ${phrase[first]}`) as readonly number[];
    const at = (row: number) => onsets.indexOf(onset[row] as number);
    expect(rows.map(at)).toEqual(rows.map((_, k) => at(first) + k)); // one tone of every moment, in order
    return [solo[first] as number, phrase[first] as number, at(first), at(last)];
  });
};

describe('a search', () => {
  it('finds what trying every run of every phrase finds', () => {
    let found = 0;
    let queriesFound = 0;
    fc.assert(
      fc.property(relatedCorpora, fc.array(queries, { minLength: 1, maxLength: 8 }), (solos, asked) => {
        const table = toneTable(solos);
        for (const query of asked) {
          const spots = spotsOf(table, findPhrases(table, query));
          expect(spots).toEqual(searchedNaively(table, query));
          found += spots.length;
          queriesFound += spots.length > 0 ? 1 : 0;
        }
      }),
      { numRuns: 120, seed: 11 },
    );
    expect(found).toBeGreaterThan(1000); // the law was not kept for want of places
    expect(queriesFound).toBeGreaterThan(150);
  });

  it('takes any solo that can be written', () => {
    fc.assert(
      fc.property(fc.array(anySolos, { minLength: 1, maxLength: 2 }), queries, (solos, query) => {
        const table = toneTable(asNamed(solos));
        const { matches, phrases, searched } = findPhrases(table, query);
        expect(phrases).toBeLessThanOrEqual(searched);
        expect(new Set(matches.map((m) => `${m.solo} ${m.phrase}`)).size).toBe(phrases);
        for (const { rows } of matches) expect(rows.length).toBeGreaterThan(0);
      }),
      { numRuns: 60, seed: 3 },
    );
  });

  it('a query and its opposite share the phrases among them', () => {
    fc.assert(
      fc.property(queries, (query) => {
        const [has, hasNot] = [findPhrases(demoTable, query), findPhrases(demoTable, not(query))];
        expect(has.phrases + hasNot.phrases).toBe(has.searched);
      }),
      { numRuns: 40, seed: 5 },
    );
  });

  it.each(FOUND.map((query) => [query] as const))('finds places in the demo solos: %j', (query) => {
    expect(findPhrases(demoTable, query).matches.length).toBeGreaterThan(0);
  });

  it('keeps to a player, a solo, a key, a chord', () => {
    const query = degrees(['5', '?']);
    const everywhere = findPhrases(demoTable, query);
    const players = demoTable.players.map((player) => findPhrases(demoTable, query, { where: { player } }));
    expect(players.flatMap((p) => p.matches)).toHaveLength(everywhere.matches.length);
    expect(players.reduce((sum, p) => sum + p.searched, 0)).toBe(everywhere.searched);
    const overIV = findPhrases(demoTable, query, { where: { chord: 'IV' } });
    expect(overIV.matches).toEqual(findPhrases(demoTable, degrees(['5', '?'], { over: 'IV' })).matches);
  });
});

/** One phrase over C7, then F7: bar 1 from count 1. */
const at = (line: string, query: Query): readonly string[] => {
  const table = madeTable('1 C7 | F7', `phrase 1\nat 1 1\n  ${line}\n`);
  return findPhrases(table, query).matches.map((m) => `${m.bar} ${m.count} (${m.rows.length})`);
};

describe('what is found', () => {
  const LINE = 'e 5@3 7@3 5@2 8@2 7@3(2) 5@3 q 8@2 | q 5@1 8@2 h 5@2 |'; // C D E G | pre-bend to E, C, G | A G E over F7

  it.each<[string, Query, readonly string[]]>([
    ['degrees over the chord of the moment', degrees(['1', '2', '3']), ['1 1 (3)']],
    ['degrees over one chord', degrees(['3'], { over: 'IV' }), ['2 1 (1)']],
    ['degrees of the key', degrees(['5', '6', '5'], { of: 'key' }), ['1 4 (3)']],
    ['any one tone between', degrees(['1', '?', '3']), ['1 1 (3)', '1 3& (3)']],
    ['a gap, the shortest run from each tone', degrees(['1', '..', '5']), ['1 1 (4)', '1 3& (2)']],
    ['a gap that may be empty', degrees(['1', '..', '2']), ['1 1 (2)', '1 3& (4)']],
    ['steps cover a tone more', steps([2, 2, 3]), ['1 1 (4)']],
    ['contour, ending on a member', contour(['up'], { endingOn: 'the third' }), ['1 1& (2)', '1 4 (2)']],
    ['starting on a degree', contour(['down'], { startingOn: '3' }), ['1 3 (2)', '2 1 (2)']],
    ['durations', durations(['e', 'q']), ['1 3& (2)']],
    ['the duration of the last tone is how long it sounds', durations(['q', 'h']), ['2 2 (2)']],
    ['rhythm in any values', rhythm(['e', 'h']), []],
    ['rhythm twice as long', rhythm(['s', 'e']), ['1 3& (2)', '2 2 (2)']],
    ['gestures', gesture(['prebent']), ['1 3 (1)']],
    ['gestures on a string', gesture(['prebent'], { onString: 2 }), []],
    ['strings', onString(3, 3, 2), ['1 1 (3)', '1 3 (3)']],
    ['notes of any octave, and of one', patternOf('notes', ['A', 'G4']), ['2 1 (2)']],
    ['frets', patternOf('frets', ['5@1', '8@2']), ['2 1 (2)']],
    ['shape, elsewhere on the neck', patternOf('shape', ['2@4', '4@4', '2@3']), ['1 1 (3)']],
    ['a condition alone: the whole phrase', entersOn('1'), ['1 1 (10)']],
    ['the end', endsOn('7'), ['1 1 (10)']],
    ['the end, of the key', endsOn('3 of the key'), ['1 1 (10)']],
    ['no such end', endsOn('the third'), []],
    ['length in bars', lasts('bars', { least: 2, most: 2 }), ['1 1 (10)']],
    ['a condition narrows, and adds no place', all(degrees(['1', '2', '3']), entersOn('1')), ['1 1 (3)']],
    ['a condition that fails', all(degrees(['1', '2', '3']), entersOn('2')), []],
    ['both, wherever they are', all(gesture(['prebent']), onString(1)), ['1 3 (1)', '2 1 (1)']],
    ['one or the other', any(gesture(['released']), onString(1)), ['2 1 (1)']],
    ['not at all', all(onString(1), not(gesture(['released']))), ['2 1 (1)']],
    ['within one place', holding(onString(3, 3), gesture(['prebent'])), ['1 3 (2)']],
    ['not within one place', holding(onString(3, 3), not(gesture(['prebent']))), ['1 1 (2)']],
  ])('%s', (_name, query, places) => {
    expect(at(LINE, query)).toEqual(places);
  });

  it('a gesture under another string is found, a degree under it is not: degrees are of the line', () => {
    const line = 'q 7@3(2)+8@2 5@2 h 5@3 |';
    expect(at(line, gesture(['prebent'], { onString: 3 }))).toEqual(['1 1 (1)']);
    expect(at(line, degrees(['3']))).toEqual(['1 2 (1)']);
  });

  it('a curled b3 is a b3; b3+ is only the curled one', () => {
    const line = 'q 8@3 8@3(0>0.5) h 5@3 |';
    expect(at(line, degrees(['b3']))).toEqual(['1 1 (1)', '1 2 (1)']);
    expect(at(line, degrees(['b3+']))).toEqual(['1 2 (1)']);
  });
});

describe('a query that cannot be meant', () => {
  it.each<[() => unknown, string]>([
    [() => degrees(['5', 'x']), '"x" is not a degree, such as b3'],
    [() => degrees([]), 'degrees needs at least one element'],
    [() => degrees(['..', '1']), 'begins and ends with a tone'],
    [() => degrees(['1', '..', '..', '1']), 'one gap (..) is enough'],
    [() => rhythm(['e', '..', 'e']), 'cannot have a gap'],
    [() => rhythm(['e', '?']), 'two elements or more'],
    [() => steps([0.3]), '"0.3" is not a step in semitones'],
    [() => degrees(['1'], { over: 'Cmjr7' }), 'over "Cmjr7": give a chord symbol'],
    [() => degrees(['1'], { onString: 0 }), 'onString 0'],
    [() => degrees(['1'], { endingOn: 'third' }), '"third" is nothing to end on'],
    [() => patternOf('tunes' as never, ['1']), '"tunes" is no look'],
    [() => entersOn('0&'), '"0&" is no count'],
    [() => lasts('bars', { least: 3, most: 2 }), 'least not above most'],
    [() => lasts('hours' as never, { least: 3 }), '"hours" is no unit'],
    [() => holding(degrees(['1'])), 'holding() needs'],
    [() => all(), 'all() needs'],
  ])('%s is refused: %s', (make, words) => {
    expect(make).toThrow(RangeError);
    expect(make).toThrow(words);
  });

  it('is read from text as it is made in code', () => {
    expect(parseQuery('degrees 5 6 1 over IV').value).toEqual(degrees(['5', '6', '1'], { over: 'IV' }));
  });
});
