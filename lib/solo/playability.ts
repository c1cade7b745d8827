// What no hand can play: checked on the model, so that every format is held to the same rules.
import type { Severity } from '../foundation/diagnostic.js';
import { lengthInWords } from '../foundation/time.js';
import { type Cents, cents, ticks } from '../foundation/units.js';
import { bendInWords, layBend, peakLevel } from '../guitar/bend.js';
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

/**
 * All that cannot be played in a phrase on a guitar, in order of notes.
 * @example
 * const solo = parseSoloOrThrow(EXAMPLE_SOLO)
 * unplayable(solo.phrases[0], { ...solo.guitar, tuning: solo.guitar.tuning.slice(0, 4) }).length // => 0
 * unplayable(solo.phrases[0], { ...solo.guitar, frets: 5 })[0]?.code // => 'off-the-neck'
 */
export function unplayable(phrase: Phrase, guitar: Guitar): readonly Unplayable[] {
  const found: Unplayable[] = [];
  const sounding = soundingOf(phrase);
  phrase.notes.forEach((note, i) => {
    const add = (
      code: string,
      severity: Severity,
      message: string,
      facts: Omit<Unplayable, 'code' | 'severity' | 'note' | 'message'> = {},
    ) => found.push({ code, severity, note: i, message, ...facts });
    checkPlace(note, guitar, add);
    checkString(phrase.notes, i, add);
    checkPath(note, sounding[i] as Sounding, add);
    checkLegato(phrase.notes, sounding, i, add);
    checkSpan(phrase.notes, sounding, i, guitar, add);
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
    add('no-such-string', 'fault', `string ${note.string} is not there, ${expected} expected`, {
      found: `string ${note.string}`,
      expected,
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
      remedy: 'if the neck has more frets, say so in the front matter: frets: 27',
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

function checkPath(note: Note, sound: Sounding, add: Add): void {
  const string = note.string;
  if (note.kind === 'on' && sound.origin < 0) {
    const letting = note.path.length > 0 ? 'a release of string' : 'string';
    add('string-silent', 'fault', `${letting} ${string}, which is not sounding here`, {
      remedy: `let the note before ring on with =, as in 8@${string}(0>2)=`,
    });
    return;
  }
  if (note.path.length === 0) return;
  if (note.kind === 'dead') {
    add('dead-bend', 'fault', 'a dead note has no pitch to bend', { remedy: 'take the bend or the x away' });
    return;
  }
  const first = note.path[0];
  if (note.kind === 'fretted' && first?.level === null)
    add('no-level', 'fault', 'a path that starts with > goes on from a held bend, but this note is played anew', {
      remedy: 'write the level it starts at, as in (0>2) or (2>0)',
    });
  if (note.kind === 'on' && first && first.level !== null && first.level !== sound.held)
    add(
      'level-jump',
      'fault',
      `string ${string} is held at ${levelText(sound.held)}, the path starts at ${levelText(first.level)}`,
      {
        remedy: `start from where it is: (>${levelText(note.path.length > 1 ? (note.path[1]?.level ?? cents(0)) : first.level)})`,
      },
    );
  const laid = layBend(note.path, note.length, sound.held);
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
  const peak = peakLevel(note.path);
  if (peak > LARGEST_USUAL_BEND)
    add(
      'large-bend',
      'warning',
      `a bend of ${peak / 100} frets' worth; more than 4 is rarely playable and strains hand and string`,
      {
        found: bendInWords(peak),
      },
    );
}

const levelText = (level: Cents): string => String(level / 100);

function checkLegato(notes: readonly Note[], sounding: readonly Sounding[], i: number, add: Add): void {
  const note = notes[i] as Note;
  if (note.kind !== 'fretted' || (note.start !== 'hammered' && note.start !== 'pulled')) return;
  let j = i - 1;
  while (j >= 0 && (notes[j] as Note).string !== note.string) j--;
  if (j < 0 || (sounding[j] as Sounding).end < note.onset || (sounding[j] as Sounding).origin < 0) return;
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
