// Solo text -> Solo, with every fault of the file said at its place. Reading never throws for bad text.
import { hasFaults, inOrder, type Reading, valueOrThrow } from '../foundation/diagnostic.js';
import { ticks } from '../foundation/units.js';
import { type BarGrid, barGrid, type Changes, countAt, FAR_PAST, farPastTheChanges } from '../solo/changes.js';
import { AT_ANY_TIME, unplayable } from '../solo/playability.js';
import type { Phrase, Solo } from '../solo/solo.js';
import { CHANGES_WORDS, type ChangesReader, changesReader } from './changes-reader.js';
import { readHead } from './front-matter.js';
import { type Faults, faultsOf, type Line, lexLine, type Span, shown, unquote } from './lexer.js';
import { phraseReader, type ReadPhrase } from './phrase-reader.js';

/** The ending of a file that holds solo text. */
export const SOLO_ENDING = '.solo';

/** Text longer than this (characters) is refused: no solo is so long. */
export const LONGEST_TEXT = 64 * 1024 * 1024;

/**
 * Reads solo text. The result has every fault and warning in order of place. A fault in a phrase loses that phrase; a fault in the head or
 * in the changes loses the solo (`value` is `undefined`), since every answer would rest on it. Nothing is thrown for bad text.
 * @example
 * const text = '---\ntitle: Lantern Row\nplayer: Ada Fenwick\nkey: A minor\ntempo: 96\n---\nchanges\n  1 Am7 | D7\nphrase 1\nat 1 2&\n  e 5@2 8@2(0>2)~ h 5@2 |\n'
 * const { value, diagnostics } = parseSolo(text, 'lantern-row.solo')
 * diagnostics.map((d) => d.message) // => ['bar 1, filled from 2& on, holds 4.5 beats, 4 expected (one eighth too long)']
 */
export function parseSolo(text: string, file = ''): Reading<Solo> {
  if (text.length > LONGEST_TEXT) {
    const refused = faultsOf(text.slice(0, 1), file);
    refused.fault(
      'too-long',
      { start: 0, end: 1 },
      `the text has ${text.length} characters, at most ${LONGEST_TEXT} expected`,
    );
    return { value: undefined, diagnostics: refused.diagnostics };
  }
  const faults = faultsOf(text, file);
  const { head, bodyStart } = readHead(faults);
  const body = readBody(faults, bodyStart);
  const headFaults = faults.count();
  const changes = readChanges(faults, head, body);
  const grid = barGrid(head, changes.settings);
  const soloLost = hasFaults(faults.diagnostics);
  const read = body.phrases.map((lines) => {
    const reader = phraseReader(faults, lines[0] as Line, grid);
    for (const line of lines.slice(1)) reader.line(line);
    return reader.finish();
  });
  const phrases = keepWhole(faults, read, { ...head, remarks: body.remarks, changes, phrases: [] }, grid);
  if (body.phrases.length === 0 && headFaults === 0 && !hasFaults(faults.diagnostics))
    faults.add('no-phrases', 'warning', { start: bodyStart, end: bodyStart + 1 }, 'no phrase is written', {
      remedy: 'a phrase starts with a line such as phrase 1 "first call"',
    });
  pastTheChanges(faults, changes, read, grid);
  const solo: Solo = { ...head, remarks: body.remarks, changes, phrases };
  return { value: soloLost ? undefined : solo, diagnostics: inOrder(faults.diagnostics) };
}

/**
 * As {@link parseSolo}, but throws a {@link FaultError} that lists every fault if there is any.
 * @example
 * parseSoloOrThrow(EXAMPLE_SOLO).title // => 'Two Doors Down'
 * parseSoloOrThrow('phrase 1') // => throws the head is missing
 */
export const parseSoloOrThrow = (text: string, file = ''): Solo => valueOrThrow(parseSolo(text, file));

interface Body {
  readonly changes: Line[];
  readonly phrases: Line[][];
  readonly remarks: string[];
}

/** Sorts the lines behind the head into changes, phrases and remarks. */
function readBody(faults: Faults, from: number): Body {
  const { text, lineStarts } = faults.source;
  const body: Body = { changes: [], phrases: [], remarks: [] };
  let into: Line[] | undefined;
  let inChanges = false;
  let changesSeen = false;
  for (let i = lineIndexFrom(lineStarts, from); i < lineStarts.length; i++) {
    const line = lexLine(faults, lineStarts[i] as number, lineStarts[i + 1] ?? text.length);
    if (line.words.length === 0) continue;
    const w = text.slice(line.words[0], line.words[1]);
    const span: Span = { start: line.words[0] as number, end: line.words[1] as number };
    if (w === 'changes') {
      if (changesSeen)
        faults.fault('changes-twice', span, 'a solo has one block of changes', {
          remedy: 'put all its lines into the first',
        });
      changesSeen = true;
      inChanges = true;
      into = body.changes;
      if (line.words.length > 2) into.push({ ...line, words: line.words.slice(2) });
    } else if (w === 'phrase') {
      inChanges = false;
      into = [line];
      body.phrases.push(into);
    } else if (w === 'say' && (into === undefined || inChanges)) {
      const said =
        line.words.length === 4 ? { start: line.words[2] as number, end: line.words[3] as number } : undefined;
      if (said && text[said.start] === '"') body.remarks.push(unquote(faults, said));
      else faults.fault('bad-say', span, 'say has a text in quotes behind it', { remedy: 'as in say "let it ring"' });
    } else if (into === undefined) {
      const isChange = /^\d+$/.test(w) || (CHANGES_WORDS as readonly string[]).includes(w);
      faults.fault(
        'stray-line',
        { start: span.start, end: line.words[line.words.length - 1] as number },
        `"${shown(w)}" stands before any changes or phrase`,
        {
          remedy: isChange ? 'put a line changes before it' : 'put a line such as phrase 1 before it',
        },
      );
    } else into.push(line);
  }
  return body;
}

function lineIndexFrom(lineStarts: readonly number[], offset: number): number {
  const found = lineStarts.findIndex((start) => start >= offset);
  return found < 0 ? lineStarts.length : found;
}

function readChanges(faults: Faults, head: Parameters<typeof changesReader>[1], body: Body): Changes {
  const reader: ChangesReader = changesReader(faults, head);
  for (const line of body.changes) reader.line(line);
  return reader.finish();
}

/** The phrases that are whole: read without fault, playable, in order, with ids of their own. Trailing rests give way to the next entry. */
function keepWhole(faults: Faults, read: readonly ReadPhrase[], solo: Solo, grid: BarGrid): Phrase[] {
  const kept: Phrase[] = [];
  const ids = new Set<string>();
  let lastNotesEnd = 0;
  let earlier: Phrase | 'unknown' | undefined; // the phrase before, kept or not: its strings may sound into this one
  const say = (tick: number) => {
    const place = grid.place(ticks(tick));
    return `bar ${place.bar.number} ${countAt(place)}`;
  };
  for (const { phrase, spans, head, broken, placed } of read) {
    const before = faults.count();
    if (ids.has(phrase.id))
      faults.fault('phrase-twice', head, `there is a phrase ${shown(phrase.id)} already`, {
        remedy: 'give it an id of its own',
      });
    ids.add(phrase.id);
    const far = placed ? farPastTheChanges(solo.changes, grid.place(phrase.at).bar.number) : undefined;
    if (far) {
      const { message, ...facts } = far;
      faults.fault('far-past-the-changes', head, `phrase ${shown(phrase.id)} ${message}`, facts);
    }
    // Also of a phrase that has other faults: that it comes in too early may be the cause of them.
    const last = kept[kept.length - 1];
    if ((!broken || placed) && last && phrase.at < lastNotesEnd)
      faults.fault(
        'phrase-overlap',
        head,
        `phrase ${shown(phrase.id)} comes in at ${say(phrase.at)}, before phrase ${shown(last.id)} has ended (${say(lastNotesEnd)})`,
        {
          remedy: 'phrases stand in order of time; let the one before end earlier',
        },
      );
    for (const { note, message, severity, code, ...facts } of unplayable(phrase, solo.guitar, earlier))
      if (!broken || AT_ANY_TIME.has(code)) faults.add(code, severity, spans[note] as Span, message, facts);
    earlier = broken ? 'unknown' : phrase;
    if (broken || faults.count() > before) continue; // a lost phrase takes nothing of the others with it
    if (last) kept[kept.length - 1] = upTo(last, phrase.at);
    kept.push(phrase);
    lastNotesEnd = phrase.notes.reduce((end, n) => Math.max(end, n.onset + n.length), phrase.at as number);
  }
  return kept;
}

/** A phrase whose trailing rests (and what is damped in them) end where the next phrase comes in. */
function upTo(phrase: Phrase, end: number): Phrase {
  if (phrase.at + phrase.length <= end) return phrase;
  return { ...phrase, length: ticks(end - phrase.at), damps: phrase.damps.filter((d) => d <= end) };
}

function pastTheChanges(
  faults: Faults,
  changes: Changes,
  read: readonly ReadPhrase[],
  grid: ReturnType<typeof barGrid>,
): void {
  if (changes.bars.length === 0) return;
  const end = grid.bar(changes.firstBar + changes.bars.length).start;
  const last = changes.firstBar + changes.bars.length - 1;
  const far = grid.bar(last + 1 + FAR_PAST).start;
  const over = read.find((r) => r.phrase.at < far && r.phrase.notes.some((n) => n.onset >= end));
  if (over && !over.broken)
    faults.add(
      'past-the-changes',
      'warning',
      over.head,
      `phrase ${shown(over.phrase.id)} runs past bar ${last}, the last of the changes; its last chord is taken to hold`,
      { remedy: 'write the changes to the end' },
    );
}
