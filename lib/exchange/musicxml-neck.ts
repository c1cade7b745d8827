// Where notes lie on a neck: the guitar that a score is written for, and string and fret of every note, checked against its pitch.
import { type Fret, fret, type MidiKey, midiKey, type StringNumber, stringNumber } from '../foundation/units.js';
import { type Guitar, openKey, positionsOf, STANDARD_GUITAR, tuningText } from '../guitar/fretboard.js';
import type { StaffFacts } from './musicxml-attributes.js';
import type { LineNote } from './musicxml-line-note.js';
import type { Reporter } from './musicxml-report.js';

/** A note with a place on the neck. */
export interface NeckNote extends LineNote {
  string: StringNumber;
  fret: Fret;
}

/** More notes without a place than this share make a line a melody. */
const MOST_WITHOUT = 0.2;
const MOST_FRETS = 36;
const MOST_CAPO = 12;
/** Usual tunings by number of strings, low to high. Common practice, no source. */
const USUAL: Readonly<Record<number, readonly number[]>> = {
  4: [28, 33, 38, 43],
  5: [23, 28, 33, 38, 43],
  6: [40, 45, 50, 55, 59, 64],
  7: [35, 40, 45, 50, 55, 59, 64],
  8: [30, 35, 40, 45, 50, 55, 59, 64],
};

/** The notes with their places and the guitar they lie on; `undefined` if too few of them say where they are played. */
export function onNeck(
  notes: readonly LineNote[],
  staff: StaffFacts | undefined,
  frets: number | undefined,
  report: Reporter,
): { readonly guitar: Guitar; readonly notes: readonly NeckNote[] } | undefined {
  const played = notes.filter((n) => n.string !== undefined && (n.fret !== undefined || n.dead));
  if (played.length === 0 || played.length < notes.length * (1 - MOST_WITHOUT)) return undefined;
  const highest = played.reduce((most, n) => Math.max(most, n.string as number), 0);
  const given = staff?.tuning ?? [];
  const isGiven =
    given.length >= 4 && given.length <= 8 && Array.from(given).every((k) => k !== undefined && k >= 0 && k <= 115);
  const strings = isGiven ? given.length : Math.max(highest, (staff?.isTab && staff.lines) || 6);
  const usual = USUAL[strings];
  if (!usual) {
    report.say('dropped', 'strings', `a tab of ${strings} strings is no guitar of 4 to 8: its places were not read`);
    return undefined;
  }
  let capo = staff?.capo ?? 0;
  if (!Number.isInteger(capo) || capo < 0 || capo > MOST_CAPO) {
    report.say('approximated', 'capo', `a capo at ${capo} was passed over`);
    capo = 0;
  }
  const tuning = tuningFor(played, isGiven ? (given as readonly MidiKey[]) : usual.map(midiKey), isGiven, capo, report);
  const top = notes.reduce((most, n) => Math.max(most, n.fret ?? 0), 0) + capo;
  const guitar: Guitar = { tuning, capo, frets: Math.min(MOST_FRETS, Math.max(frets ?? STANDARD_GUITAR.frets, top)) };
  const result: NeckNote[] = [];
  let hand = 0;
  for (const note of notes) {
    const place = placeOf(note, guitar, hand, report);
    if (!place) {
      report.say('dropped', 'place', 'a note that lies nowhere on the neck', note.place);
      continue;
    }
    if (place.fret > 0) hand = place.fret;
    result.push({ ...note, ...place });
  }
  return { guitar, notes: result };
}

/** What the open strings must be for pitch and fret to agree, where the file does not say or says it otherwise. */
function tuningFor(
  notes: readonly LineNote[],
  tuning: readonly MidiKey[],
  isGiven: boolean,
  capo: number,
  report: Reporter,
): readonly MidiKey[] {
  const counts: Map<number, number>[] = tuning.map(() => new Map());
  for (const { string, fret: f, key, harmonic, dead } of notes) {
    if (key === undefined || f === undefined || harmonic !== undefined || dead) continue;
    const count = counts[tuning.length - (string as number)];
    const open = key - f - capo;
    count?.set(open, (count.get(open) ?? 0) + 1);
  }
  const likely = counts.map((count) => {
    let best: number | undefined;
    let all = 0;
    for (const [open, n] of count) {
      all += n;
      if (best === undefined || n > (count.get(best) as number)) best = open;
    }
    return best !== undefined && (count.get(best) as number) * 2 > all ? best : undefined;
  });
  const away = likely.flatMap((open, i) => (open === undefined ? [] : [open - (tuning[i] as number)]));
  if (away.every((a) => a === 0)) return tuning;
  const [first] = away as [number];
  const isSame = away.every((a) => a === first);
  if (isSame && first % 12 === 0) {
    report.say(
      'approximated',
      'octave',
      `the pitches are written ${Math.abs(first) / 12 === 1 ? 'an octave' : `${Math.abs(first) / 12} octaves`} ${first > 0 ? 'above' : 'below'} what string and fret sound: string and fret were taken`,
    );
    return tuning;
  }
  if (isSame && capo > 0 && first === -capo) {
    report.say('approximated', 'capo', 'the pitches are written without the capo: string and fret were taken');
    return tuning;
  }
  if (isGiven) {
    report.say(
      'approximated',
      'tuning',
      'pitches differ from what string and fret sound: string and fret were taken',
      undefined,
      { detail: tuningText(tuning) },
    );
    return tuning;
  }
  const found = tuning.map((open, i) => midiKey(likely[i] ?? (isSame ? open + first : open)));
  if (found.some((k) => k < 0 || k > 115)) return tuning;
  report.say(
    'approximated',
    'tuning',
    'no tuning is written: the one was taken with which pitches and frets agree',
    undefined,
    { detail: tuningText(found) },
  );
  return found;
}

function placeOf(
  note: LineNote,
  guitar: Guitar,
  hand: number,
  report: Reporter,
): { string: StringNumber; fret: Fret } | undefined {
  const { string, fret: f, key } = note;
  const last = guitar.frets - guitar.capo;
  if (string !== undefined && (string < 1 || string > guitar.tuning.length)) return undefined;
  if (string !== undefined && (note.dead || (f !== undefined && f >= 0))) {
    const at = note.dead ? 0 : (f as number);
    return at > last ? undefined : { string: stringNumber(string), fret: fret(at) };
  }
  if (key === undefined) return undefined;
  const open = string === undefined ? undefined : openKey(guitar, stringNumber(string));
  if (open !== undefined && key >= open && key - open <= last) {
    report.say('approximated', 'fret', 'a string without a fret: the fret was worked out from the pitch', note.place);
    return { string: stringNumber(string as number), fret: fret(key - open) };
  }
  const places = positionsOf(guitar, key);
  const own = places.find((p) => p.fret === f);
  const [nearest] = [...places].sort((a, b) => Math.abs(a.fret - hand) - Math.abs(b.fret - hand));
  const place = own ?? nearest;
  if (place)
    report.say('approximated', 'place', 'a note without string and fret was put where the hand is', note.place);
  return place && { string: place.string, fret: place.fret };
}
