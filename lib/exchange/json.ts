// JSON text -> Solo, with every fault said at its line and column; and the other way, from json-form.ts.
import { type Diagnostic, inOrder, type Reading } from '../foundation/diagnostic.js';
import { placeOf, sourceText } from '../foundation/source-text.js';
import { ticks } from '../foundation/units.js';
import { STANDARD_GUITAR } from '../guitar/fretboard.js';
import { barGrid, countAt, farPastTheChanges, type Opening } from '../solo/changes.js';
import { unplayable } from '../solo/playability.js';
import { EMPTY_SOLO, type Phrase, phraseEnd, type Solo } from '../solo/solo.js';
import { readChanges, readOpening, readTuning } from './json-changes.js';
import { type Check, entriesOf, type Finding, nameOf, placed, schemaFindings } from './json-check.js';
import { SOLO_FORMAT, SOLO_FORMAT_VERSION, type SoloJson } from './json-form.js';
import { checkNotes, checkTimes, phraseOf } from './json-phrase.js';
import { type JsonFault, pointerAround, pointerTo, walkJson } from './json-place.js';

export { printSoloJson, type SoloJson, soloToJson } from './json-form.js';

/** Text longer than this (characters) is refused: no solo is so long. */
const LONGEST_TEXT = 64 * 1024 * 1024;

/** The last bar that a phrase may reach: a slip in a number must not lay out millions of bars. */
const LAST_BAR = 9999;
/** Ticks of the shortest bar there is, 1/32. */
const SHORTEST_BAR = 2520;

/**
 * Reads the JSON form of a solo (data/solo.schema.json). The result has every fault and warning in order of place. A fault in a phrase loses
 * that phrase; a fault elsewhere loses the solo (`value` is `undefined`). Nothing is thrown for bad text.
 * @param text - The JSON text; a byte order mark in front is passed over.
 * @param file - The name that the diagnostics carry.
 * @example
 * const { value, diagnostics } = readSoloJson('{ "format": "phrasewright solo", "version": 2 }', 'pier.json')
 * diagnostics.map((d) => d.message) // => ['the file is of version 2, and versions up to 1 are read here']
 */
export function readSoloJson(text: string, file = ''): Reading<Solo> {
  if (text.length > LONGEST_TEXT) {
    const message = `the text has ${text.length} characters, at most ${LONGEST_TEXT} expected`;
    const place = { line: 1, column: 1, endLine: 1, endColumn: 2 };
    return { value: undefined, diagnostics: [{ code: 'too-long', severity: 'fault', file, place, message }] };
  }
  const faults = walkJson(text);
  const said = faults.length === 0 ? [] : saidOf(faults, text, file);
  if (faults.some((f) => f.code !== 'field-twice')) return { value: undefined, diagnostics: inOrder(said) };
  const data: unknown = JSON.parse(text.charCodeAt(0) === 0xfeff ? text.slice(1) : text);
  const stranger = notASolo(data);
  if (stranger) return { value: undefined, diagnostics: inOrder([...said, ...placed([stranger], text, file)]) };
  const findings = [...schemaFindings(data)];
  const value = soloFromData(
    data as SoloJson,
    findings,
    faults.map((f) => f.pointer),
  );
  return { value, diagnostics: inOrder([...said, ...placed(findings, text, file)]) };
}

function saidOf(faults: readonly JsonFault[], text: string, file: string): readonly Diagnostic[] {
  const source = sourceText(text);
  return faults.map(({ code, start, end, message, remedy }) => ({
    code,
    severity: 'fault',
    file,
    place: placeOf(source, start, end),
    message,
    ...(remedy !== undefined && { remedy }),
  }));
}

/** Data that is no solo of a version read here: then nothing else about it is worth saying. */
function notASolo(data: unknown): Finding | undefined {
  const { format, version } = (typeof data === 'object' && data !== null ? data : {}) as {
    readonly format?: unknown;
    readonly version?: unknown;
  };
  const severity = 'fault';
  if (format !== SOLO_FORMAT) {
    const pointer = format === undefined ? '' : '/format';
    const expected = `"format": ${JSON.stringify(SOLO_FORMAT)}`;
    return {
      code: 'not-a-solo',
      severity,
      pointer,
      message: `this is not the JSON form of a solo, which says ${expected}`,
      expected,
      remedy: 'is it another file?',
    };
  }
  if (typeof version !== 'number' || !Number.isInteger(version) || version <= SOLO_FORMAT_VERSION) return undefined;
  return {
    code: 'newer-version',
    severity,
    pointer: '/version',
    message: `the file is of version ${version}, and versions up to ${SOLO_FORMAT_VERSION} are read here`,
    found: String(version),
    expected: String(SOLO_FORMAT_VERSION),
    remedy: 'read it with a newer phrasewright',
  };
}

/**
 * The solo that data holds; `undefined` if anything outside its phrases is at fault. A phrase with a fault is left out.
 * @param data - Of the form of a solo, but for what `findings` say.
 * @param findings - What the schema found; what is found here is added.
 * @param twice - Pointers of the fields that were written twice.
 */
function soloFromData(data: SoloJson, findings: Finding[], twice: readonly string[]): Solo | undefined {
  const faulted = new Set<string>(twice);
  for (const { pointer } of findings) faulted.add(pointer);
  for (const pointer of [...faulted]) for (let p = pointer; p !== ''; p = pointerAround(p)) faulted.add(p);
  let faults = findings.length;
  const add: Check['add'] = (finding, pointer) => {
    if (finding.severity === 'fault') faults++;
    findings.push({ ...finding, pointer, message: `${nameOf(pointer, data)}: ${finding.message}` });
  };
  const check: Check = {
    touched: (pointer) => faulted.has(pointer),
    add,
    fault: (code, pointer, message, facts = {}) => add({ code, severity: 'fault', message, ...facts }, pointer),
    count: () => faults,
  };
  const head = Object.fromEntries(
    Object.entries(data).filter(([name]) => !faulted.has(pointerTo('', name))),
  ) as Partial<SoloJson>;
  const { key, meter, tempo, feel } = EMPTY_SOLO;
  const opening: Opening = { key, meter, tempo, feel, ...readOpening(head, '', check) };
  const guitar = {
    tuning: readTuning(head.tuning, check),
    capo: head.capo ?? STANDARD_GUITAR.capo,
    frets: head.frets ?? STANDARD_GUITAR.frets,
  };
  const changes = readChanges(data.changes, opening, check);
  const { title = '', player = '', tone = '', remarks = [] } = head;
  const start: Solo = { title, player, ...opening, guitar, tone, remarks, changes, phrases: [] };
  const solo = { ...start, phrases: readPhrases(data, start, check) };
  const outside = (pointer: string) => !/^\/phrases\/\d+(\/|$)/.test(pointer);
  const lost = twice.some(outside) || findings.some((f) => f.severity === 'fault' && outside(f.pointer));
  if (!lost && data.phrases.length === 0)
    add({ code: 'no-phrases', severity: 'warning', message: 'no phrase is written' }, '/phrases');
  return lost ? undefined : solo;
}

/** The phrases that are whole: of the form, in order, with ids of their own, playable. */
function readPhrases(data: SoloJson, solo: Solo, check: Check): readonly Phrase[] {
  const grid = barGrid(solo, solo.changes.settings);
  const say = (at: number) => {
    const place = grid.place(ticks(at));
    return `bar ${place.bar.number}, ${countAt(place)}`;
  };
  const kept: { readonly phrase: Phrase; readonly pointer: string }[] = [];
  const ids = new Set<unknown>();
  let before: Phrase | undefined;
  let read: Phrase | 'unknown' | undefined; // the phrase just before: its strings may sound into the next
  for (const [json, pointer] of entriesOf(data.phrases, '/phrases', check)) {
    const earlier = read;
    read = 'unknown';
    if (!json) continue;
    const faults = check.count();
    if (ids.has(json.id))
      check.fault('phrase-twice', pointerTo(pointer, 'id'), `there is a phrase ${json.id} already`, {
        remedy: 'give it an id of its own',
      });
    ids.add(json.id);
    const phrase = phraseOf(json);
    const end = phraseEnd(phrase);
    if (end > SHORTEST_BAR * LAST_BAR && end > grid.bar(LAST_BAR + 1).start) {
      check.fault('bar-number', pointerTo(pointer, 'at'), `it lasts beyond bar ${LAST_BAR}`, {
        found: `tick ${end}`,
        expected: `at most ${grid.bar(LAST_BAR + 1).start}`,
      });
      continue;
    }
    if (before && phrase.at < phraseEnd(before)) {
      const message = `it comes in at ${say(phrase.at)}, before phrase ${before.id} has ended (${say(phraseEnd(before))})`;
      check.fault('phrase-overlap', pointerTo(pointer, 'at'), message, {
        found: `tick ${phrase.at}`,
        expected: `at least ${phraseEnd(before)}`,
        remedy: 'phrases stand in order of time; let the one before end earlier',
      });
    }
    const far = farPastTheChanges(solo.changes, grid.place(phrase.at).bar.number);
    if (far) {
      const { message, ...facts } = far;
      check.fault('far-past-the-changes', pointerTo(pointer, 'at'), `it ${message}`, facts);
    }
    if (!before || end > phraseEnd(before)) before = phrase;
    const inOrder = check.count();
    checkNotes(phrase, pointer, check);
    checkTimes(phrase, pointer, check);
    // Only of notes in order can it be asked whether they are playable: that looks back from note to note.
    if (check.count() === inOrder) {
      read = phrase;
      for (const { note, ...finding } of unplayable(phrase, solo.guitar, earlier))
        check.add(finding, pointerTo(pointer, 'notes', note));
    }
    if (check.count() === faults) kept.push({ phrase, pointer });
  }
  const { firstBar, bars } = solo.changes;
  const lastTick = grid.bar(firstBar + bars.length).start;
  const over = kept.find(({ phrase }) => phrase.notes.some((n) => n.onset >= lastTick));
  if (over && bars.length > 0) {
    const message = `it runs past bar ${firstBar + bars.length - 1}, the last of the changes; its last chord is taken to hold`;
    const remedy = 'write the changes to the end';
    check.add({ code: 'past-the-changes', severity: 'warning', message, remedy }, over.pointer);
  }
  return kept.map(({ phrase }) => phrase);
}
