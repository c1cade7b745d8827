// One file of any known kind -> a Solo and its faults.
import { readFileSync, statSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { readSoloJson } from '../exchange/json.js';
import { parseMusicXml, type ScoreReading } from '../exchange/musicxml-read.js';
import type { ScoreReport } from '../exchange/musicxml-report.js';
import { type Diagnostic, hasFaults, type Reading } from '../foundation/diagnostic.js';
import { parseSolo, SOLO_ENDING } from '../notation/parser.js';
import type { Solo } from '../solo/solo.js';

/** Endings of files that can be read. */
export const ENDINGS: readonly string[] = [SOLO_ENDING, '.json', '.musicxml', '.mxl', '.xml'];
/** Those of them that hold scores in MusicXML. */
export const SCORE_ENDINGS: readonly string[] = ['.musicxml', '.mxl', '.xml'];

/** How to read a file that holds more than one solo may need: of a score, which part, and whether its repeats are played out. */
export interface ReadOptions {
  readonly part?: string;
  readonly unfold?: boolean;
}

/** What came of one file. */
export interface ReadFile extends Reading<Solo> {
  readonly path: string;
  /** The file's name without its ending: what the solo is called in tables. */
  readonly id: string;
  /** The text read, for showing faults in place; `''` when it could not be read. */
  readonly text: string;
  /** Of a score: what was read, chosen, approximated and dropped. */
  readonly report?: ScoreReport;
}

/** Files larger than this (bytes) are refused unread. */
export const LARGEST_FILE = 64 * 1024 * 1024;

/**
 * Reads a solo from a file by its ending: solo text, JSON or MusicXML. Nothing is thrown: a missing or unreadable file is a fault like any other.
 * @example
 * readSoloFile('no-such.solo').diagnostics[0]?.message // => 'there is no such file'
 */
export function readSoloFile(path: string, options: ReadOptions = {}): ReadFile {
  const id = basename(path, extname(path));
  const failed = (code: string, message: string, remedy: string): ReadFile => ({
    path,
    id,
    text: '',
    value: undefined,
    diagnostics: [fileFault(path, code, message, remedy)],
  });
  if (isFolder(path))
    return failed(
      'folder',
      'this is a folder, and one file is asked for',
      'name a file in it, as in data/solos/slipway-tar.solo',
    );
  const ending = extname(path).toLowerCase();
  if (!ENDINGS.includes(ending))
    return failed(
      'unknown-ending',
      ending === '' ? 'the name of the file has no ending' : `files ending in ${ending} are not read`,
      `solos end in ${ENDINGS.join(', ')}`,
    );
  let bytes: Uint8Array;
  try {
    const { size } = statSync(path);
    if (size > LARGEST_FILE)
      return failed('too-large', `the file has ${size} bytes, at most ${LARGEST_FILE} expected`, 'split it into solos');
    bytes = readFileSync(path);
  } catch (error) {
    return failed('cannot-read', systemWords(error), 'check the path and its permissions');
  }
  if (SCORE_ENDINGS.includes(ending)) return fromScore(path, id, parseMusicXml(bytes, { ...options, file: path }));
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return failed('not-utf8', 'the file is not UTF-8 text', 'save it as UTF-8');
  }
  const reading = ending === SOLO_ENDING ? parseSolo(text, path) : readSoloJson(text, path);
  return { path, id, text, ...reading };
}

function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false; // what is wrong with it is said when it is read
  }
}

/** The solo of a score; a melody has no places on the neck, so that it is none yet. */
function fromScore(path: string, id: string, { solo, melody, diagnostics, report, text }: ScoreReading): ReadFile {
  const bare =
    melody && !hasFaults(diagnostics)
      ? [
          fileFault(
            path,
            'no-positions',
            `part "${report.part}" has no positions yet: it says pitches, not strings and frets`,
            'write it with a tab staff, or choose a part that has one',
          ),
        ]
      : [];
  return { path, id, text, value: solo, diagnostics: [...bare, ...diagnostics], report };
}

/** A fault of the file as a whole. */
export function fileFault(file: string, code: string, message: string, remedy: string): Diagnostic {
  return { code, severity: 'fault', file, place: { line: 1, column: 1, endLine: 1, endColumn: 1 }, message, remedy };
}

function systemWords(error: unknown): string {
  const code = (error as { code?: string }).code;
  if (code === 'ENOENT') return 'there is no such file';
  if (code === 'EACCES') return 'the file may not be read';
  if (code === 'EISDIR') return 'this is a folder';
  return `the file cannot be read (${code ?? 'unknown reason'})`;
}
