import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type ChordReading, chordReadings, membersIn, ownChords } from '../../lib/analysis/chord-reading.js';
import { type ImpliedChord, impliedChords, impliedChordUse } from '../../lib/analysis/implied-chord.js';
import { SHORTEST_TOGETHER, togetherIn } from '../../lib/analysis/together.js';
import { mod, pitchClass } from '../../lib/foundation/units.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { chordSpans, spanAt } from '../../lib/solo/harmony.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { type NamedSolo, toneTable } from '../../lib/solo/tone-table.js';
import { isChord, parseChord } from '../../lib/theory/chord.js';
import { chord, key } from '../outside/reading.js';

const demo = readCorpus(['data/solos']).solos;
const table = toneTable(demo);
const all = impliedChords(table);

const solo = (phrases: string, changes: string, inKey = 'C major'): NamedSolo => ({
  id: 'made',
  solo: parseSoloOrThrow(
    `---\ntitle: Made\nplayer: Ada Fenwick\nkey: ${inKey}\ntempo: 100\n---\n${changes && `changes\n  ${changes}\n`}${phrases}`,
  ),
});
const implied = (words: string, changes: string, inKey?: string, options = {}): readonly ImpliedChord[] =>
  impliedChords(toneTable([solo(`phrase 1\nat 1 1\n  ${words}\n`, changes, inKey)]), options);
const said = (words: string, changes: string, inKey?: string): readonly string[] =>
  implied(words, changes, inKey).map((i) => i.said);

describe('what strings say together', () => {
  // Common practice, no source: D and F over the chords Bb, Eb and F say Bb; C and F say F.
  it('D and F over Bb, Eb and F are the third and fifth of Bb; C and F the fifth and root of F', () => {
    expect(said('w 7@3+6@2 | 7@3+6@2 | 7@3+6@2 |', '1 Bb | Eb | F', 'Bb major')).toEqual([
      'D and F over Bb: its third and fifth',
      'D and F say Bb (its third and fifth), over Eb',
      'D and F say Bb (its third and fifth), over F',
    ]);
    expect(said('w 5@3+6@2 | 5@3+6@2 | 5@3+6@2 |', '1 Bb | Eb | F', 'Bb major')).toEqual([
      'C and F say F (its fifth and root), over Bb',
      'C and F say F (its fifth and root), over Eb',
      'C and F over F: its fifth and root',
    ]);
  });

  it.each([
    // Common practice, no source: third and seventh are enough to say a dominant.
    ['w 9@3+11@2 |', '1 C7', 'agrees', 'E and Bb over C7: its third and seventh'],
    ['w 5@3+5@2 |', '1 C7', 'agrees', 'C and E over C7: its root and third'],
    ['w 5@3+5@2+3@1 |', '1 Am7', 'agrees', 'C, E and G over Am7: its third, fifth and seventh'],
    ['w 7@3+5@2 |', '1 C6/9', 'agrees', 'D and E over C6/9: its 9 and third'],
    ['w 5@3+5@2+3@1 |', '1 Dm', 'against', 'C, E and G say C (its root, third and fifth), over Dm'],
    ['w 3@5+3@4+5@3 |', '1 Bb', 'against', 'C and F say F (its fifth and root), over Bb'],
    ['w 5@3+7@2+12@1 |', '1 G', 'against', 'C, F# and E say F#m7b5 (its fifth, root and seventh), over G'],
    ['w 7@4+7@3+5@2 |', '1 E7', 'against', 'A, D and E say Asus4 (its root, suspended fourth and fifth), over E7'],
    ['w 5@3+5@2+4@1 |', '1 Dm', 'open', 'C, E and Ab over Dm: open, Caug, Eaug or Abaug'],
    ['w 8@2+9@1 |', '1 F', 'open', 'G and Db over F: a tritone, open'],
    ['w 2@3+5@2+6@1 |', '1 F', 'none', 'A, E and Bb over F: no chord holds them all'],
  ])('%s over %s: %s', (words, changes, verdict, sentence) => {
    const found = implied(words, changes);
    expect(found.map((i) => [i.verdict, i.said])).toEqual([[verdict, sentence]]);
  });

  it('a tritone without changes is open, unless the song has a chord for it', () => {
    const [bare] = implied('w 4@3+6@2 |', '');
    expect([bare?.verdict, bare?.implied, bare?.chord, bare?.said]).toEqual([
      'open',
      undefined,
      'pickup',
      'B and F before the first chord: a tritone, open',
    ]);
    expect(bare?.rivals.map((r) => r.chord.symbol)).toEqual(['Bdim', 'Fdim']);
    expect(bare?.support.roots).toEqual(['B', 'F']);
    expect(bare?.support.ambiguity.toFixed(1)).toBe('2.2');
    expect(implied('w 4@3+6@2 |', '1 N.C. | Am')[0]?.verdict).toBe('open');
    const [known] = implied('w 4@3+6@2 |', '1 N.C. | G7');
    expect([known?.verdict, known?.said]).toEqual(['open', 'B and F say G7 (its third and seventh), under N.C.']);
  });

  it("the song's own chords come first, but not one of which only fifth and seventh sound", () => {
    expect(said('w 5@3+10@1 |', '1 F | Dm7')[0]).toBe('C and D say Dm7 (its seventh and root), over F');
    // E and G are the fifth and seventh of Am7; they say Em.
    expect(said('w 9@3+8@2 |', '1 D | Am7')[0]).toBe('E and G say Em (its root and third), over D');
    expect(said('w 9@3+8@2 |', '1 D | C')[0]).toBe('E and G say C (its third and fifth), over D');
  });

  it('the bass after a slash is no member, and makes no other chord', () => {
    const plain = said('w 10@3+8@2 |', '1 C')[0] as string;
    expect(plain).toContain('over C');
    expect(said('w 10@3+8@2 |', '1 C/F')).toEqual([plain.replace('over C', 'over C/F')]);
    expect(ownChords(solo('', '1 C C/E | Cmaj7 | N.C. | C/G').solo).map((c) => c.symbol)).toEqual(['C', 'Cmaj7']);
  });
});

describe('what sounds together', () => {
  it('a sixteenth is long enough, less is not', () => {
    expect(implied('s 5@3+5@2 - e - q - h - |', '1 C')).toHaveLength(1);
    expect(implied('t 5@3+5@2 - s - e - q - h - |', '1 C')).toHaveLength(0);
    expect(implied('s 5@3+5@2 - e - q - h - |', '1 C')[0]?.ticks).toBe(SHORTEST_TOGETHER);
  });

  it('an octave, a unison and one string alone say nothing; neither do graces', () => {
    expect(implied('w 5@4+8@2 | 9@3+5@2 | 5@2 |', '1 C')).toEqual([]);
    expect(implied('w g7@3 8@2 |', '1 C')).toEqual([]);
  });

  it('strings that ring count, and each new tone is a new place', () => {
    const found = implied('ring q 5@3 5@2 3@1 3@1 damp |', '1 C');
    expect(found.map((i) => [i.count, i.names.join(' ')])).toEqual([
      ['2', 'C E'],
      ['3', 'C E G'],
      ['4', 'C E G'],
    ]);
  });

  it('a pair held over a change is judged under both chords', () => {
    const found = implied('w 5@3_+5@2_ | h _ - |', '1 C | Dm');
    expect(found.map((i) => [i.bar, i.chord, i.verdict, i.ticks / 20160])).toEqual([
      [1, 'C', 'agrees', 4],
      [2, 'Dm', 'against', 2],
    ]);
  });

  it('with anticipation on, a pair struck an eighth before a change is heard against the new chord only', () => {
    const words = 'q - - - e - 5@3_+5@2_ | h _ - |';
    expect(implied(words, '1 Dm | C').map((i) => i.verdict)).toEqual(['against', 'agrees']);
    const pushed = implied(words, '1 Dm | C', undefined, { anticipation: true });
    expect(pushed.map((i) => [i.bar, i.count, i.chord, i.verdict, i.ticks / 20160])).toEqual([
      [1, '4&', 'C', 'agrees', 2.5],
    ]);
  });

  it('a bend held under another string sounds at its height and is flagged; one that is bent together with it is not held', () => {
    const held = implied('q 7@3(0>2)= 8@2 8@1 @3(>0) |', '1 C');
    expect(held.map((i) => [i.said, i.heldBends.length])).toEqual([
      ['E and G over C: its third and fifth; E is a bend held up', 1],
      ['E and C over C: its third and root; E is a bend held up', 1],
    ]);
    const struck = implied('w 7@3(0>2)+8@2 |', '1 C');
    expect(struck.map((i) => [i.said, i.heldBends])).toEqual([['E and G over C: its third and fifth', []]]);
  });

  it('a curl is taken for either neighbour: a curled b3 agrees with a dominant, and with a minor chord', () => {
    expect(said('w 5@3+4@2(0>0.5) |', '1 C7')).toEqual(['C and Eb+ over C7: its root and third (a quarter-tone low)']);
    expect(said('w 5@3+4@2(0>0.5) |', '1 Cm7', 'C minor')).toEqual([
      'C and Eb+ over Cm7: its root and third (a quarter-tone high)',
    ]);
    expect(said('w 5@3+4@2(0>0.5) |', '1 C7#9')).toEqual([
      'C and D#+ over C7#9: its root and #9 (a quarter-tone high)',
    ]);
  });

  it('a droning open string is left out only if no chord holds all', () => {
    const [found] = implied('q 0@6= 6@2+6@1 h - |', '1 Bb');
    expect(found).toMatchObject({
      verdict: 'agrees',
      said: 'F and Bb over Bb: its fifth and root; left out: E, droning open',
    });
    expect(found?.drones).toHaveLength(1);
    expect(found?.rows).toHaveLength(3);
    // C E G over an open E: C, nothing is left out.
    const [whole] = implied('q 0@6= 8@2+8@1 h - |', '1 Bb');
    expect(whole).toMatchObject({ drones: [], verdict: 'against' });
    // The same tones fretted, or the open string struck with the others, are no drone.
    expect(implied('q 7@5= 6@2+6@1 h - |', '1 Bb')[0]).toMatchObject({ verdict: 'none', drones: [] });
    expect(implied('q 0@6+6@2+6@1 - h - |', '1 Bb')[0]).toMatchObject({ verdict: 'none', drones: [] });
  });

  it('are passing between two that agree, or on the way by step to one that does, for a quarter at most', () => {
    const verdicts = (words: string, changes = '1 C') => implied(words, changes).map((i) => i.verdict);
    // C and E, then D and F, then E and G over C.
    expect(verdicts('q 5@3+5@2 7@3+6@2 9@3+8@2 - |')).toEqual(['agrees', 'passing', 'agrees']);
    expect(implied('q 5@3+5@2 7@3+6@2 9@3+8@2 - |', '1 C')[1]?.said).toBe(
      'D and F say Dm (its root and third), over C; in passing',
    );
    expect(verdicts('q 5@3+5@2 - 7@3+6@2 9@3+8@2 |')).toEqual(['agrees', 'passing', 'agrees']); // by step alone
    expect(verdicts('q 5@3+5@2 7@3+6@2 12@3+13@2 - |')).toEqual(['agrees', 'passing', 'agrees']); // between two alone
    expect(verdicts('q - 7@3+6@2 12@3+13@2 - |')).toEqual(['against', 'agrees']); // neither
    expect(verdicts('q 5@3+5@2 7@3+6@2 - - |')).toEqual(['agrees', 'against']); // leads nowhere
    expect(verdicts('q 5@3+5@2 7@3+6@2 - 9@3+8@2 |')).toEqual(['agrees', 'against', 'agrees']); // a pause
    expect(verdicts('e 5@3+5@2 q. 7@3+6@2 q 9@3+8@2 - |')).toEqual(['agrees', 'against', 'agrees']); // too long
    expect(verdicts('q 5@3+5@2 e 7@3+6@2 10@3+10@2 q 9@3+8@2 - |')).toEqual(['agrees', 'passing', 'passing', 'agrees']);
    expect(verdicts('q - - - 7@3_+6@2_ | h _ - |', '1 C | Dm')).toEqual(['against', 'agrees']); // they stay, the chord moves
    // G under Bb, then under C: a string that rings lets it pass, a bend that is held makes a point of it.
    expect(verdicts('e 12@3= 6@1 q. 8@1 - |')).toEqual(['passing', 'agrees']);
    expect(verdicts('e 10@3(0>2)= 6@1 q. 8@1 - |')).toEqual(['against', 'agrees']);
  });

  it('broken chords on request: three successive tones of one triad within two beats and under one chord', () => {
    const broken = (words: string, changes = '1 F') =>
      implied(words, changes, undefined, { broken: true }).map((i) => [i.kind, i.names.join(' '), i.verdict]);
    expect(broken('e 5@3 5@2 3@1 8@1 q - - |')).toEqual([['broken', 'C E G C', 'against']]);
    expect(broken('e 5@3 5@2 3@1 7@1 q - - |')).toEqual([
      ['broken', 'C E G', 'against'],
      ['broken', 'E G B', 'against'],
    ]);
    expect(broken('q 5@3 5@2 3@1 - |')).toHaveLength(1);
    expect(broken('q 5@3 - 5@2 3@1 |')).toEqual([]);
    expect(broken('e 5@3 6@2 3@1 8@1 q - - |')).toEqual([]);
    expect(broken('e - - - - - 5@3 5@2 3@1 | e 3@1 - - - h - |', '1 F | C')).toEqual([['broken', 'C E G', 'against']]);
    expect(broken('q - - - e 5@3 5@2 | e 3@1 - - - h - |', '1 F | C')).toEqual([]);
    expect(implied('e 5@3 5@2 3@1 8@1 q - - |', '1 F')).toEqual([]);
  });
});

describe('laws', () => {
  const symbols = ['', 'm', '7', 'maj7', 'm7', 'm7b5', 'dim7', '6', 'm6', '7#9', 'sus4', '9', '5'];
  const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];
  const chords = fc.tuple(fc.nat(11), fc.constantFrom(...symbols));
  const sounding = fc.uniqueArray(fc.nat(11), { minLength: 2, maxLength: 4 });
  const plain = (notes: readonly number[], by = 0) => notes.map((n) => ({ pitch: pitchClass(n + by), plus: false }));
  const sounds = (readings: readonly ChordReading[], by: number): readonly string[] =>
    readings.map((r) => `${mod(r.chord.root - by, 12)} ${r.own} ${r.members.map((m) => m.interval)}`).sort();

  it('chords, verdict and rivals move with tones, changes and key', () => {
    fc.assert(
      fc.property(sounding, fc.array(chords, { maxLength: 3 }), fc.nat(11), fc.nat(11), (notes, own, tonic, by) => {
        const at = (k: number) => {
          const moved = own.map(([root, type]) => chord((roots[(root + k) % 12] as string) + type));
          const scene = { own: moved, key: key(`${roots[(tonic + k) % 12]} major`), chord: moved[0] };
          const { readings, rivals } = chordReadings(plain(notes, k), scene);
          return {
            readings: sounds(readings, k),
            rivals: sounds(rivals, k),
            first: rivals.length > 0 ? [] : sounds(readings.slice(0, 1), k),
          };
        };
        expect(at(by)).toEqual(at(0));
      }),
      { numRuns: 300, seed: 9 },
    );
  });

  it('every chord that is named holds all the tones, and every triad and seventh that does is named', () => {
    const types = ['', 'm', 'dim', 'aug', '7', 'm7', 'maj7', 'm7b5', 'dim7'];
    fc.assert(
      fc.property(sounding, fc.array(chords, { maxLength: 3 }), (notes, own) => {
        const scene = { own: own.map(([root, type]) => chord((roots[root] as string) + type)), key: key('C major') };
        const { readings } = chordReadings(plain(notes), scene);
        const soundOf = (symbol: string): readonly number[] => {
          const read = parseChord(symbol);
          return isChord(read) ? read.members.map((m) => mod(read.root + m.semitones, 12)) : [];
        };
        for (const reading of readings) {
          const members = soundOf(reading.chord.symbol);
          expect(notes.every((n) => members.includes(n))).toBe(true);
          expect(membersIn(reading.chord, plain(notes))).toEqual(reading.members);
        }
        const holding = roots.flatMap((root, pc) =>
          types
            .filter((type) => notes.every((n) => soundOf(root + type).includes(n)))
            .map((type) => `${pc} ${soundOf(root + type)}`),
        );
        const named = readings.map((r) => `${r.chord.root} ${soundOf(r.chord.symbol)}`);
        expect(holding.filter((h) => !named.includes(h))).toEqual([]);
      }),
      { numRuns: 300, seed: 10 },
    );
  });

  it('a bigger part of the same chord is still a part of it', () => {
    for (const type of symbols) {
      const { members, root } = chord(`C${type}`);
      const pitches = members.map((m) => root + m.semitones);
      for (let k = 1; k <= pitches.length; k++)
        expect(membersIn(chord(`C${type}`), plain(pitches.slice(0, k)))).toHaveLength(k);
    }
  });
});

/** Where the same tones sound together, found by asking at every 420th tick which tones sound. */
function bruteForce({ solo: one }: NamedSolo): readonly string[] {
  const STEP = 420;
  const spans = chordSpans(one);
  const tones = tonesOf(one);
  const found: string[] = [];
  one.phrases.forEach((phrase, p) => {
    const own = tones.map((tone, i) => ({ tone, i })).filter(({ tone }) => tone.phrase === p && !tone.ornament);
    for (const { tone } of own) expect([tone.onset % STEP, tone.length % STEP]).toEqual([0, 0]);
    let last = '';
    let since = phrase.at as number;
    const end = Math.max(phrase.at, ...own.map(({ tone }) => tone.onset + tone.length));
    for (let t = phrase.at as number; t <= end; t += STEP) {
      const now = own.filter(({ tone }) => tone.onset <= t && t < tone.onset + tone.length);
      const classes = new Set(now.map(({ tone }) => mod(Math.floor(tone.pitch / 100), 12)));
      const here = classes.size < 2 ? '' : `${now.map(({ i }) => i)} under ${spanAt(spans, t)}`;
      if (here === last) continue;
      if (last !== '' && t - since >= 5040) found.push(`${since}-${t}: ${last}`);
      last = here;
      since = t;
    }
  });
  return found;
}

describe('on the demo solos', () => {
  it('every place where strings sound together is found, and no other: by brute force', () => {
    let offset = 0;
    const places = togetherIn(table);
    demo.forEach((named, s) => {
      const spans = chordSpans(named.solo);
      const found = places
        .filter((t) => t.solo === s)
        .map(
          (t) =>
            `${t.start}-${t.end}: ${[...t.rows].sort((a, b) => a - b).map((row) => row - offset)} under ${spanAt(spans, t.start)}`,
        );
      expect(found, named.id).toEqual(bruteForce(named));
      offset += tonesOf(named.solo).length;
    });
    expect(places).toHaveLength(all.length);
    expect(places.length).toBeGreaterThan(200);
  });

  it('every pair of tones that overlap for a sixteenth under one chord, not an octave apart, is in a place', () => {
    const places = togetherIn(table);
    let offset = 0;
    let pairs = 0;
    demo.forEach(({ solo: one, id }, s) => {
      const tones = tonesOf(one);
      const spans = chordSpans(one);
      const here = places.filter((t) => t.solo === s);
      tones.forEach((a, i) => {
        tones.slice(i + 1).forEach((b, k) => {
          const [ra, rb] = [offset + i, offset + i + 1 + k];
          if (a.ornament || b.ornament || a.phrase !== b.phrase || (a.pitch - b.pitch) % 1200 === 0) return;
          const end = Math.min(a.onset + a.length, b.onset + b.length);
          for (const span of spans) {
            const from = Math.max(a.onset, b.onset, span.start);
            if (Math.min(end, span.end) - from < 5040) continue;
            pairs++;
            expect(
              here.some((t) => t.rows.includes(ra) && t.rows.includes(rb) && t.start < end),
              `${id} ${from}`,
            ).toBe(true);
          }
        });
      });
      offset += tones.length;
    });
    expect(pairs).toBeGreaterThan(200);
  });

  it('verdicts add up to the places, whatever they are grouped by; the order of solos does not matter', () => {
    for (const by of [['player'], ['solo'], ['function'], ['player', 'quality']] as const) {
      const { verdicts, implied: places } = impliedChordUse(table, { by });
      expect(verdicts.n).toBe(all.length);
      expect(verdicts.rows.reduce((sum, row) => sum + row.count, 0)).toBe(places.length);
      for (const row of verdicts.rows) for (const i of row.items) expect(places[i]?.verdict).toBe(row.value);
    }
    const back = impliedChords(toneTable([...demo].reverse()));
    const place = (i: ImpliedChord) => [i.solo, i.bar, i.count, i.said, i.ticks].join(' ');
    expect(back.map(place).sort()).toEqual(all.map(place).sort());
  });

  it('a verdict of agreement is one whose tones are members of the chord of the moment; a check value stands beside each', () => {
    for (const i of all) {
      const rows = i.rows.filter((row) => !i.drones.includes(row));
      const roles = rows.map((row) => mod(Math.floor((table.columns.pitch[row] as number) / 100), 12));
      const read = parseChord(i.chord);
      const members = isChord(read) ? read.members.map((m) => mod(read.root + m.semitones, 12)) : [];
      const curled = rows.some((row) => (table.columns.pitch[row] as number) % 100 !== 0);
      if (!curled)
        expect(
          roles.every((pc) => members.includes(pc)),
          i.said,
        ).toBe(i.verdict === 'agrees');
      expect(i.support.roots.length).toBeGreaterThan(0);
      expect(i.support.ambiguity).toBeGreaterThan(1);
      expect(i.said).not.toMatch(/undefined|NaN/);
    }
  });

  // What data/players.md plants.
  const of = (player: string) => all.filter((i) => i.player.startsWith(player));
  const heldOf = (
    player: string,
  ): readonly (readonly [solo: string, phrase: string, function_: string, said: string])[] => {
    const bends = new Map<number, readonly [string, string, string, string]>();
    for (const i of of(player))
      for (const row of i.heldBends) if (!bends.has(row)) bends.set(row, [i.solo, i.phrase, i.function, i.said]);
    return [...bends.values()];
  };

  it('Tobias: 6 bends held under other strings in 4 solos, all over the V, and all are members of it', () => {
    const held = heldOf('Tobias');
    expect(held.map(([id, phrase]) => `${id} ${phrase}`).sort()).toEqual([
      'bollard-row 10',
      'bollard-row 5',
      'lamp-oil-and-rope 10',
      'lamp-oil-and-rope 5',
      'slow-water-at-the-slip 5',
      'ticket-window 10',
    ]);
    expect(new Set(held.map(([, , function_]) => function_))).toEqual(new Set(['V']));
    // "The 4 bent up to 5 and held under the ringing 2 and the plain 5": the root and the fifth of the V.
    for (const i of of('Tobias').filter((place) => place.heldBends.length > 0))
      expect([i.verdict, i.said]).toEqual([
        'agrees',
        expect.stringMatching(/: its root and fifth; \S+ is a bend held up$/),
      ]);
  });

  it('Marla: 8 bends held under other strings in 7 solos, at the places listed; one of them over the V', () => {
    const held = heldOf('Marla');
    expect(held.map(([id, phrase, , words]) => `${id} ${phrase}: ${words.split(';')[0]}`).sort()).toEqual([
      'gull-on-the-rail 5: C and Eb over Ab: its third and fifth',
      'low-water-gate 7: B and D over G: its third and fifth',
      'slipway-sunday 6: E and G over C: its third and fifth',
      'the-last-boat-over 4: C# and F# over F#m: its fifth and root',
      'three-frets-from-home 8: C and Eb over Ab: its third and fifth',
      'ticket-office-heater 8: A and C over F: its third and fifth',
      'wet-rope 10: D# and F# over B7: its third and fifth',
      'wet-rope 3: C# and E over A: its third and fifth',
    ]);
    expect(held.filter(([, , function_]) => function_ === 'V')).toHaveLength(1);
  });

  it('Juno: one held bend, in the slow vamp', () => {
    expect(heldOf('Juno').map(([id, phrase]) => `${id} ${phrase}`)).toEqual(['ladder-in-the-fog 6']);
  });

  /** Double-stops struck together a sixth apart on strings 1+3 or 2+4. */
  const sixths = (player: string): readonly ImpliedChord[] =>
    of(player).filter(({ rows }) => {
      const { string, pitch, onset } = table.columns;
      const [low, high] = rows as readonly [number, number];
      const apart = ((pitch[high] as number) - (pitch[low] as number)) / 100;
      return (
        rows.length === 2 &&
        onset[low] === onset[high] &&
        (string[low] as number) - (string[high] as number) === 2 &&
        (string[high] as number) <= 2 &&
        (apart === 8 || apart === 9)
      );
    });

  it("Marla's 83 moving sixths, in the eight phrases named; at the 25 changes under them the new pair agrees but once", () => {
    const found = sixths('Marla');
    const perPhrase = new Map<string, number>();
    for (const i of found) perPhrase.set(`${i.solo} ${i.phrase}`, (perPhrase.get(`${i.solo} ${i.phrase}`) ?? 0) + 1);
    expect(Object.fromEntries(perPhrase)).toEqual({
      'slipway-sunday 3': 11,
      'low-water-gate 3': 12,
      'the-last-boat-over 9': 6,
      'ticket-office-heater 5': 10,
      'wet-rope 4': 14,
      'waiting-room-waltz 9': 8,
      'gull-on-the-rail 3': 13,
      'three-frets-from-home 5': 9,
    });
    expect(found).toHaveLength(83);
    const atChanges = found.filter(
      (i, k) => k > 0 && found[k - 1]?.solo === i.solo && found[k - 1]?.function !== i.function,
    );
    expect(atChanges).toHaveLength(25);
    expect(atChanges.filter((i) => i.verdict !== 'agrees').map((i) => i.said)).toEqual([
      'Eb and C say Cm (its third and root), over Eb; in passing',
    ]);
  });

  it('and not where they are not: the others have no row of sixths', () => {
    expect(sixths('Tobias').length).toBeLessThan(3);
    expect(sixths('Juno').length).toBeLessThan(3);
  });

  it('filters by chord of the moment and by player', () => {
    const overV = impliedChords(table, { where: { function: 'V', player: 'tobias' } });
    expect(overV.length).toBeGreaterThan(0);
    expect(overV.every((i) => i.function === 'V' && i.player === 'Tobias Underlamp')).toBe(true);
    expect(impliedChords(table, { where: { player: 'Nobody' } })).toEqual([]);
  });
});
