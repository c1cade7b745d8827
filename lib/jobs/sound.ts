// sound: a solo or one of its phrases as a WAV file.
import { join } from 'node:path';
import { hasFaults, printable } from '../foundation/diagnostic.js';
import { writeBeside } from '../foundation/write-beside.js';
import { readSoloFile } from '../intake/read-file.js';
import { performanceOf } from '../solo/performance.js';
import { LONGEST_SECONDS, samplesOf } from '../sound/string-synth.js';
import { wavBytes } from '../sound/wav.js';
import { count, type ExitCode, fileReport, type Terminal } from './terminal.js';

/** What to play, and where to write it. */
export interface SoundOptions {
  /** The file to write, ending in .wav. Default: the name of the solo's file, in the folder out. */
  readonly out?: string;
  readonly phrase?: string;
  /** Quarter notes a minute, 20 to 400. */
  readonly tempo?: number;
}

/** Said with every file of sound. Common practice, no source. */
export const START_QUIET = 'Start quiet: turn the volume down before you press play. Loud sound harms ears.';

/** Silence before the first note, in seconds. */
const LEAD = 0.2;

/** Writes the sound of a file. Faults are said on the error side; what could be read is still played, and the exit code is 1. */
export function sound(path: string, options: SoundOptions, terminal: Terminal): ExitCode {
  const { out: asked, ...what } = options;
  const file = readSoloFile(path);
  const out = asked ?? join('out', `${file.id}.wav`);
  for (const text of fileReport(file)) terminal.err(text);
  const solo = file.value;
  if (!solo) return 1;
  const ids = solo.phrases.map((p) => p.id);
  if (what.phrase !== undefined && !ids.includes(what.phrase)) {
    terminal.err(`${path}: there is no phrase ${what.phrase}; phrases: ${printable(ids.join(', '))}`);
    return 1;
  }
  const performance = performanceOf(solo, what);
  const [first] = performance.sounds;
  if (!first) {
    terminal.err(`${path}: there is no note to play; nothing is written`);
    return 1;
  }
  const from = Math.max(0, first.at - LEAD);
  if (performance.seconds > LONGEST_SECONDS) {
    const minutes = (seconds: number): string => `${Math.round(seconds / 60)} minutes`;
    terminal.err(
      `${path} would sound for ${minutes(performance.seconds)}, at most ${minutes(LONGEST_SECONDS)} expected; nothing is written. Take one phrase (--phrase) or a faster tempo (--tempo)`,
    );
    return 1;
  }
  const samples = samplesOf(performance, { from });
  writeBeside(out, wavBytes(samples));
  const notes = count(performance.sounds.length, 'note');
  terminal.out(
    `${out}: ${notes} in ${(performance.seconds - from).toFixed(1)} s, at ${performance.tempo} quarter notes a minute`,
  );
  if (performance.unheard.length > 0)
    terminal.out(`written but not heard in it: ${printable(performance.unheard.map((mark) => `:${mark}`).join(' '))}`);
  terminal.out(START_QUIET);
  return hasFaults(file.diagnostics) ? 1 : 0;
}
