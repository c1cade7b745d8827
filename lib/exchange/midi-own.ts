// What this project writes into a MIDI file as texts, where the standard has no message for it; the reader takes the same texts back.
import { DRUMS } from './midi-events.js';

/** The text that says who wrote a file: only then are the others read. */
export const SIGNATURE = 'written by phrasewright';

/** Words that open a text: what follows is the value. */
export const OWN = {
  player: 'player',
  tone: 'tone',
  remark: 'remark',
  key: 'key',
  feel: 'feel',
  /** Stands where a pair of values begins that does not swing with the others. */
  asWritten: 'pair as written',
  /** Open strings from low to high; string 1, the last of them, is on the first channel. */
  tuning: 'tuning',
  capo: 'capo',
  frets: 'frets',
  /** Number of the bar that the file opens with, the count-in left out. */
  bar: 'bar',
  /** Bars of clicks before that. */
  countIn: 'count-in',
  /** First and last bar of the changes. */
  changes: 'changes',
  strum: 'strum',
  /** A note that starts here on a string is a grace note; or a harmonic, touched at a fret: `grace 3`, `harmonic 2 12`. */
  grace: 'grace',
  /** A note that starts here on a string is played so many ticks after the place it is written at, for the graces before it: `behind 3 1411`. */
  behind: 'behind',
  harmonic: 'harmonic',
  section: 'section',
} as const;

/** Words that open a cue point: a phrase begins or ends, a section begins. */
export const CUE = { phrase: 'phrase', end: 'end of phrase', section: 'section' } as const;

/** The channel of a string, counted from 0: one each, that of drums left out. A guitar has eight strings at most. */
export const channelOf = (string: number): number => (string - 1 < DRUMS ? string - 1 : string);

/** The string of a channel. */
export const stringOf = (channel: number): number => (channel < DRUMS ? channel + 1 : channel);
