// One written value of a note as elements: pitch, time, ties, and on the tab staff string, fret and every gesture.
import { QUARTER, type ValueLetter } from '../foundation/time.js';
import { type Ticks, ticks } from '../foundation/units.js';
import type { PitchName } from '../theory/pitch.js';
import { type BendChange, type BendPiece, changesOfLevel, pathFromBends, pathHint } from './musicxml-bend.js';
import type { Cell, WrittenNote } from './musicxml-cells.js';
import { type BendMark, HINT } from './musicxml-note.js';
import { decimal, empty, leaf, pitchTags, wrap } from './musicxml-tags.js';

/** What is the same for all notes of a part. */
export interface NoteStyle {
  readonly divisions: number;
  readonly staff: 1 | 2;
  readonly spell: (key: number) => PitchName | undefined;
}

const TYPES: Readonly<Record<ValueLetter, string>> = {
  w: 'whole',
  h: 'half',
  q: 'quarter',
  e: 'eighth',
  s: '16th',
  t: '32nd',
};
const VOICE = { 1: 1, 2: 5 } as const;

/** Marks that the standard has an element for: where it stands, and what it is. */
const MARK_TAGS: Readonly<Record<string, readonly ['technical' | 'articulations' | 'ornaments', string]>> = {
  '1': ['technical', leaf('fingering', 1)],
  '2': ['technical', leaf('fingering', 2)],
  '3': ['technical', leaf('fingering', 3)],
  '4': ['technical', leaf('fingering', 4)],
  up: ['technical', empty('up-bow')],
  down: ['technical', empty('down-bow')],
  pop: ['technical', empty('snap-pizzicato')],
  staccato: ['articulations', empty('staccato')],
  tenuto: ['articulations', empty('tenuto')],
  trill: ['ornaments', empty('trill-mark')],
};

/** A rest. */
export function restText(cell: Cell, style: NoteStyle): string {
  const time = leaf('duration', duration(cell.to - cell.from, style));
  const common = [time, leaf('voice', VOICE[style.staff])];
  if (cell.wholeBar) return wrap('note', [empty('rest', { measure: 'yes' }), ...common, leaf('staff', style.staff)]);
  return wrap('note', [
    empty('rest'),
    ...common,
    ...typeTags(cell),
    leaf('staff', style.staff),
    wrap('notations', [tupletTag(cell)]),
  ]);
}

/** A grace note. */
export const graceText = (written: WrittenNote, isChord: boolean, style: NoteStyle): string =>
  noteText(written, undefined, isChord, style, '');

/** A note in a cell; `isChord` for all but the first, `more` stands with its notations. */
export const cellText = (written: WrittenNote, cell: Cell, isChord: boolean, style: NoteStyle, more: string): string =>
  noteText(written, cell, isChord, style, more);

const duration = (length: number, { divisions }: NoteStyle): string => decimal((length * divisions) / QUARTER);

function typeTags({ value }: Cell): readonly string[] {
  return [
    leaf('type', TYPES[value.letter]),
    ...Array.from({ length: value.dots }, () => empty('dot')),
    value.n === 1 ? '' : wrap('time-modification', [leaf('actual-notes', value.n), leaf('normal-notes', value.m)]),
  ];
}

const tupletTag = ({ tuplet }: Cell): string =>
  tuplet === undefined
    ? ''
    : tuplet === 'both'
      ? empty('tuplet', { type: 'start' }) + empty('tuplet', { type: 'stop' })
      : empty('tuplet', { type: tuplet });

function noteText(
  written: WrittenNote,
  cell: Cell | undefined,
  isChord: boolean,
  style: NoteStyle,
  more: string,
): string {
  const { note, key } = written;
  const isFirst = !cell || cell.from === note.onset;
  const isLast = !cell || cell.to === note.onset + note.length;
  const stops = !isFirst || note.kind === 'on';
  const starts = !isLast || written.tiedOn;
  const head =
    note.kind === 'dead'
      ? leaf('notehead', 'x')
      : note.marks.includes('ghost')
        ? leaf('notehead', 'normal', { parentheses: 'yes' })
        : '';
  const tied = [
    stops ? empty('tied', { type: 'stop' }) : '',
    starts ? empty('tied', { type: 'start' }) : '',
    note.ring && isLast && style.staff === 2 ? empty('tied', { type: 'let-ring' }) : '',
  ];
  return wrap('note', [
    cell ? '' : empty('grace', { slash: 'yes' }),
    isChord ? empty('chord') : '',
    wrap('pitch', pitchTags(key, style.spell(key))),
    cell ? leaf('duration', duration(cell.to - cell.from, style)) : '',
    stops ? empty('tie', { type: 'stop' }) : '',
    starts ? empty('tie', { type: 'start' }) : '',
    leaf('voice', VOICE[style.staff]),
    ...(cell ? typeTags(cell) : [leaf('type', 'eighth')]),
    head,
    leaf('staff', style.staff),
    wrap('notations', [...tied, more, ...gestures(written, cell, isFirst, isLast, isChord, style)]),
    note.marks.includes('mute') && isFirst ? wrap('play', [leaf('mute', 'palm')]) : '',
  ]);
}

function gestures(
  written: WrittenNote,
  cell: Cell | undefined,
  isFirst: boolean,
  isLast: boolean,
  isChord: boolean,
  style: NoteStyle,
): readonly string[] {
  const { note, from, leadsTo } = written;
  const number = note.string + (style.staff === 2 ? 8 : 0); // numbers of lines are those of the whole part
  const tags: Record<'technical' | 'articulations' | 'ornaments', string[]> = {
    technical: [],
    articulations: [],
    ornaments: [],
  };
  const lines: string[] = [];
  const isLegato = note.start === 'hammered' || note.start === 'pulled';
  if (isFirst) {
    if (isLegato && from) lines.push(empty('slur', { type: 'stop', number }));
    if (from && !isLegato) lines.push(empty('slide', { type: 'stop', number, 'line-type': 'solid' }));
    if (note.accent) tags.articulations.push(empty('accent'));
    if (note.start === 'slid up' && !from) tags.articulations.push(empty('scoop'));
    if (note.start === 'slid down' && !from) tags.articulations.push(empty('plop'));
    for (const mark of note.marks) {
      const tag = MARK_TAGS[mark];
      if (tag && !(mark === 'trill' && note.vibrato) && (tag[0] !== 'technical' || style.staff === 2))
        tags[tag[0]].push(tag[1]);
    }
    if (note.vibrato) tags.ornaments.push(empty('wavy-line', { type: 'start', number: 1 }));
  }
  if (isLast) {
    if (leadsTo === 'slide') lines.push(empty('slide', { type: 'start', number, 'line-type': 'solid' }));
    else if (leadsTo) lines.push(empty('slur', { type: 'start', number }));
    if (note.slideAway) tags.articulations.push(empty('falloff'));
    if (note.vibrato) tags.ornaments.push(empty('wavy-line', { type: 'stop', number: 1 }));
  }
  if (style.staff === 1 && isFirst && note.kind === 'on') tags.technical.push(leaf('other-technical', `${HINT}on`));
  if (style.staff === 2) tags.technical.unshift(...technical(written, cell, isFirst, isLast, style));
  const tuplet = cell && !isChord ? tupletTag(cell) : '';
  return [
    tuplet,
    ...lines,
    wrap('ornaments', tags.ornaments),
    wrap('technical', tags.technical),
    wrap('articulations', tags.articulations),
  ];
}

function technical(
  written: WrittenNote,
  cell: Cell | undefined,
  isFirst: boolean,
  isLast: boolean,
  style: NoteStyle,
): readonly string[] {
  const { note, leadsTo, fret } = written;
  const number = note.string;
  const tags: string[] = [];
  if (isFirst && note.start === 'hammered') tags.push(empty('hammer-on', { type: 'stop', number }));
  if (isFirst && note.start === 'pulled') tags.push(empty('pull-off', { type: 'stop', number }));
  if (isLast && leadsTo === 'hammer') tags.push(leaf('hammer-on', 'H', { type: 'start', number }));
  if (isLast && leadsTo === 'pull') tags.push(leaf('pull-off', 'P', { type: 'start', number }));
  if (isFirst && note.start === 'tapped') tags.push(empty('tap'));
  tags.push(leaf('string', note.string), leaf('fret', fret));
  const { onset, length } = note;
  const changes = changesOfLevel(note.path, length, written.held, note.kind === 'on');
  const at = cell ? cell.from - onset : 0;
  const lasts = cell ? cell.to - cell.from : 0;
  for (const change of changes)
    if (!cell || (change.begin >= at && change.begin < at + lasts)) tags.push(bendTag(change, at, lasts, style));
  if (isFirst && note.harmonic) tags.push(wrap('harmonic', [empty('natural'), empty('sounding-pitch')]));
  if (isFirst) for (const hint of hintsOf(written, changes, style)) tags.push(leaf('other-technical', HINT + hint));
  return tags;
}

function bendTag(change: BendChange, at: number, lasts: number, { divisions }: NoteStyle): string {
  const begin = change.begin - at;
  const percent = change.timed && lasts > 0 ? decimal((begin / lasts) * 100) : undefined;
  const offset = change.kind === 'release' && lasts > 0 ? decimal((begin * divisions) / QUARTER) : undefined;
  return wrap(
    'bend',
    [
      leaf('bend-alter', decimal(change.alter)),
      change.kind === 'pre-bend' ? empty('pre-bend') : change.kind === 'release' ? empty('release', { offset }) : '',
    ],
    { shape: 'curved', 'first-beat': percent },
  );
}

/** What the elements alone would not say: a string that goes on, marks and their order, a path whose written times they do not tell. */
function hintsOf(written: WrittenNote, changes: readonly BendChange[], { divisions }: NoteStyle): readonly string[] {
  const { note, held } = written;
  const hints: string[] = [];
  if (note.kind === 'on') hints.push('on');
  if (note.marks.length > 0) hints.push(`marks ${note.marks.join(' ')}`);
  if (note.path.length > 0 && !reads(changes, note.length, divisions, note.path, held, note.kind === 'on'))
    hints.push(`path ${pathHint(note.path)}`);
  return hints;
}

/** True if bends on one undivided note are read back as the path. */
function reads(
  changes: readonly BendChange[],
  length: Ticks,
  divisions: number,
  path: WrittenNote['note']['path'],
  held: WrittenNote['held'],
  goesOn: boolean,
): boolean {
  if (changes.some((c) => c.timed)) return false;
  const bends = changes.map(
    (c): BendMark => ({
      alter: c.alter,
      kind: c.kind,
      ...(c.kind === 'release' && { offset: (c.begin * divisions) / QUARTER }),
    }),
  );
  const piece: BendPiece = { at: 0, length, divisions, bends };
  const back = pathFromBends([piece], { length: ticks(length), goesOn, held }, () => undefined);
  return JSON.stringify(back) === JSON.stringify(path);
}
