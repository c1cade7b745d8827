// One file of any known kind -> a Solo and its faults.
import { readFileSync, statSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { readSoloJson } from '../exchange/json.js';
import { parseMidi } from '../exchange/midi-read.js';
import { parseMusicXml, type ScoreReading } from '../exchange/musicxml-read.js';
import type { ScoreReport } from '../exchange/musicxml-report.js';
import { type Diagnostic, hasFaults, type Reading } from '../foundation/diagnostic.js';
import { parseSolo, SOLO_ENDING } from '../notation/parser.js';
import type { Changes } from '../solo/changes.js';
import type { Melody } from '../solo/melody.js';
import type { Solo } from '../solo/solo.js';
import { type Proposals, proposeSolo } from './proposals.js';
import { withChanges } from './side-changes.js';

/** Endings of files that can be read. */
export const ENDINGS: readonly string[] = [SOLO_ENDING, '.json', '.musicxml', '.mxl', '.xml', '.mid', '.midi'];
/** Those of them that hold scores in MusicXML. */
export const SCORE_ENDINGS: readonly string[] = ['.musicxml', '.mxl', '.xml'];
/** Those that are Standard MIDI Files. */
export const MIDI_ENDINGS: readonly string[] = ['.mid', '.midi'];

/** How to read a score or a MIDI file. */
export interface ReadOptions {
  /** Which part of it. Default: the likeliest, which the report says. */
  readonly part?: string;
  /** Of a score: play out its repeats. */
  readonly unfold?: boolean;
  /** A file of changes to lay under it: lines as they stand under `changes` in a solo. */
  readonly changes?: string;
  /** Of pitches without places: the position wished for. Default: low on the neck. */
  readonly position?: number;
}

/** What came of one file. */
export interface ReadFile extends Reading<Solo> {
  readonly path: string;
  /** The file's name without its ending: what the solo is called in tables. */
  readonly id: string;
  /** The text read, for showing faults in place; `''` when it could not be read. */
  readonly text: string;
  /** Of a score or a MIDI file: what was read, chosen, approximated and dropped. */
  readonly report?: ScoreReport;
  /** Of pitches without places on the neck: what was proposed of them. */
  readonly proposals?: Proposals;
}

/** Files larger than this (bytes) are refused unread. */
export const LARGEST_FILE = 64 * 1024 * 1024;

/**
 * Reads a solo from a file by its ending: solo text, JSON, MusicXML or MIDI. Nothing is thrown: a missing or unreadable file is a fault like any other.
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
  const bytes = bytesOf(path);
  if ('code' in bytes) return failed(bytes.code, bytes.message, bytes.remedy);
  if (SCORE_ENDINGS.includes(ending))
    return fromScore(path, id, parseMusicXml(bytes, { ...options, file: path }), options);
  if (MIDI_ENDINGS.includes(ending))
    return fromScore(path, id, { ...parseMidi(bytes, { ...options, file: path }), text: '' }, options);
  const text = textIn(bytes);
  if (typeof text !== 'string') return failed(text.code, text.message, text.remedy);
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

/** Why a file cannot be read. */
interface Unreadable {
  readonly code: string;
  readonly message: string;
  readonly remedy: string;
}

function bytesOf(path: string): Uint8Array | Unreadable {
  try {
    const { size } = statSync(path);
    if (size > LARGEST_FILE)
      return {
        code: 'too-large',
        message: `the file has ${size} bytes, at most ${LARGEST_FILE} expected`,
        remedy: 'split it into solos',
      };
    return readFileSync(path);
  } catch (error) {
    return { code: 'cannot-read', message: systemWords(error), remedy: 'check the path and its permissions' };
  }
}

function textIn(bytes: Uint8Array): string | Unreadable {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return { code: 'not-utf8', message: 'the file is not UTF-8 text', remedy: 'save it as UTF-8' };
  }
}

/** The solo of a score or a MIDI file, over the changes of another file if there is one; where they say pitches alone, places on the neck are proposed. */
function fromScore(
  path: string,
  id: string,
  { solo, melody, hasKey, diagnostics, report, text }: ScoreReading,
  { changes, position }: ReadOptions,
): ReadFile {
  const under = changes === undefined ? undefined : changesUnder(solo ?? melody, changes);
  const over = <P extends Solo | Melody>(piece: P): P => ({
    ...piece,
    ...(under?.changes && { changes: under.changes }),
  });
  const proposed =
    melody && !hasFaults(diagnostics)
      ? proposeSolo(over(melody), { hasKey, ...(position !== undefined && { position }) })
      : undefined;
  const none =
    melody && !proposed && !hasFaults(diagnostics)
      ? [fileFault(path, 'no-positions', `no note of part "${report.part}" lies on a guitar`, 'choose another part')]
      : [];
  return {
    path,
    id,
    text,
    value: proposed ? proposed.solo : solo && over(solo),
    diagnostics: [...none, ...diagnostics, ...(under?.diagnostics ?? [])],
    report,
    ...(proposed && { proposals: proposed.proposals }),
  };
}

/** The changes of a file, as they lie under a piece. */
function changesUnder(
  piece: Solo | Melody | undefined,
  path: string,
): { readonly changes?: Changes; readonly diagnostics: readonly Diagnostic[] } | undefined {
  const failed = ({ code, message, remedy }: Unreadable) => ({ diagnostics: [fileFault(path, code, message, remedy)] });
  const bytes = bytesOf(path);
  if ('code' in bytes) return failed(bytes);
  const text = textIn(bytes);
  if (typeof text !== 'string') return failed(text);
  if (!piece) return undefined;
  const { piece: over, diagnostics } = withChanges(piece, text, path);
  return { changes: over.changes, diagnostics };
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
