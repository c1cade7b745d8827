// convert: a solo from one form into another: solo text, JSON, MusicXML, by the endings of the files.
import { extname, resolve } from 'node:path';
import { printSoloJson } from '../exchange/json.js';
import { scoreReportText } from '../exchange/musicxml-report.js';
import { printMusicXml } from '../exchange/musicxml-write.js';
import { packScore } from '../exchange/musicxml-zip.js';
import { hasFaults, printable } from '../foundation/diagnostic.js';
import { writeBeside } from '../foundation/write-beside.js';
import { ENDINGS, type ReadOptions, readSoloFile } from '../intake/read-file.js';
import { printSolo } from '../notation/printer.js';
import type { Solo } from '../solo/solo.js';
import { count, type ExitCode, fileReport, type Terminal } from './terminal.js';

/** Converts a file. What could not be carried over is said: of a score that is read on the error side, of one that is written behind its line. */
export function convert(from: string, to: string, options: ReadOptions, terminal: Terminal): ExitCode {
  const ending = extname(to).toLowerCase();
  if (!ENDINGS.includes(ending)) {
    terminal.err(`${to}: files ending in ${ending || 'nothing'} are not written; solos end in ${ENDINGS.join(', ')}`);
    return 1;
  }
  if (resolve(from) === resolve(to)) {
    terminal.err(`${to} is the file itself: name another to write`);
    return 1;
  }
  const file = readSoloFile(from, options);
  for (const text of fileReport(file)) terminal.err(text);
  if (file.report && file.report.part !== '')
    for (const line of scoreReportText(file.report).split('\n')) terminal.err(printable(line));
  const solo = file.value;
  if (!solo) return 1;
  const lost = write(solo, to, ending);
  const notes = solo.phrases.reduce((sum, p) => sum + p.notes.filter((n) => n.grace === 0).length, 0);
  terminal.out(`${to}: ${printable(solo.title)}, ${count(solo.phrases.length, 'phrase')}, ${count(notes, 'note')}`);
  for (const text of lost) terminal.out(`  ${printable(text)}`);
  return hasFaults(file.diagnostics) ? 1 : 0;
}

/** Writes a solo in the form that an ending stands for; what the form does not hold, in words. */
function write(solo: Solo, path: string, ending: string): readonly string[] {
  if (ending === '.solo') {
    writeBeside(path, printSolo(solo));
    return [];
  }
  if (ending === '.json') {
    writeBeside(path, printSoloJson(solo));
    return [];
  }
  const { text, lost } = printMusicXml(solo);
  writeBeside(path, ending === '.mxl' ? packScore(text) : text);
  return lost.map(({ message, detail }) => `${message} (${detail})`);
}
