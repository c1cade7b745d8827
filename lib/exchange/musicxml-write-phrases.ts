// Phrases, damps and remarks in a score: as marks of analysis, and as names or slurs that show.

import type { BarGrid } from '../solo/changes.js';
import { type Phrase, phraseEnd, type Solo } from '../solo/solo.js';
import type { Cell } from './musicxml-cells.js';
import { LABEL_ID } from './musicxml-note.js';
import { GROUPS } from './musicxml-phrases.js';
import { decimal, empty, leaf, wrap } from './musicxml-tags.js';

/** How to write a score. */
export interface ScoreWriteOptions {
  /** How phrases show: by their names above the staff (the default), by a slur over each, by both, or not at all. They can be read back either way. */
  readonly phrases?: 'names' | 'slurs' | 'both' | 'none';
}

/** The bars that are written. */
export interface Range {
  readonly first: number;
  readonly last: number;
  /** Ticks at which the first measure begins and the last ends. */
  readonly from: number;
  readonly to: number;
}

/** What is the same all over a score. */
export interface Score {
  readonly solo: Solo;
  readonly grid: BarGrid;
  readonly range: Range;
  readonly divisions: number;
  readonly show: NonNullable<ScoreWriteOptions['phrases']>;
}

/** A direction above the staff. */
export const direction = (type: string, attributes: { readonly placement?: string } = {}, behind = ''): string =>
  wrap('direction', [wrap('direction-type', [type]), behind], { placement: 'above', ...attributes });

/** An element at a time. */
export interface Mark {
  readonly at: number;
  readonly text: string;
}

/** Phrases, damps and remarks that stand in a stretch, in order of time, ends before beginnings. */
export function marksIn(score: Score, after: number, end: number, isLast: boolean): readonly Mark[] {
  const marks: (Mark & { readonly rank: number })[] = [];
  const inside = (at: number): boolean => at >= after && (at < end || (isLast && at === end));
  score.solo.phrases.forEach((phrase, i) => {
    if (phraseEnd(phrase) < after || phrase.at > end) return;
    const feature = (type: string, text: string): string => leaf('feature', text, { type });
    const group = (
      at: number,
      rank: number,
      type: string,
      memberOf: string,
      features: readonly string[],
      shown = '',
    ): void => {
      marks.push({
        at,
        rank,
        text: `<grouping type="${type}" number="1" member-of="${memberOf}"${features.length === 0 ? '/>' : `>${features.join('')}</grouping>`}${shown}`,
      });
    };
    const id = feature('id', phrase.id);
    if (inside(phrase.at))
      group(
        phrase.at,
        2,
        'start',
        GROUPS.phrase,
        [id, ...phraseFeatures(phrase, feature)],
        shownName(phrase, i, score),
      );
    const stop = phraseEnd(phrase);
    // A phrase that ends at a barline ends before it.
    if (stop > after && stop <= end && (stop > Math.max(0, after) || isLast)) group(stop, 0, 'stop', GROUPS.phrase, []);
    for (const damp of phrase.damps) if (inside(damp)) group(damp, 1, 'single', GROUPS.damp, [id]);
    phrase.remarks.forEach(({ text, at }, r) => {
      if (at === undefined || !inside(at)) return;
      const label = text.trim() === '' ? '' : `\n${direction(leaf('words', text, { id: `${LABEL_ID}say-${i}-${r}` }))}`;
      group(at, 3, 'single', GROUPS.say, [id, feature('say', text)], label);
    });
  });
  return marks.sort((a, b) => a.at - b.at || a.rank - b.rank);
}

const phraseFeatures = (phrase: Phrase, feature: (type: string, text: string) => string): readonly string[] => [
  ...(phrase.name === '' ? [] : [feature('name', phrase.name)]),
  ...(phrase.heard === undefined ? [] : [feature('heard', decimal(phrase.heard))]),
  ...phrase.remarks.flatMap((r) => (r.at === undefined ? [feature('say', r.text)] : [])),
];

function shownName(phrase: Phrase, i: number, { show }: Score): string {
  if (show === 'slurs' || show === 'none') return '';
  const name = phrase.name.trim() === '' ? phrase.id : phrase.name;
  return `\n${direction(leaf('words', name, { 'font-style': 'italic', id: `${LABEL_ID}phrase-${i}` }))}`;
}

/** The number of the slurs over phrases: the last there is; the lines of an eighth string on the tab staff have it too. */
const PHRASE_SLUR = 16;

/** The ends of its phrase's slur on a note, the first of its cell on the notation staff; `''` for none. */
export function phraseSlur({ solo, show }: Score, cell: Cell): string {
  if (show === 'names' || show === 'none') return '';
  const phrase = solo.phrases.find((p) => cell.from >= p.at && cell.from < phraseEnd(p));
  const played = phrase?.notes.filter((n) => n.grace === 0) ?? [];
  const last = played.reduce((end, n) => Math.max(end, n.onset + n.length), 0);
  const opens = cell.event !== undefined && played[0]?.onset === cell.from;
  const closes = cell.to === last;
  if (opens === closes) return ''; // neither, or a phrase of one note
  const type = opens ? 'start' : 'stop';
  return empty('slur', { type, number: PHRASE_SLUR, placement: 'above', id: `${LABEL_ID}slur-${type}-${cell.from}` });
}
