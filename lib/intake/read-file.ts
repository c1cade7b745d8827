// One file of any known kind -> a Solo and its faults.
import { readFileSync, statSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { readSoloJson } from '../exchange/json.js';
import type { Diagnostic, Reading } from '../foundation/diagnostic.js';
import { parseSolo, SOLO_ENDING } from '../notation/parser.js';
import type { Solo } from '../solo/solo.js';

/** Endings of files that can be read. */
export const ENDINGS: readonly string[] = [SOLO_ENDING, '.json'];

/** What came of one file. */
export interface ReadFile extends Reading<Solo> {
  readonly path: string;
  /** The file's name without its ending: what the solo is called in tables. */
  readonly id: string;
  /** The text read, for showing faults in place; `''` when it could not be read. */
  readonly text: string;
}

/** Files larger than this (bytes) are refused unread. */
export const LARGEST_FILE = 64 * 1024 * 1024;

/**
 * Reads a solo from a file by its ending: solo text or JSON. Nothing is thrown: a missing or unreadable file is a fault like any other.
 * @example
 * readSoloFile('no-such.solo').diagnostics[0]?.message // => 'there is no such file'
 */
export function readSoloFile(path: string): ReadFile {
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
      `solos end in ${ENDINGS.join(' or ')}`,
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
