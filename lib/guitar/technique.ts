// What the hands do, and what the ear gets of it.

/** How a note begins. Slides say from which side they come. `none`: the string goes on sounding and is not played again. */
export const NOTE_STARTS = ['picked', 'hammered', 'pulled', 'slid up', 'slid down', 'tapped', 'none'] as const;
/** How a note begins. */
export type NoteStart = (typeof NOTE_STARTS)[number];

/** The letters of starts, as they are written by hand in tab (common practice, no source); none for a picked note and for one that goes on. */
export const START_LETTERS: Readonly<Record<NoteStart, string>> = {
  picked: '',
  hammered: 'h',
  pulled: 'p',
  'slid up': '/',
  'slid down': '\\',
  tapped: 't',
  none: '',
};

/** How a tone begins for the ear. */
export const TONE_STARTS = ['picked', 'hammered', 'pulled', 'slid', 'tapped', 'none'] as const;
/** How a tone begins for the ear. */
export type ToneStart = (typeof TONE_STARTS)[number];

/** How a tone's pitch was reached: from the bare fret, bent up, bent before the pick, held bent and picked again, let down. */
export const REACHED = ['straight', 'bent', 'prebent', 'held', 'released'] as const;
/** How a tone's pitch was reached. */
export type Reached = (typeof REACHED)[number];

/** A note's start without the side that a slide comes from. */
export const toneStart = (start: NoteStart): ToneStart =>
  start === 'slid up' || start === 'slid down' ? 'slid' : start;

/** Struck: picked or tapped. */
export const isStruck = (start: NoteStart | ToneStart): boolean => start === 'picked' || start === 'tapped';

/** Natural harmonics: semitones above the open string (or the capo) by the fret they are touched at, to the nearest semitone. Source: the harmonic series. */
const HARMONICS: ReadonlyMap<number, number> = new Map([
  [3, 31],
  [4, 28],
  [5, 24],
  [7, 19],
  [9, 28],
  [12, 12],
  [16, 28],
  [19, 19],
  [24, 24],
]);

/** Semitones above the open string of the natural harmonic touched at a fret, or `undefined` where none speaks. */
export const harmonicAbove = (touchedAt: number): number | undefined => HARMONICS.get(touchedAt);

/** The frets at which a natural harmonic speaks. */
export const HARMONIC_FRETS: readonly number[] = [...HARMONICS.keys()];
