// Faults of the JSON form: each at its line and column, in words, with what is lost by it.
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readSoloJson, type SoloJson } from '../../lib/exchange/json.js';
import { type Diagnostic, diagnosticText } from '../../lib/foundation/diagnostic.js';
import { FULL } from './json-samples.js';

const root = new URL('../../', import.meta.url);

/** Line and column of the one place where a piece of text stands, counted anew here. */
function lineAndColumn(text: string, piece: string): string {
  const at = text.indexOf(piece);
  expect(at, `${piece} stands in the text`).toBeGreaterThanOrEqual(0);
  const before = text.slice(0, at).split('\n');
  return `${before.length}:${(before.at(-1) as string).length + 1}`;
}

interface Case {
  readonly code: string;
  /** What of FULL is replaced by what. */
  readonly from: string;
  readonly to: string;
  /** Where the fault is: the start of this piece of the changed text. */
  readonly at: string;
  readonly message: string;
  readonly remedy?: string;
  /** What is lost; a phrase by default. */
  readonly lost?: 'solo' | 'nothing';
}

const NOTE_151 = '{ "onset": 151200, "length": 10080, "string": 4, "fret": 2, "slideAway": true }';
const LAST = '"notes": [{ "onset": 241920, "length": 20160, "string": 6, "fret": 0 }]';
// biome-ignore format: a table, one case to a line
const CASES: readonly Case[] = [
  // The text
  { code: 'bad-json', from: '"capo": 2,', to: '"capo": 2', at: '"frets"', message: '"frets" stands where a comma or the end of an object is expected', remedy: 'write a comma between the two', lost: 'solo' },
  { code: 'field-twice', from: '"capo": 2', to: '"capo": 2, "capo": 3', at: '"capo": 3', message: '"capo" is written twice in one object', remedy: 'keep one of the two', lost: 'solo' },
  { code: 'field-twice', from: '"string": 6,', to: '"string": 6, "str\\u0069ng": 5,', at: '"str\\u0069ng"', message: '"str\\u0069ng" is written twice in one object' },
  { code: 'too-deep', from: '["slow at first"]', to: '['.repeat(70), at: `${'['.repeat(7)},\n`, message: 'lists or objects stand more than 64 deep in each other', lost: 'solo' },
  // What kind of file
  { code: 'not-a-solo', from: 'phrasewright solo', to: 'shopping list', at: '"shopping list"', message: 'this is not the JSON form of a solo, which says "format": "phrasewright solo"', lost: 'solo' },
  { code: 'newer-version', from: '"version": 1', to: '"version": 4', at: '4,\n  "ticks', message: 'the file is of version 4, and versions up to 1 are read here', remedy: 'read it with a newer phrasewright', lost: 'solo' },
  // The form
  { code: 'bad-value', from: '"version": 1', to: '"version": 0', at: '0,\n', message: 'version: found 0, 1 expected', lost: 'solo' },
  { code: 'bad-value', from: '20160,\n  "title"', to: '480,\n  "title"', at: '480', message: 'ticksPerQuarter: found 480, 20160 expected', lost: 'solo' },
  { code: 'bad-value', from: '"tempo": 96', to: '"tempo": 500', at: '500', message: 'tempo: found 500, 20 to 400 expected', remedy: 'Quarter notes a minute.', lost: 'solo' },
  { code: 'bad-value', from: '"tempo": 96', to: '"tempo": 1e999', at: '1e999', message: 'tempo: found a number beyond all bounds, a number expected', lost: 'solo' },
  { code: 'bad-value', from: '"meter": "4/4",\n  "t', to: '"meter": "common",\n  "t', at: '"common"', message: 'meter: found "common", a text such as "4/4" expected', lost: 'solo' },
  { code: 'bad-value', from: '"meter": "4/4",\n  "t', to: '"meter": "4/3",\n  "t', at: '"4/3"', message: 'meter: "4/3" is not a meter', lost: 'solo' },
  { code: 'bad-value', from: '"A minor"', to: '"A mynor"', at: '"A mynor"', message: 'key: "A mynor" is not a key: "mynor" is not a mode', remedy: 'did you mean "A minor"?', lost: 'solo' },
  { code: 'bad-value', from: '"swing e 2:1"', to: '"swing e 0:1"', at: '"swing e 0:1"', message: 'feel: "swing e 0:1" is not a feel', lost: 'solo' },
  { code: 'bad-value', from: '"D2"', to: '"G#9"', at: '"G#9"', message: 'tuning, entry 1: "G#9" is no MIDI key', lost: 'solo' },
  { code: 'bad-value', from: '"D2", "A2", "D3", ', to: '', at: '["G3"', message: 'tuning: found a list of 3, at least 4 in the list expected', lost: 'solo' },
  { code: 'bad-value', from: '"string": 6, "fret": 0', to: '"string": "6", "fret": 0', at: '"6"', message: 'phrase b-2, note 1, string: found "6", a whole number expected', remedy: 'The number of its string; 1 is the highest.' },
  { code: 'bad-value', from: '"kind": "dead"', to: '"kind": "deaf"', at: '"deaf"', message: 'phrase 1, note 7, kind: found "deaf", one of "dead", "on" expected', remedy: 'did you mean "dead"?' },
  { code: 'bad-value', from: '"kind": "dead"', to: '"kind": "dead", "fret": 3', at: '{ "onset": 141120, "length": 10080, "string": 4', message: 'phrase 1, note 7: found an object, a fret or a kind, not both expected' },
  { code: 'bad-value', from: '"string": 6, "fret": 0', to: '"string": 6', at: '{ "onset": 241920', message: 'phrase b-2, note 1: found an object, a fret, or a kind that has none expected' },
  { code: 'bad-value', from: '"cents": 150', to: '"cents": 130', at: '130', message: 'phrase 1, note 4, bend level 3, cents: found 130, a multiple of 50 expected' },
  { code: 'bad-value', from: '["ghost", "1"]', to: '["ghost", "1", "ghost"]', at: '"ghost"]', message: 'phrase 1, note 6, mark 3: found "ghost", each one once expected' },
  { code: 'bad-value', from: '{ "bar": 2, "meter": "6/8", "tempo": 90.5 }', to: '{ "bar": 2 }', at: '{ "bar": 2 }', message: 'setting 1: found an object, meter, key, tempo or feel beside the bar expected', lost: 'solo' },
  { code: 'bad-value', from: '[{ "symbol": "N.C." }]', to: '[]', at: '[],', message: 'bar 2: found a list of 0, at least 1 in the list expected', lost: 'solo' },
  { code: 'missing-field', from: '  "title": "Lantern Row",\n', to: '', at: '{', message: 'the solo: "title" is missing', remedy: 'add "title": "Lantern Row" (The name of the solo.)', lost: 'solo' },
  { code: 'missing-field', from: '"length": 20160, "string": 6', to: '"string": 6', at: '{ "onset": 241920', message: 'phrase b-2, note 1: "length" is missing' },
  { code: 'unknown-field', from: '"fret": 0', to: '"frett": 0', at: '"frett"', message: 'phrase b-2, note 1: there is no field "frett"', remedy: 'did you mean "fret"?' },
  { code: 'unknown-field', from: '"capo": 2', to: '"__proto__": {}, "capo": 2', at: '"__proto__"', message: 'the solo: there is no field "__proto__"', lost: 'solo' },
  // The changes
  { code: 'unknown-chord', from: '"D7"', to: '"Djmaj7"', at: '"Djmaj7"', message: 'bar 1, chord 2, symbol: the chord "Djmaj7" is not known: "jmaj7" is not a chord type', remedy: 'did you mean "Dmaj7"?', lost: 'solo' },
  { code: 'chord-beat', from: '"at": 40320', to: '"at": 80640', at: '80640, "symbol"', message: 'bar 1, chord 2, at: tick 80640 is not in the bar', lost: 'solo' },
  { code: 'chord-beat', from: '"at": 40320, ', to: '', at: '{ "symbol": "D7"', message: 'bar 1, chord 2: it comes at tick 0, not after the chord before it, at 0', lost: 'solo' },
  { code: 'setting-order', from: '"bar": 3', to: '"bar": 2', at: '2, "meter": "4/4"', message: 'setting 2, bar: bar 2 stands behind bar 2', lost: 'solo' },
  { code: 'section', from: '"from": 1, "to": 3', to: '"from": 3, "to": 1', at: '{ "name": "verse"', message: 'section 1: it ends with bar 1, before its first bar, 3', lost: 'solo' },
  // The phrases
  { code: 'phrase-twice', from: '"b-2"', to: '"1"', at: '"1",\n      "at": 241920', message: 'phrase 1, id: there is a phrase 1 already' },
  { code: 'phrase-overlap', from: `"at": 241920,\n      "length": 20160,\n      ${LAST}`, to: `"at": 151200,\n      "length": 20160,\n      ${LAST.replace('241920', '151200')}`, at: '151200,\n', message: 'phrase b-2, at: it comes in at bar 1, 4&, before phrase 1 has ended (bar 2, 1)' },
  { code: 'bar-number', from: '"at": 241920', to: '"at": 25804800000', at: '25804800000', message: 'phrase b-2, at: it lasts beyond bar 9999' },
  { code: 'outside-phrase', from: '"onset": 241920', to: '"onset": 241921', at: '241921', message: 'phrase b-2, note 1, onset: it lasts from 241921 to 262081, its phrase from 241920 to 262080' },
  { code: 'note-order', from: `{ "onset": 151200, "length": 10080, "string": 4`, to: '{ "onset": 141120, "length": 10080, "string": 3', at: '{ "onset": 141120, "length": 10080, "string": 3', message: 'phrase 1, note 8: it stands behind a note that comes after it' },
  { code: 'note-overlap', from: '"onset": 151200', to: '"onset": 151199', at: '151199', message: 'phrase 1, note 8, onset: it starts at 151199, while the note before it lasts until 151200', remedy: 'shorten the one before; to let it sound on, add "ring": true to it' },
  { code: 'string-twice', from: '"string": 4, "kind"', to: '"string": 1, "kind"', at: '1, "kind"', message: 'phrase 1, note 7, string: two notes on string 1 at once' },
  { code: 'grace-length', from: '0, "grace": 1', to: '5, "grace": 1', at: '5, "grace": 1', message: 'phrase 1, note 2, length: a grace note has length 0: it takes its time from the note it leads to' },
  { code: 'grace-length', from: '20160, "string": 6', to: '0, "string": 6', at: '0, "string": 6', message: 'phrase b-2, note 1, length: only a grace note has length 0' },
  { code: 'grace-on', from: '"string": 3, "fret": 5', to: '"string": 3, "kind": "on"', at: '"on" },\n        { "onset": 80640', message: 'phrase 1, note 1, kind: a string that goes on sounding is no grace note' },
  { code: 'grace-to-nothing', from: NOTE_151, to: NOTE_151.replace('10080', '0, "grace": 1'), at: '1, "string": 4, "fret": 2', message: 'phrase 1, note 8, grace: a grace note leads to a note, and none stands at its onset' },
  { code: 'grace-number', from: '"grace": 2', to: '"grace": 3', at: '3, "string": 3', message: 'phrase 1, note 1, grace: grace 3 is followed by 1, and 2 is missing' },
  { code: 'bad-value', from: '"kind": "on"', to: '"kind": "on", "start": "picked"', at: '"picked"', message: 'phrase 1, note 5, start: found "picked", nothing expected', remedy: 'a string that goes on sounding is not played again: take it away' },
  { code: 'null-level', from: '{ "cents": null }, ', to: '{ "cents": 150 }, { "cents": null }, ', at: '{ "cents": null }', message: 'phrase 1, note 5, bend level 2: null (as held) stands only as the first of several levels, without ticks' },
  { code: 'damp-place', from: '[141120]', to: '[141120, 141120]', at: '141120],', message: 'phrase 1, damp 2: 141120 stands behind 141120' },
  { code: 'damp-place', from: '[141120]', to: '[141120, 161281]', at: '161281', message: 'phrase 1, damp 2: 161281 lies outside its phrase, 80640 to 161280' },
  { code: 'remark-place', from: '"at": 100800', to: '"at": 100801', at: '100801', message: 'phrase 1, remark 2, at: no note starts at 100801' },
  // The hand
  { code: 'bend-time', from: '"ticks": 5040', to: '"ticks": 20160', at: '{ "onset": 100800', message: 'phrase 1, note 4: the levels of the bend take one quarter, the note lasts one quarter: nothing is left for the untimed ones' },
  { code: 'level-jump', from: '"cents": null', to: '"cents": 200', at: '{ "onset": 120960', message: 'phrase 1, note 5: string 2 is held at 1.5, the path starts at 2' },
  { code: 'same-level', from: '{ "cents": null }, { "cents": 0 }', to: '{ "cents": null }, { "cents": 150 }', at: '{ "onset": 120960', message: 'phrase 1, note 5: string 2 is at 1.5 already', remedy: 'write @2 alone if it just goes on at 1.5' },
  { code: 'off-the-neck', from: '"fret": 0', to: '"fret": 21', at: '{ "onset": 241920', message: 'phrase b-2, note 1: fret 21 is off the neck, 0 to 20 expected, counted from the capo at 2' },
  { code: 'no-such-string', from: '"string": 6', to: '"string": 7', at: '{ "onset": 241920', message: 'phrase b-2, note 1: string 7 is not there, a string from 1 (highest) to 6 expected' },
  // Warnings
  { code: 'large-bend', from: '"string": 6, "fret": 0', to: '"string": 6, "fret": 0, "bend": [{ "cents": 0 }, { "cents": 450 }]', at: '{ "onset": 241920', message: "phrase b-2, note 1: a bend of 4.5 frets' worth; more than 4 is rarely playable and strains hand and string", lost: 'nothing' },
  { code: 'pull-silent', from: '"string": 6, "fret": 0', to: '"string": 6, "fret": 0, "start": "pulled"', at: '{ "onset": 241920', message: 'phrase b-2, note 1: pulled off to fret 0, but string 6 is not sounding', remedy: 'picked? write 0@6', lost: 'nothing' },
  { code: 'past-the-changes', from: `"at": 241920,\n      "length": 20160,\n      ${LAST}`, to: `"at": 302400,\n      "length": 20160,\n      ${LAST.replace('241920', '302400')}`, at: '{\n      "id": "b-2"', message: 'phrase b-2: it runs past bar 3, the last of the changes; its last chord is taken to hold', lost: 'nothing' },
  { code: 'far-past-the-changes', from: `"at": 241920,\n      "length": 20160,\n      ${LAST}`, to: `"at": 806400,\n      "length": 20160,\n      ${LAST.replace('241920', '806400')}`, at: '806400,\n      "length"', message: 'phrase b-2, at: it comes in in bar 10, and the changes have 3' },
];

describe('faults', () => {
  it.each(CASES)('$code: $message', ({ code, from, to, at, message, remedy, lost }) => {
    expect(FULL.split(from), 'what is replaced stands once').toHaveLength(2);
    const text = FULL.replace(from, () => to);
    const { value, diagnostics } = readSoloJson(text, 'pier.json');
    expect(diagnostics.map((d) => d.code)).toEqual([code]);
    const said = diagnostics[0] as Diagnostic;
    expect(said.message).toBe(message);
    expect(said.file).toBe('pier.json');
    expect(`${said.place.line}:${said.place.column}`).toBe(lineAndColumn(text, at));
    if (remedy !== undefined) expect(said.remedy).toBe(remedy);
    expect(said.severity).toBe(lost === 'nothing' ? 'warning' : 'fault');
    const left =
      lost === 'nothing'
        ? ['1', 'b-2']
        : message.startsWith('phrase 1, id')
          ? ['1']
          : message.startsWith('phrase 1')
            ? ['b-2']
            : ['1'];
    expect(value?.phrases.map((p) => p.id)).toEqual(lost === 'solo' ? undefined : left);
  });

  it('has a case for every code that it can say itself', () => {
    const codes = readdirSync(new URL('lib/exchange/', root))
      .filter((name) => /^json.*\.ts$/.test(name))
      .flatMap((name) => {
        const text = readFileSync(new URL(`lib/exchange/${name}`, root), 'utf8');
        return [...text.matchAll(/(?:code: |fault\(\s*)'([a-z-]+)'/g)].map((m) => m[1] as string);
      });
    expect(codes.length).toBeGreaterThan(15);
    const elsewhere = ['too-long', 'no-phrases']; // tested below
    expect([...new Set(codes)].filter((c) => !elsewhere.includes(c) && !CASES.some((k) => k.code === c))).toEqual([]);
  });

  it('says all faults of a text, in order of place, and reads what is whole', () => {
    const text = FULL.replace('"A minor"', '"A mynor"')
      .replace('"D7"', '"Dx"')
      .replace('"kind": "dead"', '"kind": "deaf"')
      .replace('"string": 6', '"string": 7');
    const { value, diagnostics } = readSoloJson(text);
    expect(value).toBeUndefined();
    expect(diagnostics.map((d) => d.code)).toEqual(['bad-value', 'unknown-chord', 'bad-value', 'no-such-string']);
  });

  it('reads the phrases around one that is nothing', () => {
    const late = CASES.find((c) => c.code === 'past-the-changes') as Case;
    const text = FULL.replace(late.from, () => late.to).replace('"phrases": [', '"phrases": [null, 7, [],');
    const { value, diagnostics } = readSoloJson(text);
    expect(value?.phrases.map((p) => p.id)).toEqual(['1', 'b-2']);
    expect(diagnostics.map((d) => d.message)).toEqual([
      'phrase in place 1: found null, an object { ... } expected',
      'phrase in place 2: found 7, an object { ... } expected',
      'phrase in place 3: found a list of 0, an object { ... } expected',
      late.message,
    ]);
  });

  it('knows that a string may sound into a phrase from the one before', () => {
    const { phrases: _, ...head } = JSON.parse(FULL) as SoloJson;
    const note = { onset: 0, length: 80640, string: 1, fret: 8 };
    const pulled = { ...note, onset: 80640, fret: 5, start: 'pulled' };
    const codes = (first: object) =>
      readSoloJson(
        JSON.stringify({
          ...head,
          phrases: [
            { id: '1', at: 0, length: 80640, notes: [first] },
            { id: '2', at: 80640, length: 80640, notes: [pulled] },
          ],
        }),
      ).diagnostics.map((d) => d.code);
    expect(codes(note)).toEqual([]);
    expect(codes({ ...note, length: 40320 })).toEqual(['pull-silent']);
    expect(codes({ ...note, length: 40320, ring: true })).toEqual([]);
    expect(codes({ ...note, length: 40320, ring: 'yes' })).toEqual(['bad-value']); // nobody knows how long it sounds
  });

  it('shows the place in the text', () => {
    const text = FULL.replace('"fret": 0', '"frett": 0');
    const said = readSoloJson(text, 'pier.json').diagnostics[0] as Diagnostic;
    expect(diagnosticText(said, text.split('\n')[said.place.line - 1])).toBe(
      [
        'pier.json:54:66 phrase b-2, note 1: there is no field "frett"',
        '   54 |       "notes": [{ "onset": 241920, "length": 20160, "string": 6, "frett": 0 }]',
        `      | ${' '.repeat(65)}^^^^^^^`,
        '        did you mean "fret"?',
      ].join('\n'),
    );
  });

  it('warns of a solo without phrases, and refuses a text of a length that no solo has', () => {
    const { phrases: _, ...head } = JSON.parse(FULL) as SoloJson;
    const { value, diagnostics } = readSoloJson(JSON.stringify({ ...head, phrases: [] }));
    expect(value?.phrases).toEqual([]);
    expect(diagnostics.map((d) => [d.code, d.severity])).toEqual([['no-phrases', 'warning']]);
    expect(readSoloJson(' '.repeat(64 * 1024 * 1024 + 1)).diagnostics.map((d) => d.code)).toEqual(['too-long']);
  });
});
