// What the hands do that is heard before any note name: harmonics, a drone, a bend held under ringing strings, a unison, dead clicks.
import type { Note } from '../solo/solo.js';
import { listed } from './implied-words.js';
import { type Gesture, gesturesOf, gestureWords } from './phrase-bend-words.js';
import { endOf, letterOf, nameOf, noteOf, onsetOf, type PhraseFacts, pitchOf, placeWords } from './phrase-facts.js';
import { capital, numberInWords } from './spoken.js';

/** What is told of technique, and of which tones no more needs to be said. */
export interface Technique {
  readonly said?: string;
  /** Rows of bends told here. */
  readonly bends: readonly number[];
  /** Rows that ring under or over others, told here. */
  readonly ringing: readonly number[];
}

/** Tones of other strings that begin under a sounding one, for a drone. */
const DRONE = 3;

export function techniqueOf(f: PhraseFacts): Technique {
  const harmonics = f.tones.filter((row) => noteOf(f, row).harmonic);
  const drones = f.tones.filter((row) => isDrone(f, row));
  const held = gesturesOf(f).flatMap((gesture) => {
    const over = ringingOver(f, gesture);
    return over.length >= 1 ? [{ gesture, over }] : [];
  });
  const parts = [
    ...(harmonics.length > 0 ? [harmonicWords(f, harmonics)] : []),
    ...(drones.length > 0 ? [droneWords(f, drones)] : []),
    ...held.map(({ gesture, over }) => heldWords(f, gesture, over)),
    ...unisonWords(
      f,
      held.flatMap(({ gesture }) => gesture.rows),
    ),
    ...tapWords(f),
    ...deadWords(f),
  ];
  return {
    ...(parts.length > 0 && { said: parts.map((part) => `${capital(part)}.`).join(' ') }),
    bends: held.flatMap(({ gesture }) => gesture.rows),
    ringing: [...harmonics, ...drones, ...held.flatMap(({ gesture }) => gesture.rows)],
  };
}

function harmonicWords(f: PhraseFacts, rows: readonly number[]): string {
  const ring = rows.every((row) => noteOf(f, row).ring) ? ', left ringing' : '';
  if (rows.length === f.tones.length && rows.length > 4) return `all in harmonics${ring}`;
  if (rows.length > 5) return `${numberInWords(rows.length)} harmonics from ${placeWords(f, rows[0] as number)}${ring}`;
  if (rows.length === 1) return `${nameOf(f, rows[0] as number)} is a harmonic (${placeWords(f, rows[0] as number)})`;
  return `harmonics ${listed(rows.map((row) => nameOf(f, row)))} (from ${placeWords(f, rows[0] as number)})${ring}`;
}

/** An open string that sounds on, unbent, while at least three tones begin above it. */
export function isDrone(f: PhraseFacts, row: number): boolean {
  const { fret, level, string } = f.table.columns;
  if (fret[row] !== 0 || level[row] !== 0 || noteOf(f, row).harmonic) return false;
  const under = f.line.filter(
    (r) => onsetOf(f, r) > onsetOf(f, row) && onsetOf(f, r) < endOf(f, row) && string[r] !== string[row],
  );
  return under.length >= DRONE && under.every((r) => pitchOf(f, r) > pitchOf(f, row));
}

function droneWords(f: PhraseFacts, rows: readonly number[]): string {
  const strings = new Map(rows.map((row) => [f.table.columns.string[row] as number, row]));
  const names = [...strings].map(([string, row]) => `${letterOf(f, row)} (string ${string})`);
  return `over a ringing open ${listed(names)}`;
}

/** What begins on other strings while a bend is held up. */
function ringingOver(f: PhraseFacts, { rows, curl }: Gesture): readonly number[] {
  const [bend] = rows as readonly [number];
  if (curl) return [];
  return f.tones.filter((r) => !rows.includes(r) && onsetOf(f, r) > onsetOf(f, bend) && onsetOf(f, r) < endOf(f, bend));
}

function heldWords(f: PhraseFacts, gesture: Gesture, over: readonly number[]): string {
  const [bend] = gesture.rows as readonly [number];
  const names = [...new Set(over.map((row) => nameOf(f, row)))];
  const unison = over.some((row) => pitchOf(f, row) === pitchOf(f, bend));
  const words = names.map((name) => (unison && name === nameOf(f, bend) ? `${name} (its unison)` : name));
  const under = over.every((row) => pitchOf(f, row) >= pitchOf(f, bend)) ? 'under' : 'with';
  return gestureWords(f, gesture, false, `holds it ${under} ${listed(words)}`);
}

/** A bent string and a fretted one on the same pitch, struck together. */
function unisonWords(f: PhraseFacts, told: readonly number[]): readonly string[] {
  const { level, string } = f.table.columns;
  const found = f.tones.flatMap((bent) => {
    if ((level[bent] as number) < 100 || told.includes(bent)) return [];
    const other = f.tones.find(
      (r) =>
        level[r] === 0 &&
        string[r] !== string[bent] &&
        pitchOf(f, r) === pitchOf(f, bent) &&
        onsetOf(f, r) < endOf(f, bent) &&
        onsetOf(f, bent) < endOf(f, r),
    );
    return other === undefined ? [] : [{ bent, other }];
  });
  const [one] = found;
  if (!one) return [];
  const strings = `strings ${string[one.bent]} (bent) and ${string[one.other]}`;
  if (found.length > 1)
    return [`${numberInWords(found.length)} unison bends, first on ${strings} (${placeWords(f, one.bent)})`];
  return [`a unison bend: ${nameOf(f, one.bent)} on ${strings} (${placeWords(f, one.bent)})`];
}

function tapWords(f: PhraseFacts): readonly string[] {
  const tapped = f.phrase.notes.filter(({ start, grace }) => start === 'tapped' && grace === 0).length;
  return tapped === 0 ? [] : [`${numberInWords(tapped)} tapped ${tapped === 1 ? 'note' : 'notes'}`];
}

/** Dead notes where they are heard as a gesture of their own: two or more, or one at the end. */
function deadWords(f: PhraseFacts): readonly string[] {
  const moments = new Map<number, Note>();
  for (const note of f.phrase.notes) if (note.kind === 'dead') moments.set(note.onset, note);
  const clicks = [...moments.keys()];
  const last = Math.max(...f.tones.map((row) => onsetOf(f, row)));
  const after = clicks.filter((at) => at > last).length;
  const many = (n: number) => `${n === 1 ? 'a' : numberInWords(n)} dead ${n === 1 ? 'click' : 'clicks'}`;
  if (after > 0) return [`${many(after)} ${after === 1 ? 'closes' : 'close'} it`];
  return clicks.length >= 2 ? [`${many(clicks.length)} between the notes`] : [];
}
