// What no hand can play: checked on the model, so that every format is held to the same rules.
import type { Severity } from '../foundation/diagnostic.js';
import { lengthInWords } from '../foundation/time.js';
import { type Cents, cents, fret, stringNumber, ticks } from '../foundation/units.js';
import { type BendPath, bendInWords, finalLevel, layBend, peakLevel } from '../guitar/bend.js';
import { fretSpanMm, type Guitar, harmonicPitch, pitchAt } from '../guitar/fretboard.js';
import { HARMONIC_FRETS } from '../guitar/technique.js';
import type { Note, Phrase } from './solo.js';
import { type Sounding, soundingOf } from './sounding.js';

/** One thing that cannot be played as written: the note's index in its phrase, and the words for it. */
export interface Unplayable {
  readonly code: string;
  readonly severity: Severity;
  readonly note: number;
  readonly message: string;
  readonly found?: string;
  readonly expected?: string;
  readonly remedy?: string;
}

/** A bend of more than four frets' worth is doubted. Common practice, no source. */
export const LARGEST_USUAL_BEND = cents(400);
/** The widest span of one hand along the neck, in mm: four frets' distance from the first fret, and a little. Common practice, no source. */
export const WIDEST_SPAN_MM = 140;

/** Codes of what no hand can play whatever the time: to be said also of a phrase whose bars do not add up. */
export const AT_ANY_TIME: ReadonlySet<string> = new Set([
  'no-such-string',
  'off-the-neck',
  'no-harmonic',
  'string-twice',
  'dead-bend',
  'no-level',
  'large-bend',
]);

/** A phrase with what its checks share: what each note sounds, and the last note on each string so far. */
interface Hand {
  readonly notes: readonly Note[];
  readonly sounding: readonly Sounding[];
  readonly damped: ReadonlySet<number>;
  readonly last: (number | undefined)[];
  /** True if a string may sound into the phrase from before it. */
  readonly soundsInto: (string: number) => boolean;
}

/**
 * All that cannot be played in a phrase on a guitar, in order of notes. `before` is the phrase before it, whose strings may sound right into
 * this one, or `'unknown'` if that could not be read.
 * @example
 * const solo = parseSoloOrThrow(EXAMPLE_SOLO)
 * unplayable(solo.phrases[0], { ...solo.guitar, tuning: solo.guitar.tuning.slice(0, 4) }).length // => 0
 * unplayable(solo.phrases[0], { ...solo.guitar, frets: 5 })[0]?.code // => 'off-the-neck'
 */
export function unplayable(phrase: Phrase, guitar: Guitar, before?: Phrase | 'unknown'): readonly Unplayable[] {
  const found: Unplayable[] = [];
  const sounding = soundingOf(phrase);
  const hand: Hand = {
    notes: phrase.notes,
    sounding,
    damped: new Set<number>(phrase.damps),
    last: [],
    soundsInto: (string) => before !== undefined && (before === 'unknown' || soundsUpTo(before, string, phrase.at)),
  };
  phrase.notes.forEach((note, i) => {
    const add = (
      code: string,
      severity: Severity,
      message: string,
      facts: Omit<Unplayable, 'code' | 'severity' | 'note' | 'message'> = {},
    ) => found.push({ code, severity, note: i, message, ...facts });
    checkPlace(note, guitar, add);
    checkString(phrase.notes, i, add);
    checkPath(hand, i, add);
    checkLegato(hand, i, phrase.at, add);
    checkSpan(phrase.notes, sounding, i, guitar, add);
    hand.last[note.string] = i;
  });
  return found;
}

type Add = (
  code: string,
  severity: Severity,
  message: string,
  facts?: Omit<Unplayable, 'code' | 'severity' | 'note' | 'message'>,
) => void;

function checkPlace(note: Note, guitar: Guitar, add: Add): void {
  const strings = guitar.tuning.length;
  if (note.string < 1 || note.string > strings) {
    const expected = `a string from 1 (highest) to ${strings}`;
    const swapped =
      note.kind === 'fretted' && pitchAt(guitar, stringNumber(note.fret), fret(note.string)) !== undefined;
    add('no-such-string', 'fault', `string ${note.string} is not there, ${expected} expected`, {
      found: `string ${note.string}`,
      expected,
      ...(swapped && { remedy: `fret and string swapped? write ${note.string}@${note.fret}` }),
    });
    return;
  }
  if (note.kind !== 'fretted') return;
  if (pitchAt(guitar, note.string, note.fret) === undefined) {
    const last = guitar.frets - guitar.capo;
    const behind = guitar.capo > 0 ? `, counted from the capo at ${guitar.capo}` : '';
    add('off-the-neck', 'fault', `fret ${note.fret} is off the neck, 0 to ${last} expected${behind}`, {
      found: `fret ${note.fret}`,
      expected: `a fret from 0 to ${last}`,
      remedy: 'if the neck has more frets, say so in the head: frets: 27',
    });
  }
  if (note.harmonic && harmonicPitch(guitar, note.string, note.fret) === undefined)
    add('no-harmonic', 'fault', `no natural harmonic speaks at fret ${note.fret}`, {
      found: `fret ${note.fret}`,
      expected: `one of the frets ${HARMONIC_FRETS.join(', ')}`,
    });
}

function checkString(notes: readonly Note[], i: number, add: Add): void {
  const note = notes[i] as Note;
  const other = notes[i - 1]; // notes at once stand in order of strings
  if (other && other.onset === note.onset && other.grace === note.grace && other.string === note.string)
    add('string-twice', 'fault', `two notes on string ${note.string} at once`, {
      remedy: 'move one of them to another string',
    });
}

function checkPath(hand: Hand, i: number, add: Add): void {
  const note = hand.notes[i] as Note;
  const sound = hand.sounding[i] as Sounding;
  const { string, path } = note;
  if (note.kind === 'dead' && path.length > 0) {
    add('dead-bend', 'fault', 'a dead note has no pitch to bend', { remedy: 'take the bend or the x away' });
    return;
  }
  const peak = peakLevel(path);
  if (peak > LARGEST_USUAL_BEND)
    add(
      'large-bend',
      'warning',
      `a bend of ${peak / 100} frets' worth; more than 4 is rarely playable and strains hand and string`,
      { found: bendInWords(peak) },
    );
  if (note.kind === 'on' && sound.origin < 0) {
    const elsewhere = meantElsewhere(hand, i);
    add(
      'string-silent',
      'fault',
      `${path.length > 0 ? 'a release of string' : 'string'} ${string}, which is not sounding here`,
      { remedy: elsewhere ?? `let the note before ring on with =, as in 8@${string}(0>2)=` },
    );
    return;
  }
  const first = path[0];
  if (!first) return;
  if (note.kind === 'fretted' && first.level === null)
    add('no-level', 'fault', 'a path that starts with > goes on from a held bend, but this note is played anew', {
      remedy: 'write the level it starts at, as in (0>2) or (2>0)',
    });
  const now = levelText(sound.held);
  const alone = `write @${string} alone if it just goes on${sound.held === 0 ? '' : ` at ${now}`}`;
  if (note.kind === 'on' && staysAt(path, sound.held)) {
    add(
      'same-level',
      'fault',
      sound.held === 0 ? `string ${string} holds no bend to let down` : `string ${string} is at ${now} already`,
      { remedy: meantElsewhere(hand, i) ?? alone },
    );
    return;
  }
  if (note.kind === 'on' && first.level !== null && first.level !== sound.held)
    add('level-jump', 'fault', `string ${string} is held at ${now}, the path starts at ${levelText(first.level)}`, {
      remedy:
        (sound.held === 0 ? meantElsewhere(hand, i) : undefined) ??
        (path.length > 1 && staysAt(path.slice(1), sound.held) ? alone : `start from where it is: ${onwards(path)}`),
    });
  const laid = layBend(path, note.length, sound.held);
  if ('reason' in laid && note.grace === 0) {
    const takes = `the levels of the bend take ${lengthInWords(laid.written)}, the note lasts ${lengthInWords(ticks(note.length))}`;
    add(
      'bend-time',
      'fault',
      laid.reason === 'no-time-left' ? `${takes}: nothing is left for the untimed ones` : takes,
      {
        remedy: 'leave one level without a time: it takes what is left',
      },
    );
  }
}

const levelText = (level: Cents): string => String(level / 100);

/** True if a string held at a level stays there all along the path. */
const staysAt = (path: BendPath, held: Cents): boolean => path.every((p) => p.level === null || p.level === held);

/** The levels of a path behind the one that it starts from. */
const moves = (path: BendPath): BendPath => (path.length > 1 ? path.slice(1) : path);

/** A path as written on a string that goes on from the level it holds: `(>0)`. */
const onwards = (path: BendPath): string =>
  `(>${moves(path)
    .map((p) => levelText(p.level ?? cents(0)))
    .join('>')})`;

/** "did you mean @3(>0)?", where exactly one other string sounds bent, and the path would move it. */
function meantElsewhere(hand: Hand, i: number): string | undefined {
  const { notes, sounding, damped, last } = hand;
  const note = notes[i] as Note;
  if (note.path.length === 0) return undefined;
  /** Played anew with this note, and so not going on. */
  const anew = (other: Note) => other.onset === note.onset && other.grace === 0 && other.kind !== 'on';
  const bent = last.filter((j): j is number => {
    if (j === undefined) return false;
    const other = notes[j] as Note;
    if (other.string === note.string || other.kind === 'dead' || anew(other)) return false;
    if (notes.slice(i + 1, i + 9).some((n) => n.string === other.string && anew(n))) return false;
    return levelAfter(hand, j) > 0 && soundsAt(sounding, notes, damped, j, note.onset);
  });
  const [only] = bent;
  if (only === undefined || bent.length > 1 || staysAt(moves(note.path), levelAfter(hand, only))) return undefined;
  return `did you mean @${(notes[only] as Note).string}${onwards(note.path)}?`;
}

/** The level that a string is held at behind a note. */
function levelAfter({ notes, sounding }: Hand, j: number): Cents {
  const note = notes[j] as Note;
  return finalLevel(note.path, note.kind === 'on' ? (sounding[j] as Sounding).held : cents(0));
}

/** True if note `j` sounds up to a tick: its string is neither silent by then nor damped at it. */
function soundsAt(
  sounding: readonly Sounding[],
  notes: readonly Note[],
  damped: ReadonlySet<number>,
  j: number,
  at: number,
): boolean {
  const { end, origin } = sounding[j] as Sounding;
  return origin >= 0 && end >= at && !(damped.has(at) && (notes[j] as Note).onset < at);
}

/** True if a string of a phrase sounds up to a tick, where another phrase comes in. */
function soundsUpTo(phrase: Phrase, string: number, at: number): boolean {
  const j = phrase.notes.findLastIndex((n) => n.string === string);
  return j >= 0 && soundsAt(soundingOf(phrase), phrase.notes, new Set<number>(phrase.damps), j, at);
}

function checkLegato(hand: Hand, i: number, entry: number, add: Add): void {
  const { notes, sounding, damped, last } = hand;
  const note = notes[i] as Note;
  if (note.kind !== 'fretted' || (note.start !== 'hammered' && note.start !== 'pulled')) return;
  const j = last[note.string];
  if (j === undefined || !soundsAt(sounding, notes, damped, j, note.onset)) {
    const into = j === undefined && note.onset === entry && hand.soundsInto(note.string);
    // A hammer from nowhere sounds by itself; a pull needs a string that moves.
    if (note.start === 'pulled' && !into && (j === undefined || (sounding[j] as Sounding).origin >= 0))
      add('pull-silent', 'warning', `pulled off to fret ${note.fret}, but string ${note.string} is not sounding`, {
        remedy: `picked? write ${note.fret}@${note.string}`,
      });
    return;
  }
  const from = notes[(sounding[j] as Sounding).origin] as Note;
  if (from.kind !== 'fretted') return;
  if (note.start === 'hammered' && from.fret >= note.fret)
    add(
      'hammer-down',
      'warning',
      `hammered at fret ${note.fret}, but string ${note.string} already sounds fret ${from.fret}`,
      {
        remedy:
          from.fret > note.fret
            ? `pulled off? write p${note.fret}@${note.string}`
            : `picked? write ${note.fret}@${note.string}`,
      },
    );
  if (note.start === 'pulled' && from.fret <= note.fret)
    add('pull-up', 'warning', `pulled off to fret ${note.fret}, but string ${note.string} sounds fret ${from.fret}`, {
      remedy:
        from.fret < note.fret
          ? `hammered? write h${note.fret}@${note.string}`
          : `picked? write ${note.fret}@${note.string}`,
    });
}

function checkSpan(notes: readonly Note[], sounding: readonly Sounding[], i: number, guitar: Guitar, add: Add): void {
  const note = notes[i] as Note;
  if (note.kind !== 'fretted' || note.fret === 0 || note.harmonic) return;
  for (let j = i - 1; j >= 0 && j >= i - 16; j--) {
    const other = notes[j] as Note;
    const sounds =
      (sounding[j] as Sounding).end > note.onset || (other.onset === note.onset && other.grace === note.grace);
    if (other.kind !== 'fretted' || other.fret === 0 || other.harmonic || !sounds || other.string === note.string)
      continue;
    const low = Math.min(note.fret, other.fret) + guitar.capo;
    const high = Math.max(note.fret, other.fret) + guitar.capo;
    const span = fretSpanMm(low, high);
    if (span > WIDEST_SPAN_MM) {
      add(
        'wide-span',
        'warning',
        `frets ${low - guitar.capo} and ${high - guitar.capo} sounding together are ${Math.round(span)} mm apart`,
        {
          expected: `at most ${WIDEST_SPAN_MM} mm for most hands`,
          remedy: 'let the first note end earlier, or play one of them on another string',
        },
      );
      return;
    }
  }
}
