// convert: a solo from one form into another: solo text, JSON, MusicXML, MIDI, by the endings of the files.
import { extname, resolve } from 'node:path';
import { printSoloJson } from '../exchange/json.js';
import { type MidiOptions, printMidi } from '../exchange/midi-write.js';
import { scoreReportText } from '../exchange/musicxml-report.js';
import { printMusicXml } from '../exchange/musicxml-write.js';
import { packScore } from '../exchange/musicxml-zip.js';
import { hasFaults, printable } from '../foundation/diagnostic.js';
import { writeBeside } from '../foundation/write-beside.js';
import { ENDINGS, MIDI_ENDINGS, type ReadOptions, readSoloFile, SCORE_ENDINGS } from '../intake/read-file.js';
import { printSolo } from '../notation/printer.js';
import type { Solo } from '../solo/solo.js';
import { count, type ExitCode, fileReport, type Terminal } from './terminal.js';

/** How to read the one file and write the other; tempo and count-in are those of a MIDI file. */
export type ConvertOptions = ReadOptions & Pick<MidiOptions, 'tempo' | 'countIn'>;

/** Converts a file. What could not be carried over is said: of a score that is read on the error side, of one that is written behind its line. */
export function convert(from: string, to: string, options: ConvertOptions, terminal: Terminal): ExitCode {
  const ending = extname(to).toLowerCase();
  if (!ENDINGS.includes(ending)) {
    terminal.err(`${to}: files ending in ${ending || 'nothing'} are not written; solos end in ${ENDINGS.join(', ')}`);
    return 1;
  }
  if (resolve(from) === resolve(to)) {
    terminal.err(`${to} is the file itself: name another to write`);
    return 1;
  }
  const unused = unusedOption(from, ending, options);
  if (unused !== undefined) {
    terminal.err(unused);
    return 1;
  }
  const file = readSoloFile(from, options);
  for (const text of fileReport(file)) terminal.err(text);
  if (file.report && file.report.part !== '')
    for (const line of scoreReportText(file.report).split('\n')) terminal.err(printable(line));
  if (!file.value) return 1;
  // What is proposed is said in what is written, where it will be read and mended.
  const { remarks } = file.value;
  const solo = { ...file.value, remarks: [...remarks, ...(file.proposals?.said ?? [])] };
  const lost = write(solo, to, ending, options);
  const notes = solo.phrases.reduce((sum, p) => sum + p.notes.filter((n) => n.grace === 0).length, 0);
  terminal.out(`${to}: ${printable(solo.title)}, ${count(solo.phrases.length, 'phrase')}, ${count(notes, 'note')}`);
  for (const text of lost) terminal.out(`  ${printable(text)}`);
  return hasFaults(file.diagnostics) ? 1 : 0;
}

/** An option that these two files have no use for, said. */
function unusedOption(from: string, ending: string, { changes, tempo, countIn }: ConvertOptions): string | undefined {
  const source = extname(from).toLowerCase();
  if (changes !== undefined && !SCORE_ENDINGS.includes(source) && !MIDI_ENDINGS.includes(source))
    return `--changes ${changes}: ${from} has changes of its own; mend them there`;
  if ((tempo !== undefined || countIn !== undefined) && !MIDI_ENDINGS.includes(ending))
    return `${tempo === undefined ? '--count-in' : '--tempo'} is for files ending in ${MIDI_ENDINGS.join(', ')}, which are played; ${ending} says what is written`;
  return undefined;
}

/** Writes a solo in the form that an ending stands for; what the form does not hold, in words. */
function write(solo: Solo, path: string, ending: string, { tempo, countIn }: ConvertOptions): readonly string[] {
  if (ending === '.solo') {
    writeBeside(path, printSolo(solo));
    return [];
  }
  if (ending === '.json') {
    writeBeside(path, printSoloJson(solo));
    return [];
  }
  if (MIDI_ENDINGS.includes(ending)) {
    const { bytes, lost } = printMidi(solo, {
      ...(tempo !== undefined && { tempo }),
      ...(countIn !== undefined && { countIn }),
    });
    writeBeside(path, bytes);
    return lost.map(({ message, count: times }) => (times === 1 ? message : `${message} (${times} times)`));
  }
  const { text, lost } = printMusicXml(solo);
  writeBeside(path, ending === '.mxl' ? packScore(text) : text);
  return lost.map(({ message, detail }) => `${message} (${detail})`);
}
