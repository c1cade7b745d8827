// The head of a solo text: YAML between two lines of ---, every value a plain text with its place.
import { createRequire } from 'node:module';
import type * as Yaml from 'yaml';
import { nearest } from '../foundation/nearest.js';
import { parseTuning, STANDARD_TUNING } from '../guitar/fretboard.js';
import { type Feel, type Opening, parseFeel } from '../solo/changes.js';
import { EMPTY_SOLO, type Solo } from '../solo/solo.js';
import { parseMeter } from '../theory/meter.js';
import { type Key, parseKey } from '../theory/scale.js';
import { checkHash, type Faults, type Span, shown } from './lexer.js';

/** The fields of the head. */
export const FIELDS = ['title', 'player', 'key', 'meter', 'tempo', 'feel', 'tuning', 'capo', 'frets', 'tone'] as const;
type Field = (typeof FIELDS)[number];
const REQUIRED: readonly Field[] = ['title', 'player', 'key', 'tempo'];

/** What the head says of a solo. */
export type Head = Pick<Solo, 'title' | 'player' | 'key' | 'meter' | 'tempo' | 'feel' | 'guitar' | 'tone'>;

// Loaded at the first call: a YAML reader takes longer to load than all the rest of the reading.
let yaml: typeof Yaml | undefined;
const loadYaml = (): typeof Yaml => {
  yaml ??= createRequire(import.meta.url)('yaml') as typeof Yaml;
  return yaml;
};

/** Reads the head. `bodyStart` is the offset behind its closing line. */
export function readHead(faults: Faults): { readonly head: Head; readonly bodyStart: number } {
  const { text, lineStarts } = faults.source;
  const lineAt = (i: number) => text.slice(lineStarts[i], lineStarts[i + 1] ?? text.length).trim();
  let first = 0;
  while (
    first < lineStarts.length &&
    (lineAt(first) === '' ||
      lineAt(first) === '\ufeff' ||
      (lineAt(first).startsWith('#') && !lineAt(first).startsWith('---')))
  )
    first++;
  if (lineAt(first).replace('\ufeff', '') !== '---') {
    faults.fault(
      'no-head',
      { start: 0, end: Math.min(1, text.length) },
      'the head is missing: title, player, key and tempo between two lines of ---',
      {
        remedy: 'start the file with ---, a line each for title:, player:, key: and tempo:, and --- again',
      },
    );
    return { head: { ...EMPTY_SOLO }, bodyStart: 0 };
  }
  let last = first + 1;
  while (last < lineStarts.length && lineAt(last) !== '---' && !/^(changes|phrase)\b/.test(lineAt(last))) last++;
  const start = lineStarts[first + 1] ?? text.length;
  const end = lineStarts[last] ?? text.length;
  if (lineAt(last) !== '---')
    faults.fault(
      'head-open',
      { start: lineStarts[first] as number, end: (lineStarts[first] as number) + 3 },
      'the head is not closed',
      {
        remedy: 'end it with a line of ---',
      },
    );
  for (let i = first + 1; i < last; i++) checkHashes(faults, lineStarts[i] as number, lineStarts[i + 1] ?? text.length);
  const fields = readFields(faults, start, end);
  const bodyStart = lineAt(last) === '---' ? (lineStarts[last + 1] ?? text.length) : end;
  return {
    head: headOf(faults, fields, { start: lineStarts[first] as number, end: (lineStarts[first] as number) + 3 }),
    bodyStart,
  };
}

function checkHashes(faults: Faults, start: number, end: number): void {
  const { text } = faults.source;
  const quoted = /^\s*\w+:\s+("(?:[^"\\]|\\.)*"|'[^']*')/.exec(text.slice(start, end)); // a # in quotes is no comment
  for (let i = start + (quoted?.[0].length ?? 0); i < end; i++)
    if (text[i] === '#' && (i === start || /\s/.test(text[i - 1] as string))) {
      checkHash(faults, i, end);
      return;
    }
}

/** A head longer than this (characters) is not read: the file is something else. */
const LONGEST_HEAD = 65536;

type Fields = Map<Field, { readonly text: string; readonly span: Span }>;

function readFields(faults: Faults, start: number, end: number): Fields {
  const fields: Fields = new Map();
  const { parseDocument, isMap, isScalar } = loadYaml();
  // YAML 1.2 knows a lone CR as a line end, the library does not; one character for one keeps the places.
  const text = faults.source.text.slice(start, end).replace(/\r(?!\n)/g, '\n');
  let doc: ReturnType<typeof parseDocument> | undefined;
  try {
    if (text.length <= LONGEST_HEAD)
      doc = parseDocument(text, { schema: 'failsafe', prettyErrors: false, logLevel: 'silent' });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error; // lists in lists in lists: the library runs out of stack
  }
  if (!doc) {
    faults.fault('bad-head', { start, end: start + 1 }, 'the head is too long or too tangled to be read', {
      remedy: 'a line each as name: text, and --- behind the last',
    });
    return fields;
  }
  for (const error of doc.errors) {
    const span = { start: start + error.pos[0], end: Math.max(start + error.pos[0] + 1, start + error.pos[1]) };
    if (error.code === 'DUPLICATE_KEY')
      faults.fault('bad-head', span, 'a field of the head is written twice', { remedy: 'keep one of the two' });
    else
      faults.fault('bad-head', span, `the head cannot be read: ${error.message}`, {
        remedy: 'a line each as name: text; put a text with a colon in "quotes"',
      });
  }
  if (doc.contents === null) return fields;
  if (!isMap(doc.contents)) {
    if (doc.errors.length === 0)
      faults.fault('bad-head', { start, end }, 'the head is a list of name: text', {
        remedy: 'as in title: Lantern Row',
      });
    return fields;
  }
  for (const item of doc.contents.items) {
    const name = isScalar(item.key) ? String(item.key.value) : '';
    const range = isScalar(item.key) && item.key.range ? item.key.range : [0, 1];
    const span = { start: start + (range[0] as number), end: start + (range[1] as number) };
    const known = FIELDS.find((f) => f === name);
    if (!known) {
      const near = nearest(name, FIELDS, 2);
      faults.fault('unknown-field', span, `"${shown(name)}" is not a field of the head`, {
        expected: FIELDS.join(', '),
        remedy: near ? `did you mean ${near}?` : `fields: ${FIELDS.join(', ')}`,
      });
      continue;
    }
    if (!isScalar(item.value)) {
      if (item.value === null) faults.fault('empty-field', span, `${name} is empty`);
      else
        faults.fault('bad-field', span, `${name} is one plain text`, {
          remedy: `as in ${name}: ...; put a text with special marks in "quotes"`,
        });
      continue;
    }
    const value = item.value.value;
    const at = item.value.range
      ? { start: start + item.value.range[0], end: start + Math.max(item.value.range[1], item.value.range[0] + 1) }
      : span;
    fields.set(known, { text: value === null || value === undefined ? '' : String(value), span: at });
  }
  return fields;
}

function headOf(faults: Faults, fields: Fields, headSpan: Span): Head {
  const bad = (field: Field, expected: string, remedy?: string) => {
    const { text, span } = fields.get(field) as { text: string; span: Span };
    faults.fault('bad-field', span, `${field}: "${shown(text)}" is not ${expected}`, {
      found: text,
      expected,
      ...(remedy !== undefined && { remedy }),
    });
  };
  for (const field of REQUIRED)
    if (!fields.get(field)?.text.trim())
      faults.fault('missing-field', fields.get(field)?.span ?? headSpan, `the head has no ${field}`, {
        remedy: `add a line ${field}: ${EXAMPLES[field]}`,
      });
  const text = (field: Field) => fields.get(field)?.text.trim();
  const whole = (field: Field, low: number, high: number, otherwise: number): number => {
    const value = text(field);
    if (value === undefined || value === '') return otherwise;
    if (/^\d+$/.test(value) && Number(value) >= low && Number(value) <= high) return Number(value);
    bad(field, `a whole number from ${low} to ${high}`, `as in ${field}: ${field === 'capo' ? 2 : otherwise}`);
    return otherwise;
  };
  let key: Key = EMPTY_SOLO.key;
  const keyField = text('key');
  if (keyField) {
    const read = readKey(keyField);
    if ('names' in read) key = read;
    else bad('key', `a key: ${read.reason}`, read.suggestion && `did you mean ${read.suggestion}?`);
  }
  let meter = EMPTY_SOLO.meter;
  const meterField = text('meter');
  if (meterField) {
    const read = parseMeter(meterField);
    if (read) meter = read;
    else bad('meter', 'a meter, such as 4/4 or 6/8', 'as in meter: 12/8');
  }
  let tempo = EMPTY_SOLO.tempo;
  const tempoField = text('tempo');
  if (tempoField) {
    const read = parseTempo(tempoField);
    if (read) tempo = read;
    else bad('tempo', 'quarter notes a minute, from 20 to 400', 'as in tempo: 96');
  }
  let feel: Feel = EMPTY_SOLO.feel;
  const feelField = text('feel');
  if (feelField) {
    const read = parseFeel(feelField);
    if (read) feel = read;
    else bad('feel', 'a feel', 'straight, or which value swings and how far: swing e 2:1');
  }
  let tuning = STANDARD_TUNING;
  const tuningField = text('tuning');
  if (tuningField) {
    const read = parseTuning(tuningField);
    if (read) tuning = read;
    else bad('tuning', 'four to eight open strings from low to high', 'as in E2 A2 D3 G3 B3 E4');
  }
  const guitar = { tuning, capo: whole('capo', 0, 12, 0), frets: whole('frets', 12, 36, 24) };
  return {
    title: text('title') || EMPTY_SOLO.title,
    player: text('player') ?? '',
    key,
    meter,
    tempo,
    feel,
    guitar,
    tone: text('tone') ?? '',
  };
}

const EXAMPLES: Readonly<Partial<Record<Field, string>>> = {
  title: 'Lantern Row',
  player: 'the name of the player',
  key: 'A minor',
  tempo: '96',
};

/** A key from text of any length: no key is longer than a few words, and a long text is not looked through for one. */
export const readKey = (text: string): ReturnType<typeof parseKey> =>
  text.length > 40 ? { reason: 'a key is a note name and a mode, such as "A minor"' } : parseKey(text);

/** Quarter notes a minute, 20 to 400, from text. */
export function parseTempo(text: string): number | undefined {
  const value = Number(text);
  return /^\d{2,3}(\.\d+)?$/.test(text.trim()) && value >= 20 && value <= 400 ? value : undefined;
}

/** One setting of the changes from its text: `meter 3/4`, `tempo 80`, `key G major`, `feel straight`; or why it is none. */
export function readOpening(
  name: 'meter' | 'tempo' | 'key' | 'feel',
  value: string,
): Partial<Opening> | { reason: string } {
  if (name === 'meter') {
    const meter = parseMeter(value);
    return meter ? { meter } : { reason: 'a meter such as 3/4 expected' };
  }
  if (name === 'tempo') {
    const tempo = parseTempo(value);
    return tempo ? { tempo } : { reason: 'quarter notes a minute, 20 to 400, expected' };
  }
  if (name === 'key') {
    const key = readKey(value);
    return 'names' in key
      ? { key }
      : { reason: key.suggestion ? `${key.reason}; did you mean ${key.suggestion}?` : key.reason };
  }
  const feel = parseFeel(value);
  return feel ? { feel } : { reason: 'straight, or swing e 2:1 expected' };
}
