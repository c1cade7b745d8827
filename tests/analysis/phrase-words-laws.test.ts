// Laws of the sentences of phrases: what they name is recomputed from the solo by other ways, on the demo and on other keys.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { entriesOf } from '../../lib/analysis/entry.js';
import { type PhraseSentence, phraseSentences } from '../../lib/analysis/phrase-sentence.js';
import { ticks } from '../../lib/foundation/units.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { countAt } from '../../lib/solo/changes.js';
import { chordSpans, spanAt } from '../../lib/solo/harmony.js';
import { gridOf, type Phrase, type Solo } from '../../lib/solo/solo.js';
import { type Tone, tonesOf } from '../../lib/solo/timeline.js';
import { type NamedSolo, toneTable } from '../../lib/solo/tone-table.js';
import { type Chord, memberAt, parseChord } from '../../lib/theory/chord.js';
import { FAMILIAR_SCALES } from '../../lib/theory/familiar-scale.js';
import { parseDegree } from '../../lib/theory/interval.js';
import { type PitchName, pitchClassOf, pitchName, plainName } from '../../lib/theory/pitch.js';
import { keyOf } from '../../lib/theory/scale.js';
import { solos as anySolos } from '../arbitraries.js';

const corpus = readCorpus(['data/solos']);
const table = toneTable(corpus.solos);
const all = phraseSentences(table);

/** A phrase with its sentence and what is asked of it, from the solo itself. */
interface Case {
  readonly sentence: PhraseSentence;
  readonly solo: Solo;
  readonly phrase: Phrase;
  readonly tones: readonly Tone[];
  readonly graces: readonly Tone[];
}
const cases: readonly Case[] = all.map((sentence) => {
  const { solo } = table.solos.find(({ id }) => id === sentence.solo) as NamedSolo;
  const index = solo.phrases.findIndex(({ id }) => id === sentence.phrase);
  const own = tonesOf(solo).filter(({ phrase }) => phrase === index);
  return {
    sentence,
    solo,
    phrase: solo.phrases[index] as Phrase,
    tones: own.filter(({ ornament }) => !ornament),
    graces: own.filter(({ grace }) => grace > 0),
  };
});
const name = ({ sentence: { solo, phrase } }: Case) => `${solo} ${phrase}`;
const classOf = ({ pitch }: Tone) => Math.floor(pitch / 100) % 12;
const setOf = (list: Iterable<number>) => [...new Set(list)].sort((a, b) => a - b).join();
const classOfName = (text: string) => pitchClassOf(pitchName(text) as PitchName);
const rootOf = (text: string) => {
  const chord = parseChord(text);
  return 'root' in chord ? chord.root : classOfName(text);
};

describe('what a sentence names', () => {
  it('stands where it is said to stand', () => {
    let places = 0;
    for (const c of cases) {
      const grid = gridOf(c.solo);
      const { start } = grid.place(ticks(c.phrase.at)).bar;
      const at = new Set<string>();
      const bars = new Set<number>();
      for (let k: number = start; k < c.phrase.at + c.phrase.length; k += 20160)
        bars.add(grid.place(ticks(k)).bar.number);
      for (const { onset } of [...c.tones, ...c.phrase.notes]) {
        const place = grid.place(onset);
        at.add(`${place.bar.number} ${countAt(place)}`);
      }
      for (const [, bar, count] of c.sentence.said.matchAll(/bar (\d+) on (\d[e&atl]?)(?=[,)])/g)) {
        places++;
        expect(at, `${name(c)}: ${c.sentence.said}`).toContain(`${bar} ${count}`);
      }
      for (const [, bar] of c.sentence.said.matchAll(/bar (\d+)/g)) {
        expect([...bars], `${name(c)}: ${c.sentence.said}`).toContain(Number(bar));
      }
    }
    expect(places).toBeGreaterThan(100);
  });

  it('by a scale is heard, all of it and no more, graces and chord tones outside the key told apart', () => {
    const pattern = new RegExp(
      `^([A-G][b#]?) (${FAMILIAR_SCALES.map((s) => s.name).join('|')})(?: \\+ (\\S+?))?(?: over \\S+?)?(?:, no (root|b?\\d))?(?:, [a-z ]+ curled)?(?=[;.])(.*)$`,
    );
    let named = 0;
    for (const c of cases) {
      const match = pattern.exec(c.sentence.notes ?? '');
      if (!match || /third curled/.test(c.sentence.notes ?? '')) continue; // a curled third may stand for either third
      const [, root, scale, plus, missing, rest] = match as unknown as [
        string,
        string,
        string,
        string?,
        string?,
        string?,
      ];
      const tonic = classOfName(root);
      const semitones = new Set(FAMILIAR_SCALES.find((s) => s.name === scale)?.semitones);
      const of = (degree: string) => parseDegree(degree === 'root' ? '1' : degree)?.semitones as number;
      if (plus) semitones.add(of(plus));
      if (missing) semitones.delete(of(missing));
      const strangers = [...(rest ?? '').matchAll(/([A-G][b#]?)(?: and ([A-G][b#]?))? only as (?!a grace|graces)/g)];
      const heard = new Set(c.tones.map(classOf));
      for (const [, one, other] of strangers)
        for (const text of [one, other]) if (text) heard.delete(classOfName(text));
      const inGraces = [...(rest ?? '').matchAll(/; ((?:the b?\d(?: and |, )?)+) only as (?:a grace|graces)/g)];
      const above = new Set([...heard].map((pc) => (pc - tonic + 12) % 12));
      for (const [, list] of inGraces)
        for (const [, degree] of (list as string).matchAll(/the (b?\d)/g)) {
          expect(above.has(of(degree as string)), `${name(c)}: ${c.sentence.notes}`).toBe(false);
          if (semitones.has(of(degree as string))) above.add(of(degree as string));
        }
      expect(setOf(above), `${name(c)}: ${c.sentence.notes}`).toBe(setOf(semitones));
      named++;
    }
    expect(named).toBeGreaterThan(50);
  });

  it('by degrees are all the tones there are, over the root that is named', () => {
    let listed = 0;
    for (const c of cases) {
      const match = /^Plays (.*?) of (the key|[A-G]\S*?)(?:; (the .*) only as (?:a grace|graces))?\.$/.exec(
        c.sentence.notes ?? '',
      );
      if (!match || / of |, then /.test(match[1] as string)) continue; // halves are read below
      const [, list, over, graces] = match as unknown as [string, string, string, string?];
      const root = over === 'the key' ? c.solo.key.tonic : rootOf(over);
      const of = (text: string) => text.split(/, | and /).map((part) => semitonesOf(part));
      const plain = c.tones.map((t) => (classOf(t) - root + 12) % 12);
      expect(setOf(plain), `${name(c)}: ${c.sentence.notes}`).toBe(setOf(of(list)));
      const more = c.graces.map((t) => (classOf(t) - root + 12) % 12).filter((s) => !plain.includes(s));
      expect(setOf(more), `${name(c)}: ${c.sentence.notes}`).toBe(setOf(graces ? of(graces) : []));
      listed++;
    }
    expect(listed).toBeGreaterThan(40);
  });

  it('in halves are the tones over each chord', () => {
    let halves = 0;
    for (const c of cases) {
      const match =
        /^Plays (.*) of ([A-G]\S*), then (.*) of ([A-G][^;\s]*?)(?:; [A-G].* only as (?:a grace|graces))?\.$/.exec(
          c.sentence.notes ?? '',
        );
      if (!match) continue;
      const spans = chordSpans(c.solo);
      for (const [list, over] of [match.slice(1, 3), match.slice(3, 5)] as [string, string][]) {
        const root = rootOf(over);
        const own = c.tones.filter((t) => (spans[spanAt(spans, t.onset)]?.chord?.root ?? root) === root);
        const want = list.split(/, | and /).map((part) => semitonesOf(part));
        const line = own.map((t) => (classOf(t) - root + 12) % 12);
        for (const s of want) expect(line, `${name(c)}: ${c.sentence.notes}`).toContain(s);
      }
      halves++;
    }
    expect(halves).toBeGreaterThan(8);
  });

  it('as pairs on two strings are as many as are struck', () => {
    const numbers = 'no a two three four five six seven eight nine ten eleven twelve thirteen fourteen'.split(' ');
    let runs = 0;
    for (const c of cases) {
      const match = /^([A-Z]\w+) (thirds|fourths|fifths|sixths) on strings (\d) and (\d)\./.exec(
        c.sentence.together ?? '',
      );
      if (!match) continue;
      const [, count, , low, high] = match as unknown as [string, string, string, string, string];
      const onsets = new Map<number, string[]>();
      for (const n of c.phrase.notes)
        if (n.kind === 'fretted' && n.grace === 0)
          onsets.set(n.onset, [...(onsets.get(n.onset) ?? []), String(n.string)]);
      const pairs = [...onsets.values()].filter((s) => s.length === 2 && s.includes(low) && s.includes(high));
      expect(numbers[pairs.length], `${name(c)}: ${c.sentence.together}`).toBe(count.toLowerCase());
      runs++;
    }
    expect(runs).toBeGreaterThan(8);
  });

  it('as chord tones are as many', () => {
    let followed = 0;
    for (const c of cases) {
      const match = /\((?:all (\d+)|(\d+) of (\d+)) tones are chord tones\)/.exec(c.sentence.notes ?? '');
      if (!match) continue;
      const spans = chordSpans(c.solo);
      const under = c.tones.flatMap((tone) => {
        const k = spanAt(spans, tone.onset);
        const chord = spans[k]?.chord;
        // What sounds on into a new chord is a tone of that one too.
        const change = spans.slice(k + 1).find(({ isChange }) => isChange);
        const into = change && change.start < tone.onset + tone.length ? change.chord : undefined;
        return chord ? [{ chord, into, tone }] : [];
      });
      const members = under.filter(({ chord, into, tone }) => isIn(chord, tone) || (into && isIn(into, tone))).length;
      const [n, m] = match[1] ? [match[1], match[1]] : [match[2], match[3]];
      expect([String(members), String(under.length)], name(c)).toEqual([n, m]);
      expect(members / under.length).toBeGreaterThanOrEqual(0.75);
      followed++;
    }
    expect(followed).toBeGreaterThan(20);
  });

  it('as landings is what sounds at the change', () => {
    let landings = 0;
    for (const c of cases) {
      const spans = chordSpans(c.solo);
      for (const [, letter, chord] of (/^On the .*?: (.*)\.$/.exec(c.sentence.changes ?? '')?.[1] ?? '').matchAll(
        /([A-G][b#]?) of ([A-G][^,]*)/g,
      )) {
        const found = spans.some(
          (span) =>
            span.symbol === chord &&
            c.tones.some(
              (t) =>
                t.onset <= span.start &&
                t.onset + t.length > span.start &&
                classOf(t) === classOfName(letter as string),
            ),
        );
        expect(found, `${name(c)}: ${letter} of ${chord}`).toBe(true);
        landings++;
      }
    }
    expect(landings).toBeGreaterThan(50);
  });

  it('as the ending is the last that sounds', () => {
    for (const c of cases) {
      const last = Math.max(...c.tones.map((t) => t.onset));
      const sounding = c.tones.filter((t) => t.onset + t.length > last);
      const names = /^Ends on (?:the .*? \()?([A-G][b#]?-?\d(?:(?:, | and )[A-G][b#]?-?\d)*)/.exec(c.sentence.ending);
      if (!names) {
        expect(c.sentence.ending).toMatch(/^Ends there, /);
        continue;
      }
      const classes = (names[1] as string).split(/, | and /).map((text) => classOfName(text.replace(/-?\d/, '')));
      for (const pc of classes) expect(sounding.map(classOf), `${name(c)}: ${c.sentence.ending}`).toContain(pc);
      const begins = c.tones.filter((t) => t.onset === last);
      for (const t of begins) expect(classes, `${name(c)}: ${c.sentence.ending}`).toContain(classOf(t));
    }
  });
});

function semitonesOf(part: string): number {
  const curled: Readonly<Record<string, number>> = {
    root: 0,
    second: 2,
    third: 3,
    fourth: 5,
    fifth: 7,
    sixth: 9,
    seventh: 10,
  };
  const match = /^(?:the )?(?:curled (\w+)|([b#]?\d+))$/.exec(part);
  const degree = match?.[2] ?? (match?.[1] && curled[match[1]] === undefined ? match[1] : undefined);
  return degree === undefined ? (curled[match?.[1] as string] as number) : (parseDegree(degree)?.semitones as number);
}

function isIn(chord: Chord, tone: Tone): boolean {
  const s = (classOf(tone) - chord.root + 12) % 12;
  return memberAt(chord, s) !== undefined || (tone.pitch % 100 !== 0 && memberAt(chord, (s + 1) % 12) !== undefined);
}

describe('any solo', () => {
  it('has something whole said of every phrase that sounds', () => {
    fc.assert(
      fc.property(anySolos, (solo) => {
        const any = toneTable([{ id: 'any', solo }]);
        const said = phraseSentences(any);
        expect(said.map(({ phrase }) => phrase)).toEqual(entriesOf(any).entries.map(({ phrase }) => phrase));
        for (const { said: text, ...parts } of said) {
          expect(text).toMatch(/^Comes in (on|a sixteenth after) .*Ends (on|there).*\.$/s);
          expect(text).not.toMatch(/undefined|NaN|null|\s{2}|\b[b#]?\d+\+(?![a-z])/);
          const { entry, source, technique, notes, bends, together, changes, ending } = parts;
          const whole = [entry, source, technique, notes, bends, together, changes, ending];
          expect(whole.filter((part) => part !== undefined).join(' ')).toBe(text);
          for (const part of whole) if (part !== undefined) expect(part).toMatch(/^[A-Z].*\.$/s);
        }
      }),
      { numRuns: 150 },
    );
  });
});

describe('a solo moved up the neck', () => {
  const up = (text: string): PitchName => plainName(WHOLE_STEP[text.charAt(0)]?.(text.slice(1)) as PitchName);
  const moved = (solo: Solo): Solo => ({
    ...solo,
    key: keyOf(up(solo.key.tonicName), solo.key.mode),
    changes: {
      ...solo.changes,
      bars: solo.changes.bars.map((bar) =>
        bar.map((entry) => ({
          ...entry,
          symbol: entry.symbol.replace(/^[A-G][b#]?|\/[A-G][b#]?$/g, (text) =>
            text.startsWith('/') ? `/${up(text.slice(1))}` : up(text),
          ),
        })),
      ),
    },
    phrases: solo.phrases.map((phrase) => ({
      ...phrase,
      notes: phrase.notes.map((n) => (n.kind === 'fretted' ? { ...n, fret: (n.fret + 2) as typeof n.fret } : n)),
    })),
  });
  const nameless = (text: string) =>
    text
      .replace(/\b[A-G](?:##?|bb?)?(?=-?\d|m|maj|dim|sus|aug|[^\w#])-?\d?/g, 'X')
      .replace(/X\d/g, 'X')
      .replace(/fret \d+/g, 'fret N')
      .replace(/\b[b#](?=\d)/g, '');

  it('has the same said of it but for names', () => {
    const movable = corpus.solos.filter(
      ({ solo }) =>
        solo.phrases.every(({ notes }) =>
          notes.every((n) => n.kind !== 'fretted' || (n.fret > 0 && n.fret < 20 && !n.harmonic)),
        ) && /^[CDEFGA]$/.test(solo.key.tonicName),
    );
    expect(movable.length).toBeGreaterThan(3);
    for (const { id, solo } of movable) {
      const before = phraseSentences(toneTable([{ id, solo }])).map(({ said }) => nameless(said));
      const after = phraseSentences(toneTable([{ id, solo: moved(solo) }])).map(({ said }) => nameless(said));
      expect(after, id).toEqual(before);
    }
  });
});

const LETTERS = 'CDEFGAB';
const NATURAL = [0, 2, 4, 5, 7, 9, 11];
/** By letter: the name so many letters and semitones higher, for the accidentals behind it. */
const movedName = (letters: number, semitones: number) =>
  Object.fromEntries(
    [...LETTERS].map((letter, i) => [
      letter,
      (accidentals: string) => {
        const to = (i + letters) % 7;
        const octave = i + letters >= 7 ? 12 : 0;
        const natural = (NATURAL[to] as number) + octave - (NATURAL[i] as number);
        const sharps = accidentals.split('#').length - accidentals.split('b').length + semitones - natural;
        return `${LETTERS[to]}${sharps < 0 ? 'b'.repeat(-sharps) : '#'.repeat(sharps)}`;
      },
    ]),
  );
const WHOLE_STEP = movedName(1, 2);
