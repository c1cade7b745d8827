// What each phrase needs: techniques, a position, rhythms, tones over chords, changes to follow, motifs.

import type { Motif } from '../analysis/motif-kinds.js';
import { handPosition, neckUse } from '../analysis/neck-use.js';
import { togetherIn } from '../analysis/together.js';
import { peakLevel } from '../guitar/bend.js';
import { REACHED } from '../guitar/technique.js';
import type { BarGrid } from '../solo/changes.js';
import { type ChordSpan, chordSpans, functionIn } from '../solo/harmony.js';
import { gridOf, type Note, type Phrase } from '../solo/solo.js';
import { hasFlag, MISSING, type NamedSolo, type ToneTable } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { isCompound } from '../theory/meter.js';
import {
  changeItem,
  type KnowledgeItem,
  NAMED_ITEMS,
  positionItem,
  type Rhythm,
  type Technique,
  toneItem,
  WEIGHT,
} from './technique-items.js';

/** What a phrase needs, and how much there is to remember. */
export interface PhraseNeeds {
  readonly solo: string;
  readonly phrase: string;
  readonly name: string;
  /** What it needs, each once. */
  readonly needs: readonly KnowledgeItem[];
  /** Tones to remember, graces left out. */
  readonly tones: number;
  /** Frets of its notes that a finger presses, counted from the capo. */
  readonly frets: readonly number[];
}

/** A motif and what it is called among the items. */
export interface NamedMotif {
  readonly name: string;
  readonly motif: Motif;
}

/**
 * What each phrase of a table needs, in order of solos and time; phrases that never sound are left out.
 * @param motifs motifs that count as something to know: a phrase that holds a place of one needs it
 * @example
 * const [first] = knowledgeOf(toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]))
 * first.needs.slice(0, 3).map((item) => item.id) // => ['hammer-on', 'whole-step bend', 'vibrato on a bend']
 */
export function knowledgeOf(table: ToneTable, motifs: readonly NamedMotif[] = []): readonly PhraseNeeds[] {
  const rows = rowsByPhrase(table);
  const underOthers = phrasesWithHeldBends(table);
  const withMotif = new Map<string, KnowledgeItem[]>();
  for (const { name, motif } of motifs)
    for (const place of motif.places) {
      const key = `${place.solo}\u0000${place.phrase}`;
      const item: KnowledgeItem = { id: `motif ${name}`, kind: 'motif', weight: WEIGHT.motif, after: [] };
      withMotif.set(key, [...(withMotif.get(key) ?? []), item]);
    }
  return table.solos.flatMap((named, s) => {
    const grid = gridOf(named.solo);
    const spans = chordSpans(named.solo, grid);
    return named.solo.phrases.flatMap((phrase, p): readonly PhraseNeeds[] => {
      const own = rows.get(`${s} ${p}`);
      if (!own) return [];
      const scene: Scene = { table, named, phrase, rows: own, grid, spans, holdsUnder: underOthers.has(`${s} ${p}`) };
      const byName = (names: ReadonlySet<string>) => NAMED_ITEMS.filter(({ id }) => names.has(id));
      const needs = [
        ...byName(techniquesOf(scene)),
        ...positionsOf(scene),
        ...byName(rhythmsOf(scene)),
        ...tonesOf(scene),
        ...changesIn(scene),
        ...(withMotif.get(`${named.id}\u0000${phrase.id}`) ?? []),
      ];
      return [
        {
          solo: named.id,
          phrase: phrase.id,
          name: phrase.name,
          needs: unique(needs),
          tones: own.filter((row) => !hasFlag(table, row, 'ornament')).length,
          frets: phrase.notes.flatMap(({ kind, fret }) => (kind === 'fretted' && fret > 0 ? [fret] : [])),
        },
      ];
    });
  });
}

interface Scene {
  readonly table: ToneTable;
  readonly named: NamedSolo;
  readonly phrase: Phrase;
  readonly rows: readonly number[];
  readonly grid: BarGrid;
  readonly spans: readonly ChordSpan[];
  readonly holdsUnder: boolean;
}

const unique = (items: readonly KnowledgeItem[]): readonly KnowledgeItem[] => [
  ...new Map(items.map((item) => [item.id, item])).values(),
];

function rowsByPhrase({ columns, rows }: ToneTable): ReadonlyMap<string, readonly number[]> {
  const found = new Map<string, number[]>();
  for (let row = 0; row < rows; row++) {
    const key = `${columns.solo[row]} ${columns.phrase[row]}`;
    const known = found.get(key);
    if (known) known.push(row);
    else found.set(key, [row]);
  }
  return found;
}

/** Phrases in which a bend sounds on while another string sounds. */
function phrasesWithHeldBends(table: ToneTable): ReadonlySet<string> {
  const { level, solo, phrase } = table.columns;
  return new Set(
    togetherIn(table)
      .filter(({ rows }) => rows.some((row) => (level[row] as number) > 0))
      .map(({ rows: [row] }) => `${solo[row as number]} ${phrase[row as number]}`),
  );
}

function techniquesOf({ table, phrase, rows, holdsUnder }: Scene): ReadonlySet<Technique> {
  const found = new Set<Technique>();
  const { reached } = table.columns;
  for (const note of phrase.notes) {
    if (note.kind === 'dead') found.add('dead notes');
    if (note.kind === 'fretted') found.add('single notes');
    if (note.start === 'hammered') found.add('hammer-on');
    if (note.start === 'pulled') found.add('pull-off');
    if (note.start === 'slid up' || note.start === 'slid down' || note.slideAway) found.add('slide');
    if (note.start === 'tapped') found.add('tapping');
    if (note.grace > 0) found.add('grace notes');
    if (note.harmonic) found.add('harmonics');
    if (note.ring) found.add('ringing strings');
    const peak = peakLevel(note.path);
    if (note.vibrato) found.add(note.path.length > 0 && peak >= 100 ? 'vibrato on a bend' : 'vibrato');
    for (const technique of bendsOf(peak)) found.add(technique);
  }
  for (const row of rows) {
    const how = REACHED[reached[row] as number];
    if (how === 'prebent') found.add('pre-bend');
    if (how === 'held') found.add('bend picked again while held');
    if (how === 'released') found.add('let-down of a bend');
  }
  if (together(phrase)) found.add('double-stops');
  if (holdsUnder) {
    found.add('bend held under other strings');
    found.delete('ringing strings'); // what rings there rings over the bend: it is one act
  }
  return found;
}

function bendsOf(peak: number): readonly Technique[] {
  if (peak === 0) return [];
  if (peak < 100) return ['curl'];
  return [peak > 200 ? 'bend wider than a whole step' : peak > 100 ? 'whole-step bend' : 'half-step bend'];
}

const together = (phrase: Phrase): boolean =>
  phrase.notes.some((note, i) => {
    const before = phrase.notes[i - 1];
    return (
      before !== undefined &&
      note.grace === 0 &&
      before.grace === 0 &&
      before.onset === note.onset &&
      note.kind !== 'on' &&
      before.kind !== 'on'
    );
  });

/** The positions that the hand is in: where most of the phrase lies, and a shift if some of it lies well outside. */
function positionsOf({ table, named, phrase }: Scene): readonly KnowledgeItem[] {
  const fretted = phrase.notes.filter((note) => note.kind === 'fretted' && note.fret > 0 && !note.harmonic);
  if (fretted.length === 0) return [];
  const hand = handPosition(table, neckUse(table, { where: { solo: named.id }, phrase: phrase.id }));
  if (!hand) return [];
  const outside = fretted.some(({ fret }) => fret < hand.from - 1 || fret > hand.to + 1);
  return [positionItem(hand.from), ...(outside ? NAMED_ITEMS.filter(({ id }) => id === 'position shift') : [])];
}

function rhythmsOf({ phrase, grid }: Scene): ReadonlySet<Rhythm> {
  const found = new Set<Rhythm>();
  const main = phrase.notes.filter((note) => note.grace === 0);
  main.forEach((note, k) => {
    const { bar, offset } = grid.place(note.onset);
    const compound = isCompound(bar.meter);
    if (compound) found.add('compound meter');
    else if (bar.meter.over === 3) found.add('three beats to the bar');
    const within = offset % bar.meter.beatTicks;
    const half = bar.meter.beatTicks / 2;
    const unit = compound ? bar.meter.beatTicks / 3 : half;
    if (!compound && within === half) found.add('eighths off the beat');
    if (within !== 0 && k === 0) found.add('entry off the beat');
    for (const name of valuesOf(within, unit, compound)) found.add(name);
    if (bar.feel.kind === 'swing' && within === half && !compound) found.add('swung eighths');
    if (!compound && nextDistance(main, k) <= half) found.add('eighths');
    if (note.onset + note.length > bar.start + bar.meter.barTicks) found.add('notes tied over the bar');
  });
  return found;
}

const nextDistance = (notes: readonly Note[], k: number): number =>
  ((notes[k + 1]?.onset ?? Number.POSITIVE_INFINITY) as number) - (notes[k] as Note).onset || Number.POSITIVE_INFINITY;

/** What kind of division an onset within the beat stands on; `unit` is the eighth. */
function valuesOf(within: number, unit: number, isCompound: boolean): readonly Rhythm[] {
  if (within % unit === 0) return [];
  if (within % (unit / 2) === 0) return ['sixteenths'];
  if (!isCompound && (within * 3) % (2 * unit) === 0) return ['eighth triplets'];
  if (within % (unit / 4) === 0) return ['thirty-seconds'];
  return ['other tuplets'];
}

function tonesOf({ table, rows }: Scene): readonly KnowledgeItem[] {
  const { degree, function: functions } = table.columns;
  return rows
    .filter((row) => !hasFlag(table, row, 'ornament') && degree[row] !== MISSING)
    .map((row) =>
      toneItem(DEGREE_NAMES[degree[row] as number] as string, table.functions[functions[row] as number] as string),
    );
}

/** The changes that come while the phrase goes on. */
function changesIn({ phrase, grid, spans }: Scene): readonly KnowledgeItem[] {
  const first = phrase.notes[0]?.onset ?? phrase.at;
  const end = Math.max(...phrase.notes.map((note) => note.onset + note.length), first);
  return spans.flatMap((span, k) => {
    const before = spans[k - 1];
    if (!span.isChange || !span.chord || !before?.chord || span.start <= first || span.start >= end) return [];
    const key = grid.place(span.start).bar.key;
    const [from, to] = [functionIn(key, before), functionIn(key, span)];
    return from === to ? [] : [changeItem(from, to)];
  });
}
