// What the parts of a phrase's sentence are made from: its tones, its chords, its entry, ending and landings, and the phrase it comes from.
import { cents, mod, ticks } from '../foundation/units.js';
import type { BarGrid } from '../solo/changes.js';
import { type ChordSpan, chordSpans, spanAt } from '../solo/harmony.js';
import { gridOf, type Note, type Phrase } from '../solo/solo.js';
import { FLAG, type NamedSolo, placeOfTone, type ToneTable, toneName } from '../solo/tone-table.js';
import type { Chord } from '../theory/chord.js';
import { degreeAbove } from '../theory/interval.js';
import { countText } from '../theory/meter.js';
import type { Key } from '../theory/scale.js';
import { type Entry, entriesOf } from './entry.js';
import { LEAST_SOURCE, phraseSources } from './family.js';
import { type ImpliedChord, impliedChords } from './implied-chord.js';
import { listed } from './implied-words.js';
import { type Landing, landingsOf, type PhraseEnding, phraseEndingsOf } from './landing.js';
import type { Relation } from './phrase-relation-kinds.js';
import { barInWords, countInWords, partInChord } from './spoken.js';

/** A phrase with what is asked of it. Rows are those of the tone table, in order of time. */
export interface PhraseFacts {
  readonly table: ToneTable;
  readonly named: NamedSolo;
  readonly phrase: Phrase;
  readonly grid: BarGrid;
  readonly spans: readonly ChordSpan[];
  /** The tones without ornaments, those of them in the line, and the graces. */
  readonly tones: readonly number[];
  readonly line: readonly number[];
  readonly graces: readonly number[];
  readonly entry: Entry;
  readonly ending: PhraseEnding;
  /** Chord changes in the phrase at which a tone is near. */
  readonly landings: readonly (Landing & { readonly row: number })[];
  /** Where strings sound together, and what that is over the chord. */
  readonly together: readonly ImpliedChord[];
  /** The strongest relation to an earlier phrase of the solo. */
  readonly source?: Relation;
}

/** The facts of all phrases that sound, in order of solos and time. */
export function phraseFacts(table: ToneTable, relations?: readonly Relation[]): readonly PhraseFacts[] {
  const key = (solo: string, phrase: string | undefined) => `${solo}\u0000${phrase ?? ''}`;
  const endings = new Map(phraseEndingsOf(table).map((e) => [key(e.solo, e.phrase), e]));
  const landings = grouped(landingsOf(table), (l) => key(l.solo, l.phrase));
  const together = grouped(impliedChords(table), (i) => key(i.solo, i.phrase));
  const sources = phraseSources(table, LEAST_SOURCE, relations);
  const { columns: c } = table;
  const rows = grouped(
    Array.from({ length: table.rows }, (_, row) => row),
    (row) => {
      const named = table.solos[c.solo[row] as number] as NamedSolo;
      return key(named.id, named.solo.phrases[c.phrase[row] as number]?.id);
    },
  );
  const scenes = table.solos.map((named) => {
    const grid = gridOf(named.solo);
    return { table, named, grid, spans: chordSpans(named.solo, grid) };
  });
  const has = (row: number, flag: number) => ((c.flags[row] as number) & flag) !== 0;
  return entriesOf(table).entries.map((entry): PhraseFacts => {
    const scene = scenes[c.solo[entry.row] as number] as (typeof scenes)[number];
    const phrase = scene.named.solo.phrases[c.phrase[entry.row] as number] as Phrase;
    const k = key(entry.solo, entry.phrase);
    const own = rows.get(k) ?? [];
    const source = sources.get(entry.solo)?.get(entry.phrase);
    return {
      ...scene,
      phrase,
      tones: own.filter((row) => !has(row, FLAG.ornament)),
      line: own.filter((row) => has(row, FLAG.line)),
      graces: own.filter((row) => has(row, FLAG.ornament) && (phrase.notes[c.note[row] as number] as Note).grace > 0),
      entry,
      ending: endings.get(k) as PhraseEnding,
      landings: (landings.get(k) ?? []).filter((l): l is Landing & { row: number } => l.row !== undefined),
      together: together.get(k) ?? [],
      ...(source && { source }),
    };
  });
}

function grouped<T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const known = groups.get(keyOf(item));
    if (known) known.push(item);
    else groups.set(keyOf(item), [item]);
  }
  return groups;
}

/** The note that a tone comes from. */
export const noteOf = ({ table, phrase }: PhraseFacts, row: number): Note =>
  phrase.notes[table.columns.note[row] as number] as Note;

export const onsetOf = ({ table }: PhraseFacts, row: number): number => table.columns.onset[row] as number;
export const endOf = ({ table }: PhraseFacts, row: number): number =>
  (table.columns.onset[row] as number) + (table.columns.ticks[row] as number);
export const pitchOf = ({ table }: PhraseFacts, row: number): number => table.columns.pitch[row] as number;
/** Its pitch class; of a quarter-tone that of the semitone below. */
export const pitchClassOf = (f: PhraseFacts, row: number): number => mod(Math.floor(pitchOf(f, row) / 100), 12);
/** A quarter-tone above its semitone. */
export const isCurled = (f: PhraseFacts, row: number): boolean => pitchOf(f, row) % 100 !== 0;

/** The stretch of one chord that rules at a time. */
export const spanAtTime = ({ spans }: PhraseFacts, at: number): ChordSpan => spans[spanAt(spans, at)] as ChordSpan;
export const chordAt = (f: PhraseFacts, at: number): Chord | undefined => spanAtTime(f, at).chord;
export const keyAt = (f: PhraseFacts, at: number): Key => f.grid.place(ticks(at)).bar.key;

/** The next change to a chord after a time, if there is one. */
export const nextChange = ({ spans }: PhraseFacts, at: number): ChordSpan | undefined =>
  spans.find((span) => span.start > at && span.isChange);

/** The name of a tone with its octave; a quarter-tone above it is not in the name. */
export const nameOf = ({ table }: PhraseFacts, row: number): string => toneName(table, row).replace('+', '');
/** The same without octave. */
export const letterOf = (f: PhraseFacts, row: number): string => nameOf(f, row).replace(/-?\d+$/, '');

/** What a tone is in a chord. */
export function partOf(f: PhraseFacts, row: number, chord: Chord): string {
  const { semitones, plus } = degreeAbove(cents(pitchOf(f, row)), chord.root);
  return partInChord(chord, semitones, plus);
}

/** What some tones are in a chord: `fifth and third`, `both the root`. */
export function partsOf(f: PhraseFacts, rows: readonly number[], chord: Chord): string {
  const parts = rows.map((row) => partOf(f, row, chord));
  return new Set(parts).size === 1 && parts.length > 1
    ? `${parts.length === 2 ? 'both' : 'all'} the ${parts[0]}`
    : listed(parts);
}

/** Bar and count of a tone: where a bend that has no written times is let down, those of the note. */
export function placeOf(f: PhraseFacts, row: number): { readonly bar: number; readonly count: string } {
  if (!((f.table.columns.flags[row] as number) & FLAG.split)) return placeOfTone(f.table, row);
  const { bar, offset } = f.grid.place(noteOf(f, row).onset);
  return { bar: bar.number, count: countText(offset, bar.meter) };
}

/** `bar 3 on 2&`. */
export function placeWords(f: PhraseFacts, row: number): string {
  const { bar, count } = placeOf(f, row);
  return `${barInWords(bar)} ${countWords(f, bar, count)}`;
}

/** Where eighths are swung nobody counts sixteenths: the eighth that one follows, and nothing for any other count. */
function swungEighth(f: PhraseFacts, bar: number, count: string): string | undefined {
  const { feel } = f.grid.bar(bar);
  const between = /^(\d+)([ea])$/.exec(count);
  if (feel.kind !== 'swing' || feel.value !== 'e' || !between) return undefined;
  return `${between[1]}${between[2] === 'a' ? '&' : ''}`;
}

/** `on 2&`, and `a sixteenth after 2&` for what comes between swung eighths. */
export function countWords(f: PhraseFacts, bar: number, count: string): string {
  const eighth = swungEighth(f, bar, count);
  return eighth === undefined ? `on ${count}` : `a sixteenth after ${eighth}`;
}

/** The same in words: `on the and of 2 of bar 3`, `a sixteenth after beat 2 of bar 3`. */
export function spokenPlace(f: PhraseFacts, row: number, withBar = true): string {
  const { bar, count } = placeOf(f, row);
  const { meter } = f.grid.bar(bar);
  const eighth = swungEighth(f, bar, count);
  const at =
    eighth === undefined ? `on ${countInWords(count, meter)}` : `a sixteenth after ${countInWords(eighth, meter)}`;
  return withBar ? `${at} of ${barInWords(bar)}` : at;
}
