// MusicXML (.musicxml, .xml, .mxl) -> a solo, or a melody where no places on the neck are written; with every fault said, and a report of what became of all.
import { type Diagnostic, inOrder } from '../foundation/diagnostic.js';
import type { Melody } from '../solo/melody.js';
import { unplayable } from '../solo/playability.js';
import type { Phrase, Solo } from '../solo/solo.js';
import { changesFrom, reaching } from './musicxml-changes.js';
import { type Layout, layOut, MOST_BARS } from './musicxml-layout.js';
import { lineNotes } from './musicxml-line.js';
import type { LineNote, PlacedMeasure } from './musicxml-line-note.js';
import { type ScorePart, walkPart } from './musicxml-measure.js';
import { onNeck } from './musicxml-neck.js';
import { FIELDS, type Fields, fretsIn, mergedTempos, ownFields, withOwn } from './musicxml-own.js';
import { choosePart, oneStaff, oneVoice, type PartFacts, partFacts, takeFrom } from './musicxml-parts.js';
import { phrasesOf } from './musicxml-phrases.js';
import { hasRepeats, playedOrder } from './musicxml-repeats.js';
import { type Reporter, reporter, type ScoreReport } from './musicxml-report.js';
import { melodyPhrase, soloPhrase } from './musicxml-solo.js';
import {
  child,
  children,
  type DocumentFault,
  decodeXml,
  documentFault,
  readXml,
  textOf,
  type XmlNode,
} from './musicxml-xml.js';
import { isZip, unpackScore } from './musicxml-zip.js';

/** How to read a score. */
export interface ScoreOptions {
  /** The part: its id, its name, or its number from 1. Default: the best guess, which the report says. */
  readonly part?: string;
  /** Play out repeats, endings and jumps. Default false: bars stand as they are written. */
  readonly unfold?: boolean;
  /** Read grace notes. Default true; counts leave them out either way unless asked. */
  readonly graces?: boolean;
  /** The name that the diagnostics carry. */
  readonly file?: string;
}

/** What came of a score: a solo where strings and frets are written, else a melody, else neither. */
export interface ScoreReading {
  readonly solo?: Solo;
  readonly melody?: Melody;
  /** True if the score names a key. */
  readonly hasKey: boolean;
  /** Faults, and a warning for everything in the report that may change a number. */
  readonly diagnostics: readonly Diagnostic[];
  readonly report: ScoreReport;
  /** The XML text, for showing faults in place. */
  readonly text: string;
}

/** What changes neither pitch nor time; it is counted, not read. */
const PASSED_OVER: ReadonlySet<string> = new Set(
  'lyric beam stem accidental print defaults appearance credit figured-bass instrument listen listening level footnote frame midi-device midi-instrument score-instrument virtual-instrument part-link player assess image bookmark link display-text part-name-display part-abbreviation-display'.split(
    ' ',
  ),
);
const SAID_OF_THEM = ['lyric', 'figured-bass', 'frame'];

/**
 * Reads a score in MusicXML 4.0 or earlier, plain or compressed. Repeats stand as written unless asked; a notation staff and a tab staff that hold the same
 * notes are one. Nothing is thrown for bad input: a document that cannot be read is a fault, and what could not be carried is in the report.
 * @param input - The text of a document, or the bytes of a .musicxml, .xml or .mxl file.
 * @example
 * const note = '<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>'
 * const score = `<score-partwise><part-list><score-part id="P1"><part-name>Lead</part-name></score-part></part-list><part id="P1"><measure number="1">${note}</measure></part></score-partwise>`
 * parseMusicXml(score).melody?.phrases[0].notes[0].key // => 60
 * parseMusicXml('<score-partwise>').diagnostics[0]?.code // => 'malformed-xml'
 */
export function parseMusicXml(input: string | Uint8Array, options: ScoreOptions = {}): ScoreReading {
  const { file = '' } = options;
  const report = reporter();
  const faults: DocumentFault[] = [];
  const finish = (
    program: string,
    part: string,
    text: string,
    what: Partial<Pick<ScoreReading, 'solo' | 'melody' | 'hasKey'>> = {},
  ): ScoreReading => ({
    hasKey: false,
    ...what,
    diagnostics: inOrder([...faults, ...report.warnings()].map((f): Diagnostic => ({ ...f, file }))),
    report: report.finish(program, part),
    text,
  });
  let text = '';
  if (typeof input === 'string') text = input;
  else {
    const { bytes, faults: broken } = isZip(input) ? unpackScore(input) : { bytes: input, faults: [] };
    faults.push(...broken);
    if (!bytes) return finish('', '', '');
    const decoded = decodeXml(bytes);
    faults.push(...decoded.faults);
    text = decoded.text;
  }
  if (faults.some((f) => f.severity === 'fault')) return finish('', '', text);
  const { root, passedOver, faults: wrong } = readXml(text, PASSED_OVER);
  faults.push(...wrong);
  if (!root) return finish('', '', text);
  for (const name of SAID_OF_THEM)
    for (let i = passedOver.get(name) ?? 0; i > 0; i--)
      report.say('dropped', name, `"${name}" is not kept`, undefined, { quiet: true });
  const encoding = child(child(root, 'identification'), 'encoding');
  const program = textOf(encoding, 'software').slice(0, 80);
  let read: ReturnType<typeof readScore>;
  try {
    const parts = partsOf(root, faults);
    read = parts && readScore(root, parts, options, report, faults);
  } catch {
    // No score should come here (the fuzzing fails if one does); if one does, a corpus of others must not be lost with it.
    faults.push(
      documentFault(UNREADABLE, root, 'this score cannot be read', { remedy: 'export it again, a single part' }),
    );
  }
  return finish(program, read?.part ?? '', text, read?.what);
}

/** The code of a score over which the reader itself stumbled. */
export const UNREADABLE = 'unreadable';

/** The parts of a score with their names; a fault where there are none. */
function partsOf(root: XmlNode, faults: DocumentFault[]): readonly PartFacts[] | undefined {
  const fault = (code: string, message: string, remedy: string, found?: string) => {
    faults.push(documentFault(code, root, message, { remedy, ...(found !== undefined && { found }) }));
    return undefined;
  };
  const isTimewise = root.name === 'score-timewise';
  if (root.name !== 'score-partwise' && !isTimewise) {
    const remedy = root.name === 'opus' ? 'name one of the scores in it' : 'export the score as MusicXML';
    return fault(
      'not-musicxml',
      `this is not a MusicXML score: it opens with <${root.name.slice(0, 40)}>, <score-partwise> expected`,
      remedy,
      root.name,
    );
  }
  const names = new Map(
    children(child(root, 'part-list'), 'score-part').map((p) => [
      p.attributes.id ?? '',
      textOf(p, 'part-name') || textOf(p, 'part-abbreviation'),
    ]),
  );
  const nodes = isTimewise ? byPart(root) : children(root, 'part');
  if (nodes.length === 0) return fault('no-parts', 'the score has no parts', 'export it again, with its music');
  return nodes.map((node, i) => {
    const id = node.attributes.id ?? `P${i + 1}`;
    return partFacts(node, id, names.get(id) || id);
  });
}

/** The parts of a score that is written measure by measure. */
function byPart(root: XmlNode): readonly XmlNode[] {
  const parts = new Map<string, XmlNode[]>();
  for (const measure of children(root, 'measure'))
    for (const part of children(measure, 'part')) {
      const id = part.attributes.id ?? '';
      const list = parts.get(id) ?? [];
      list.push({ ...measure, children: part.children });
      parts.set(id, list);
    }
  return [...parts].map(([id, measures]) => ({ ...root, name: 'part', attributes: { id }, children: measures }));
}

function readScore(
  root: XmlNode,
  parts: readonly PartFacts[],
  options: ScoreOptions,
  report: Reporter,
  faults: DocumentFault[],
): { readonly part: string; readonly what: Pick<ScoreReading, 'solo' | 'melody' | 'hasKey'> } | undefined {
  const fault = (code: string, message: string, remedy: string, expected?: string) => {
    faults.push(documentFault(code, root, message, { remedy, ...(expected !== undefined && { expected }) }));
    return undefined;
  };
  const chosen = choosePart(parts, options.part, report);
  const list = parts
    .slice(0, 20)
    .map((p) => `${p.id} "${p.name}"`)
    .join(', ');
  if (!chosen)
    return options.part === undefined
      ? fault('no-notes', 'no part has notes with pitches', 'is it a score of drums, or of rests?')
      : fault('no-such-part', `there is no part "${options.part.slice(0, 40)}"`, `parts: ${list}`, list);
  const part = walkPart(chosen.node, chosen.id, chosen.name, report);
  const layout = layoutOf(part, options, report);
  if (!layout) return fault('too-long', `the part has more than ${MOST_BARS} bars`, 'split it');
  const graces = options.graces ?? true;
  const walked = oneStaff(lineNotes(layout.placed, { graces }, report), tabStaves(part), report);
  const quiet = reporter(); // what becomes of other parts is not said
  const others = parts.filter((p) => p !== chosen);
  const again = (other: PartFacts): ScorePart => walkPart(other.node, other.id, other.name, quiet);
  const twin = twinOf(walked, others, layout, (p) => ({ part: again(p), order: options }), graces, report);
  const staff = tabFacts(twin ?? part) ?? tabFacts(part);
  const neck = onNeck(walked, staff, fretsIn(fieldsIn(root)), report);
  const head = headOf(root, layout, part, parts, again, options, report);
  const what: Pick<ScoreReading, 'solo' | 'melody'> = neck
    ? soloFrom(head, neck, layout.placed, report, faults)
    : melodyFrom(head, walked, layout.placed, report);
  report.count(
    'notes',
    (what.solo ?? what.melody)?.phrases.reduce((sum, p) => sum + p.notes.filter((n) => n.grace === 0).length, 0),
  );
  if ((what.solo ?? what.melody)?.phrases.length === 0)
    return fault('no-notes', `part "${chosen.name}" has no notes that can be read`, `parts: ${list}`);
  return { part: chosen.name, what: { ...what, hasKey: part.state.keyGiven } };
}

/** More notes than this are not played out. */
const MOST_NOTES = 300_000;

/** The bars of a part, as written or played out. */
function layoutOf(part: ScorePart, options: ScoreOptions, report: Reporter): Layout | undefined {
  let { measures } = part;
  if (hasRepeats(measures)) {
    if (options.unfold) {
      const { order, cut } = playedOrder(measures);
      let notes = 0;
      const all = order.map((i) => measures[i] as ScorePart['measures'][number]);
      measures = all.filter((m) => {
        notes += m.notes.length;
        return notes <= MOST_NOTES;
      });
      report.say('chosen', 'unfolded', 'repeats and jumps were played out', undefined, {
        detail: `${order.length} measures`,
        quiet: true,
      });
      if (cut || measures.length < all.length)
        report.say('dropped', 'unfolded', 'repeats beyond 9000 measures or 300000 notes were left out');
    } else
      report.say(
        'chosen',
        'as-written',
        'repeats, endings and jumps were left as written, each measure once',
        undefined,
        {
          detail: 'unfolding plays them out',
          quiet: true,
        },
      );
  }
  return layOut(measures, report);
}

const tabStaves = (part: ScorePart): ReadonlySet<number> =>
  new Set([...part.state.staves].filter(([, f]) => f.isTab).map(([n]) => n));

/** What the tab staff of a part says, else any staff with a tuning. */
const tabFacts = (part: ScorePart) => {
  const all = [...part.state.staves.values()];
  return (
    all.find((f) => f.isTab && f.tuning.length > 0) ?? all.find((f) => f.tuning.length > 0) ?? all.find((f) => f.isTab)
  );
};

/** Another part that holds the same notes (the staff or the tab of the one chosen): what it says of them is taken over. */
function twinOf(
  notes: readonly LineNote[],
  others: readonly PartFacts[],
  layout: Layout,
  walk: (part: PartFacts) => { readonly part: ScorePart; readonly order: ScoreOptions },
  graces: boolean,
  report: Reporter,
): ScorePart | undefined {
  const like = others.filter(
    (p) => p.pitched >= notes.length * 0.8 && p.pitched <= notes.length * 2.5 && p.unpitched === 0,
  );
  const hasPlaces = notes.some((n) => n.string !== undefined);
  for (const other of like.slice(0, 4)) {
    if (!hasPlaces && other.placed === 0) continue;
    const { part, order } = walk(other);
    const quiet = reporter();
    const placed = layoutOf(part, order, quiet)?.placed ?? [];
    if (placed.length !== layout.placed.length) continue;
    const line = oneStaff(lineNotes(placed, { graces }, quiet), tabStaves(part), quiet);
    if (!takeFrom(notes, line)) continue;
    report.say('chosen', 'same-notes', `the part "${other.name}" holds the same notes: they were read once`);
    return part;
  }
  return undefined;
}

const fieldsIn = (root: XmlNode): Fields =>
  children(child(child(root, 'identification'), 'miscellaneous'), 'miscellaneous-field').map(
    (f) => [f.attributes.name ?? '', f.text] as const,
  );

/** The player of a score that names none. */
const NO_PLAYER = 'unknown';

type Head = Omit<Melody, 'phrases'>;

/** Title, player, key, meter, tempo and changes; what the part itself lacks of tempo, rehearsal marks and chords is taken from the others. */
function headOf(
  root: XmlNode,
  layout: Layout,
  part: ScorePart,
  parts: readonly PartFacts[],
  walk: (part: PartFacts) => ScorePart,
  options: ScoreOptions,
  report: Reporter,
): Head {
  const identification = child(root, 'identification');
  const creators = children(identification, 'creator');
  const creator =
    ['performer', 'player', 'composer'].flatMap((type) => creators.filter((c) => c.attributes.type === type))[0] ??
    creators[0];
  const fields = fieldsIn(root);
  const own = ownFields(fields);
  let { opening, settings } = layout;
  [opening, settings] = withOwn(opening, settings, fields);
  let chords: readonly PlacedMeasure[] = layout.placed;
  if (!part.measures.some((m) => m.chords.length > 0)) {
    const other = parts.find((p) => p.id !== part.id && p.chords > 0);
    const placed = other && layoutOf(walk(other), options, reporter())?.placed;
    if (other && placed && placed.length === layout.placed.length) {
      chords = placed.map(({ measure }, i) => ({ measure, start: (layout.placed[i] as PlacedMeasure).start }));
      report.say('chosen', 'chords-from', `the chord symbols were taken from the part "${other.name}"`, undefined, {
        quiet: true,
      });
    } else
      report.say('approximated', 'no-chords', 'there are no chord symbols: no tone has a chord', undefined, {
        quiet: true,
      });
  }
  const first = parts[0];
  const noTempo = !part.measures.some((m) => m.directions.tempos.length > 0 || m.directions.rehearsals.length > 0);
  if (first && first.id !== part.id && noTempo) {
    const lead = layoutOf(walk(first), options, reporter());
    if (lead && lead.placed.length === layout.placed.length) {
      opening = { ...opening, tempo: lead.opening.tempo, feel: lead.opening.feel };
      settings = mergedTempos(settings, lead.settings);
      const leadPlaced = lead.placed;
      const placed = layout.placed.map((p, i) => ({
        ...p,
        measure: { ...p.measure, directions: (leadPlaced[i] as PlacedMeasure).measure.directions },
      }));
      return {
        ...titles(),
        ...opening,
        ...rest(),
        changes: changesFrom({ ...layout, opening, settings, placed }, chords, own, report),
      };
    }
  }
  return {
    ...titles(),
    ...opening,
    ...rest(),
    changes: changesFrom({ ...layout, opening, settings }, chords, own, report),
  };

  function titles() {
    const title = child(child(root, 'work'), 'work-title')?.text.trim() || textOf(root, 'movement-title') || 'Untitled';
    return { title, player: creator?.text.trim() || NO_PLAYER };
  }
  function rest() {
    const texts = (name: string) => fields.filter(([n]) => n === name).map(([, text]) => text);
    return { tone: texts(FIELDS.tone)[0] ?? '', remarks: texts(FIELDS.remark) };
  }
}

function soloFrom(
  head: Head,
  neck: NonNullable<ReturnType<typeof onNeck>>,
  placed: readonly PlacedMeasure[],
  report: Reporter,
  faults: DocumentFault[],
): { readonly solo: Solo } {
  const phrases: Phrase[] = [];
  for (const frame of phrasesOf(neck.notes, placed, report)) {
    const phrase = soloPhrase(frame, neck.guitar, phrases[phrases.length - 1], report);
    if (phrase) phrases.push(phrase);
  }
  phrases.forEach((phrase, i) => {
    for (const { code, message, remedy, note } of unplayable(phrase, neck.guitar, phrases[i - 1])) {
      const { onset, string } = phrase.notes[note] as Phrase['notes'][number];
      const at = neck.notes.find((n) => n.onset === onset && n.string === string)?.place;
      if (at)
        faults.push(documentFault(code, at, message, { severity: 'warning', ...(remedy !== undefined && { remedy }) }));
    }
  });
  return { solo: { ...reaching(head, phrases, report), guitar: neck.guitar, phrases } };
}

function melodyFrom(
  head: Head,
  notes: readonly LineNote[],
  placed: readonly PlacedMeasure[],
  report: Reporter,
): { readonly melody: Melody } {
  const phrases = phrasesOf(oneVoice(notes, report), placed, report).flatMap((frame) => {
    const phrase = melodyPhrase(frame, report);
    return phrase ? [phrase] : [];
  });
  return { melody: { ...reaching(head, phrases, report), phrases } };
}
