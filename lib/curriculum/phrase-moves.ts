// A phrase moved to practise it elsewhere: the same shape in another key, the same degrees over another chord of the solo, the same pitches in another position.
import { numberInWords } from '../analysis/spoken.js';
import { fret, midiKey, mod } from '../foundation/units.js';
import { peakLevel } from '../guitar/bend.js';
import { placeLine } from '../guitar/fingering.js';
import { pitchAt } from '../guitar/fretboard.js';
import { type ChordSpan, chordSpans, spanAt } from '../solo/harmony.js';
import { unplayable } from '../solo/playability.js';
import { gridOf, type Note, type Phrase, type Solo } from '../solo/solo.js';
import { toneTable } from '../solo/tone-table.js';
import { isNoChord } from '../theory/chord.js';
import { nameAbove, pitchName, plainName } from '../theory/pitch.js';
import { keyOf } from '../theory/scale.js';
import { type Exercise, movedTo, withPhrase } from './exercise.js';

/** How a phrase is moved. */
export const MOVE_KINDS = ['another key', 'another chord', 'another position'] as const;
/** How a phrase is moved. */
export type MoveKind = (typeof MOVE_KINDS)[number];

/** A phrase, moved. */
export interface MovedPhrase {
  readonly kind: MoveKind;
  readonly exercise: Exercise;
}

/**
 * A phrase moved, one of each kind where the hand allows it: the shape up or down the neck, by the fewest frets that lead to another key without an open
 * string; the shape over another chord of the solo of the same family; the same pitches at another place of the neck, for phrases without bends,
 * harmonics and strings that ring.
 * @throws RangeError if the solo has no such phrase
 * @example
 * movesOf(parseSoloOrThrow(EXAMPLE_SOLO), '1').map((move) => move.exercise.title) // => ['phrase 1 in B minor']
 */
export function movesOf(solo: Solo, phraseId: string): readonly MovedPhrase[] {
  const phrase = solo.phrases.find(({ id }) => id === phraseId);
  if (!phrase)
    throw new RangeError(
      `no phrase ${phraseId} in ${solo.title}; there are ${solo.phrases.map(({ id }) => id).join(', ')}`,
    );
  return [otherKey(solo, phrase), otherChord(solo, phrase), otherPosition(solo, phrase)].filter(
    (move): move is MovedPhrase => move !== undefined,
  );
}

const isOpen = (note: Note): boolean => note.kind === 'fretted' && (note.fret === 0 || note.harmonic);

/** All frets of a phrase moved; `undefined` if an open string or a harmonic is in it, or it leaves the neck. */
function moved(solo: Solo, phrase: Phrase, frets: number): Phrase | undefined {
  if (phrase.notes.some(isOpen)) return undefined;
  const notes = phrase.notes.map((note) =>
    note.kind === 'fretted' ? { ...note, fret: fret(note.fret + frets) } : note,
  );
  if (
    notes.some(
      (note) =>
        note.kind === 'fretted' && (note.fret < 1 || pitchAt(solo.guitar, note.string, note.fret) === undefined),
    )
  )
    return undefined;
  const whole = { ...phrase, notes };
  return unplayable(whole, solo.guitar, 'unknown').some(({ severity }) => severity === 'fault') ? undefined : whole;
}

const fretsInWords = (by: number): string =>
  `${numberInWords(Math.abs(by))} ${Math.abs(by) === 1 ? 'fret' : 'frets'} ${by > 0 ? 'up' : 'down'}`;

function otherKey(solo: Solo, phrase: Phrase): MovedPhrase | undefined {
  for (const by of [2, -2, 3, -3, 1, -1]) {
    const elsewhere = moved(solo, phrase, by);
    if (!elsewhere) continue;
    const tonic = plainName(nameAbove(solo.key.tonicName, STEP_LETTERS[mod(by, 12)] as number, mod(by, 12)));
    const title = `phrase ${phrase.id} in ${tonic} ${solo.key.mode}`;
    const key = keyOf(tonic, solo.key.mode);
    const bars = solo.changes.bars.map((bar) =>
      bar.map((c) => ({ ...c, symbol: movedSymbol(c.symbol, STEP_LETTERS[mod(by, 12)] as number, mod(by, 12)) })),
    );
    const there = {
      ...solo,
      key,
      changes: { ...solo.changes, bars, settings: solo.changes.settings.map(({ key: _, ...rest }) => rest) },
    };
    return {
      kind: 'another key',
      exercise: {
        title,
        why: `The whole phrase in ${tonic} ${solo.key.mode}, chords and all: ${fretsInWords(by)}.`,
        solo: withPhrase(there, title, elsewhere),
      },
    };
  }
  return undefined;
}

/** A chord symbol so many letters and semitones higher, its bass too. */
function movedSymbol(symbol: string, letters: number, semitones: number): string {
  const up = (name: string): string => {
    const root = pitchName(name);
    return root === undefined ? name : plainName(nameAbove(root, letters, semitones));
  };
  if (isNoChord(symbol)) return symbol;
  return symbol.replace(/^[A-G](?:#|b)?/, up).replace(/\/([A-G](?:#|b)?)$/, (_, bass: string) => `/${up(bass)}`);
}

/** Letters up for so many semitones, so that a key two frets up is a second away. */
const STEP_LETTERS = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6];

function otherChord(solo: Solo, phrase: Phrase): MovedPhrase | undefined {
  const spans = chordSpans(solo);
  const [first] = phrase.notes;
  const here = first && (spans[spanAt(spans, first.onset)] as ChordSpan);
  if (!here?.chord || phrase.notes.some(isOpen)) return undefined;
  const { root, quality } = here.chord;
  const grid = gridOf(solo);
  for (const span of spans) {
    if (!span.chord || span.chord.root === root || span.chord.quality !== quality) continue;
    const up = mod(span.chord.root - root, 12);
    for (const by of up <= 6 ? [up, up - 12] : [up - 12, up]) {
      const elsewhere = moved(solo, phrase, by);
      if (!elsewhere) continue;
      const { bar, offset } = grid.place(span.start);
      const from = grid.place(phrase.at);
      // Its first bar must be the first of that chord, of the same length.
      if (offset !== 0 || bar.meter.barTicks !== from.bar.meter.barTicks) continue;
      const there = movedTo(solo, elsewhere, bar.number);
      if (degreesIn(solo, there) !== degreesIn(solo, phrase)) continue;
      const title = `phrase ${phrase.id} over ${span.symbol}`;
      return {
        kind: 'another chord',
        exercise: {
          title,
          why: `The same degrees over ${span.symbol} as over ${here.symbol}: the shape ${fretsInWords(by)}.`,
          solo: withPhrase(solo, title, there),
        },
      };
    }
  }
  return undefined;
}

/** What each tone is over the chord of its moment. */
const degreesIn = (solo: Solo, phrase: Phrase): string =>
  toneTable([{ id: phrase.id, solo: { ...solo, phrases: [phrase] } }]).columns.degree.join();

function otherPosition(solo: Solo, phrase: Phrase): MovedPhrase | undefined {
  const plain = phrase.notes.every(
    (note) =>
      note.kind === 'fretted' &&
      !note.harmonic &&
      !note.ring &&
      peakLevel(note.path) === 0 &&
      note.grace === 0 &&
      !note.slideAway &&
      note.marks.length === 0,
  );
  if (!plain || phrase.notes.length < 4) return undefined;
  const events = [...new Set(phrase.notes.map(({ onset }) => onset as number))];
  const own = phrase.notes.reduce((sum, note) => sum + note.fret, 0) / phrase.notes.length;
  for (const position of own >= 7 ? [2, 5] : [9, 12]) {
    let steps: ReturnType<typeof placeLine>['steps'];
    try {
      steps = placeLine(
        events.map((onset) => ({
          at: onset / 40000,
          pitches: phrase.notes
            .filter((note) => note.onset === onset)
            .map((note) => ({ key: midiKey(pitchAt(solo.guitar, note.string, note.fret) as number) })),
        })),
        { guitar: solo.guitar, position, positionCost: 2, openStrings: 'avoid' },
      ).steps;
    } catch (error) {
      if (error instanceof RangeError) continue;
      throw error;
    }
    const notes = phrase.notes.map((note): Note => {
      const step = steps[events.indexOf(note.onset)];
      const pitch = pitchAt(solo.guitar, note.string, note.fret);
      const at = step?.notes.find((place) => pitchAt(solo.guitar, place.string, place.fret) === pitch);
      return at ? { ...note, string: at.string, fret: at.fret } : note;
    });
    const whole = { ...phrase, notes: [...notes].sort((a, b) => a.onset - b.onset || a.string - b.string) };
    if (notes.every((note, k) => note.fret === phrase.notes[k]?.fret && note.string === phrase.notes[k]?.string))
      continue;
    // One position, and hammered and pulled where they were: else it is another phrase.
    const frets = notes.filter((note) => note.fret > 0).map((note) => note.fret);
    if (Math.max(...frets) - Math.min(...frets) > 4) continue;
    if (unplayable(whole, solo.guitar, 'unknown').length > 0) continue;
    const title = `phrase ${phrase.id} in position ${Math.min(...frets)}`;
    return {
      kind: 'another position',
      exercise: {
        title,
        why: 'The same pitches elsewhere: another sound, other fingers.',
        solo: withPhrase(solo, title, whole),
      },
    };
  }
  return undefined;
}
