import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  LANDING_WAYS,
  type Landing,
  landingsOf,
  landingUse,
  phraseEndingsOf,
  phraseEndingUse,
} from '../../lib/analysis/landing.js';
import { shareOf } from '../../lib/analysis/shares.js';
import { chordSpans } from '../../lib/solo/harmony.js';
import type { Solo } from '../../lib/solo/solo.js';
import { lineOf, tonesOf } from '../../lib/solo/timeline.js';
import { toneName, toneTable } from '../../lib/solo/tone-table.js';
import { degreeAbove, degreeName } from '../../lib/theory/interval.js';
import { solos } from '../arbitraries.js';
import {
  asNamed,
  countOf,
  demo,
  demoTable,
  keepsTheLaws,
  made,
  madeTable,
  PLAYERS,
  plainRows,
  shareIn,
} from './made.js';

/** The landings of one made solo in a few words; of the first chord only if asked for. */
const wordsOf = (changes: string, phrases: string, first = false) => {
  const table = madeTable(changes, phrases);
  return landingsOf(table)
    .filter((l) => first || l.from !== 'pickup')
    .map((l) =>
      [
        l.bar,
        l.count,
        l.chord,
        l.how,
        l.row === undefined ? '-' : toneName(table, l.row),
        l.degree ?? '-',
        l.role ?? '-',
      ].join(' '),
    );
};

describe('a landing', () => {
  it('is the top tone that starts with the new chord, against that chord', () => {
    expect(wordsOf('1 C | F', 'phrase 1\nat 1 1\n  w 8@1 |\n  h 10@2+7@3 - |\n')).toEqual(['2 1 F starts A4 3 third']);
  });

  it('is a tone that starts, even if a higher one rings through', () => {
    expect(wordsOf('1 C | F', 'phrase 1\nat 1 3\n  h 8@1= |\n  h 7@3 - |\n')).toEqual(['2 1 F starts D4 6 tension']);
  });

  it('is else the top tone that sounds through: tied over, or ringing', () => {
    expect(wordsOf('1 C | F', 'phrase 1\nat 1 4&\n  e 5@1_ |\n  q. _ e 8@1 h - |\n')).toEqual([
      '2 1 F held A4 3 third',
    ]);
    expect(wordsOf('1 C | F', 'phrase 1\nat 1 3\n  q 5@2= 5@3= |\n  e - 8@1 q - h 8@1 |\n')).toEqual([
      '2 1 F held E4 7 tension',
    ]);
  });

  it('is else the first event within an eighth after, at its top', () => {
    expect(wordsOf('1 C | F', 'phrase 1\nat 1 1\n  h 8@1 - |\n  s - 10@2+7@3 e 5@1 h. - |\n')).toEqual([
      '2 1 F after A4 3 third',
    ]);
    expect(wordsOf('1 C | F', 'phrase 1\nat 1 1\n  h 8@1 - |\n  e - 10@2 h. - |\n')).toEqual([
      '2 1 F after A4 3 third',
    ]);
  });

  it('is none where the next tone comes more than an eighth after, in a rest of a phrase or between phrases', () => {
    const late = madeTable('1 C | F | G', 'phrase 1\nat 1 1\n  h 8@1 - |\n  e:3 - - 10@2 h. - |\n');
    expect(landingsOf(late).map((l) => [l.chord, l.how, l.phrase, l.row])).toEqual([
      ['C', 'starts', '1', 0],
      ['F', 'none', '1', undefined],
      ['G', 'none', undefined, undefined],
    ]);
  });

  it('is not a tone that starts when the next chord has come', () => {
    expect(wordsOf('1 C | F G7:1&', 'phrase 1\nat 1 1\n  h 8@1 - |\n  e - 8@2 h. - |\n')).toEqual([
      '2 1 F none - - -',
      '2 1& G7 starts G4 1 root',
    ]);
  });

  it('is never a grace, and never a dead note', () => {
    expect(wordsOf('1 C | F', 'phrase 1\nat 1 1\n  w 8@1 |\n  h g8@1 10@2 - |\n')).toEqual(['2 1 F starts A4 3 third']);
    expect(wordsOf('1 C | F', 'phrase 1\nat 1 1\n  w 8@1 |\n  e x@1 10@2 h. - |\n')).toEqual([
      '2 1 F after A4 3 third',
    ]);
  });

  it('can be a bend let down as the chord comes, and a curl counts with its semitone', () => {
    expect(wordsOf('1 C | F', 'phrase 1\nat 1 1\n  h 8@2(0>2)= 8@1= |\n  h @2(>0) - |\n')).toEqual([
      '2 1 F starts G4 2 tension',
    ]);
    const table = madeTable('1 C7 | F7', 'phrase 1\nat 1 1\n  w 8@1 |\n  h 9@2(0>0.5) - |\n');
    expect(landingsOf(table)[1]).toMatchObject({ semitones: 3, degree: 'b3+' });
    expect(countOf(landingUse(table).degrees, ['Ada Fenwick'], 'b3')).toBe(1);
  });

  it('is asked at every change of root or quality to a chord; the first chord is listed and marked, but counted only on request', () => {
    const phrases = 'phrase 1\nat 1 1\n  w 8@1 |\n';
    const froms = (changes: string) =>
      landingsOf(madeTable(changes, phrases)).map((l) => `${l.from} > ${l.chord}${l.first ? ' (first)' : ''}`);
    expect(froms('1 C | C6/9 | C/E | C7 | N.C. | C7 | F')).toEqual([
      'pickup > C (first)',
      'C/E > C7',
      'N.C. > C7',
      'C7 > F',
    ]);
    // Behind an opening without a chord nothing changes either.
    expect(froms('1 N.C. | C | F')).toEqual(['N.C. > C (first)', 'C > F']);
    const counted = (firstChord?: boolean) =>
      landingUse(madeTable('1 C | F', phrases), firstChord === undefined ? {} : { firstChord }).groups;
    expect(counted()).toEqual([{ group: ['Ada Fenwick'], changes: 1, starts: 0, held: 0, after: 0, none: 1 }]);
    expect(counted(false)).toEqual(counted());
    expect(counted(true)).toEqual([{ group: ['Ada Fenwick'], changes: 2, starts: 1, held: 0, after: 0, none: 1 }]);
  });

  it('of a double-stop keeps all its tones, from low to high; the top one is counted', () => {
    const on = (phrases: string) => {
      const table = madeTable('1 C | F', phrases);
      const [, landing] = landingsOf(table) as [Landing, Landing];
      expect(landing.rows[landing.rows.length - 1]).toBe(landing.row);
      expect(landing.rows.map((row) => toneName(table, row))).toHaveLength(landing.degrees.length);
      return `${landing.how} ${landing.degrees.join(' and ')}, counted ${landing.degree}`;
    };
    expect(on('phrase 1\nat 1 1\n  w 8@1 |\n  h 10@2+8@1 - |\n')).toBe('starts 3 and 5, counted 5');
    expect(on('phrase 1\nat 1 4&\n  e 10@2_+8@1_ |\n  q. _ e 8@1 h - |\n')).toBe('held 3 and 5, counted 5');
    expect(on('phrase 1\nat 1 1\n  h 8@1 - |\n  e - 10@2+8@1 h. - |\n')).toBe('after 3 and 5, counted 5');
    expect(on('phrase 1\nat 1 1\n  w 8@1 |\n  h g8@1 10@2+8@1 - |\n')).toBe('starts 3 and 5, counted 5');
    expect(landingsOf(madeTable('1 C | F', 'phrase 1\nat 1 1\n  h 8@1 - |\n'))[1]).toMatchObject({
      how: 'none',
      rows: [],
      degrees: [],
    });
  });

  it('leaves out what is filtered away: a function, a player', () => {
    const table = madeTable('1 C | F | G7', 'phrase 1\nat 1 1\n  w 8@1 |\n  w 8@1 |\n  w 8@2 |\n');
    expect(
      landingUse(table, { by: ['function'], where: { function: ['IV', 'V'] } }).degrees.rows.map((r) => [
        r.group[0],
        r.value,
      ]),
    ).toEqual([
      ['IV', '5'],
      ['V', '1'],
    ]);
    expect(landingUse(table, { where: { player: 'Bo' } }).landings).toEqual([]);
  });

  it('has nothing to count without chords', () => {
    const bare: Solo = {
      ...made('1 C', 'phrase 1\nat 1 1\n  w 8@1 |\n').solo,
      changes: { firstBar: 1 as never, bars: [], settings: [], sections: [], strums: [] },
    };
    const table = toneTable([{ id: 'bare', solo: bare }]);
    expect(landingUse(table)).toMatchObject({ groups: [], landings: [], without: [] });
    expect(phraseEndingUse(table)).toMatchObject({ endings: [], withoutChord: [{ phrase: '1', chord: 'pickup' }] });
  });
});

describe('the last tone of a phrase', () => {
  it('is the top of the last event, against the chord at its onset, with its length', () => {
    const table = madeTable('1 C | F', 'phrase 1\nat 1 1\n  h 8@1 e - 8@3 10@2+7@3 5@1_ |\n  h _ - |\n');
    expect(phraseEndingsOf(table)).toMatchObject([
      { phrase: '1', bar: 1, count: '4&', chord: 'C', degree: '6', role: 'tension', ticks: 2.5 * 20160 },
    ]);
  });

  it('is the release where a bend ends the phrase, and has no degree under N.C.', () => {
    expect(phraseEndingsOf(madeTable('1 C', 'phrase 1\nat 1 1\n  h 8@2(0>2>0) - |\n'))).toMatchObject([
      { count: '2', degree: '5', ticks: 20160 },
    ]);
    const none = phraseEndingUse(madeTable('1 N.C.', 'phrase 1\nat 1 1\n  h 8@2 - |\n'));
    expect([none.endings.length, none.withoutChord.map((e) => e.degree)]).toEqual([0, [undefined]]);
  });

  it('counts each phrase that sounds once', () => {
    const use = phraseEndingUse(demoTable);
    const sounding = new Set(demo.flatMap(({ id, solo }) => tonesOf(solo).map((t) => `${id} ${t.phrase}`))).size;
    expect(use.endings.length + use.withoutChord.length).toBe(sounding);
    keepsTheLaws(use.degrees, use.endings.length);
    keepsTheLaws(use.roles, use.endings.length);
  });
});

/** Landings by the definition, with no eye to speed: `[tick, how, index of the tone]`. */
function naive(solo: Solo): readonly string[] {
  const tones = tonesOf(solo);
  const line = lineOf(tones);
  const spans = chordSpans(solo);
  const turns = spans.filter((s) => s.isChange);
  return turns.flatMap((span, k) => {
    if (!span.chord) return [];
    const until = turns[k + 1]?.start ?? Number.POSITIVE_INFINITY;
    const say = (how: Landing['how'], pitch: number | undefined) => [
      [
        span.start,
        how,
        pitch === undefined ? '-' : degreeName(degreeAbove(pitch as never, span.chord?.root as never)),
      ].join(' '),
    ];
    const starts = line.find((i) => tones[i]?.onset === span.start);
    if (starts !== undefined) return say('starts', tones[starts]?.pitch);
    const held = tones
      .filter((t) => !t.ornament && t.onset < span.start && t.onset + t.length > span.start)
      .map((t) => t.pitch);
    if (held.length > 0) return say('held', Math.max(...held));
    const after = line.find(
      (i) =>
        (tones[i]?.onset ?? 0) > span.start &&
        (tones[i]?.onset ?? 0) <= span.start + 10080 &&
        (tones[i]?.onset ?? 0) < until,
    );
    return after === undefined ? say('none', undefined) : say('after', tones[after]?.pitch);
  });
}

const brief = (landings: readonly Landing[]) => landings.map((l) => [l.at, l.how, l.degree ?? '-'].join(' '));

describe('landings keep the laws', () => {
  it('equal the definition followed without haste, on the demo and on any solo', () => {
    for (const named of demo) expect(brief(landingsOf(toneTable([named])))).toEqual(naive(named.solo));
    fc.assert(
      fc.property(fc.array(solos, { maxLength: 3 }), (list) => {
        expect(brief(landingsOf(toneTable(asNamed(list))))).toEqual(list.flatMap(naive));
      }),
      { numRuns: 100 },
    );
  });

  it.each([[['player']], [['player', 'function']], [['solo']], [[]]] as const)('count each change once by %s', (by) => {
    const use = landingUse(demoTable, { by });
    const comes = (solo: Solo) => chordSpans(solo).filter((s) => s.isChange && s.chord).length;
    const changes = demo.reduce((sum, { solo }) => sum + comes(solo) - 1, 0);
    expect(use.landings.length + use.without.length).toBe(changes);
    const all = landingUse(demoTable, { by, firstChord: true, intervals: false });
    expect(all.landings.length + all.without.length).toBe(changes + demo.length);
    expect(use.groups.reduce((sum, g) => sum + g.changes, 0)).toBe(changes);
    for (const g of use.groups) expect(LANDING_WAYS.reduce((sum, how) => sum + g[how], 0)).toBe(g.changes);
    keepsTheLaws(use.degrees, use.landings.length);
    keepsTheLaws(use.roles, use.landings.length);
  });

  it('do not depend on the order of the solos', () => {
    const back = landingUse(toneTable([...demo].reverse()), { by: ['player', 'function'] });
    const forth = landingUse(demoTable, { by: ['player', 'function'] });
    expect(plainRows(back.degrees)).toEqual(plainRows(forth.degrees));
    expect(plainRows(back.roles)).toEqual(plainRows(forth.roles));
  });

  it('are counted only below five solos, and with intervals between solos from five on', () => {
    const marla = demo.filter(({ solo }) => solo.player === PLAYERS[0]);
    for (const row of landingUse(toneTable(marla.slice(0, 4))).roles.rows) expect(row.share.low).toBeUndefined();
    const use = landingUse(toneTable(marla));
    const third = use.roles.rows.find((row) => row.value === 'third');
    const perSolo = marla.map(({ id }) => use.landings.filter((l) => l.solo === id));
    expect(third?.share).toEqual(
      shareOf(
        perSolo.map((of) => of.filter((l) => l.role === 'third').length),
        perSolo.map((of) => of.length),
      ),
    );
    expect(third?.share.low).toBeDefined();
  });
});

// What data/players.md says was planted, and that it is not found in the other players.
describe('planted landings', () => {
  const use = landingUse(demoTable);
  const of = (player: string) => use.groups.find((g) => g.group[0] === player);
  const [marla, tobias, juno] = PLAYERS;

  it('Marla: 165 changes, 139 with a landing, 109 on the third', () => {
    expect(of(marla)).toMatchObject({ changes: 165, none: 165 - 139 });
    expect(countOf(use.roles, [marla], 'third')).toBe(109);
    const bySolo = new Map<string, string>();
    for (const id of new Set(use.landings.filter((l) => l.player === marla).map((l) => l.solo))) {
      const own = use.landings.filter((l) => l.solo === id);
      bySolo.set(id, `${own.filter((l) => l.role === 'third').length}/${own.length}`);
    }
    expect(Object.fromEntries(bySolo)).toEqual({
      'slipway-sunday': '12/12',
      'low-water-gate': '13/15',
      'the-last-boat-over': '13/22',
      'ticket-office-heater': '9/12',
      'wet-rope': '15/19',
      'waiting-room-waltz': '23/29',
      'gull-on-the-rail': '11/12',
      'three-frets-from-home': '13/18',
    });
  });

  it('Tobias: 115 landings and one change without; 85 on the root, 10 b7, 10 fifth, 8 blue b3 over a dominant, 1 third, 1 b5', () => {
    // He counts the latest tone still sounding, here it is the top one: in these solos they are the same.
    expect(of(tobias)).toMatchObject({ changes: 116, none: 1 });
    expect(countOf(use.degrees, [tobias], '1')).toBe(85);
    expect(countOf(use.degrees, [tobias], 'b7')).toBe(10);
    expect(countOf(use.degrees, [tobias], '5')).toBe(10);
    expect(countOf(use.degrees, [tobias], 'b5')).toBe(1);
    expect(countOf(use.roles, [tobias], 'third')).toBe(1);
    expect(
      use.landings.filter((l) => l.player === tobias && l.degree === 'b3+' && l.quality === 'dominant'),
    ).toHaveLength(8);
  });

  it('Juno: 153 changes, 147 with a landing; third 55, seventh 70, of which 3 of a dim7; 5 10, 2 5, 1 5, b5 2', () => {
    expect(of(juno)).toMatchObject({ changes: 153, none: 6 });
    expect(countOf(use.roles, [juno], 'third')).toBe(55);
    expect(countOf(use.roles, [juno], 'seventh')).toBe(70);
    expect(use.landings.filter((l) => l.player === juno && l.role === 'seventh' && l.semitones === 9)).toHaveLength(3);
    expect(['5', '2', '1', 'b5'].map((d) => countOf(use.degrees, [juno], d))).toEqual([10, 5, 5, 2]);
    const rows: readonly (readonly [string, number, number, number, number])[] = [
      ['wick-and-chimney', 15, 15, 7, 6],
      ['slack-water-at-nine', 15, 14, 5, 8],
      ['knots-by-feel', 15, 15, 6, 6],
      ['crossing-in-three', 23, 22, 6, 9],
      ['ladder-in-the-fog', 7, 7, 1, 3],
      ['brass-polish', 18, 17, 7, 8],
      ['tarpaulin-rain', 16, 15, 6, 8],
      ['tide-table', 34, 33, 12, 20],
      ['five-bollards', 10, 9, 5, 2],
    ];
    for (const [id, changes, landings, thirds, sevenths] of rows) {
      const own = use.landings.filter((l) => l.solo === id);
      const none = use.without.filter((l) => l.solo === id);
      expect([
        id,
        own.length + none.length,
        own.length,
        ...['third', 'seventh'].map((r) => own.filter((l) => l.role === r).length),
      ]).toEqual([id, changes, landings, thirds, sevenths]);
    }
  });

  it('belong to their player: Marla lands on the third in half or more, Tobias under 20 %, Juno under half', () => {
    expect(shareIn(use.roles, [marla], 'third')).toBeGreaterThanOrEqual(0.5);
    expect(shareIn(use.roles, [tobias], 'third')).toBeLessThan(0.2);
    expect(shareIn(use.roles, [juno], 'third')).toBeLessThan(0.5);
  });

  it('belong to their player: root or b7 with Tobias, seventh with Juno', () => {
    const rootOrFlatSeven = (player: string) =>
      shareIn(use.degrees, [player], '1') + shareIn(use.degrees, [player], 'b7');
    expect(rootOrFlatSeven(tobias)).toBeGreaterThan(0.8);
    expect(rootOrFlatSeven(marla)).toBeLessThan(0.2);
    expect(rootOrFlatSeven(juno)).toBeLessThan(0.5);
    expect(shareIn(use.roles, [juno], 'seventh')).toBeGreaterThan(0.4);
    for (const player of [marla, tobias]) expect(shareIn(use.roles, [player], 'seventh')).toBeLessThan(0.1);
  });
});
