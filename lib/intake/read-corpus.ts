// Files and folders -> a corpus of named solos, and what was wrong with the rest.
import { closeSync, openSync, readdirSync, readSync, statSync } from 'node:fs';
import { extname, join, relative } from 'node:path';
import { type Diagnostic, hasFaults } from '../foundation/diagnostic.js';
import type { NamedSolo } from '../solo/tone-table.js';
import { ENDINGS, fileFault, type ReadFile, readSoloFile } from './read-file.js';

/** A corpus: the solos that could be read, in order of their names, and every file with its diagnostics. */
export interface Corpus {
  readonly solos: readonly NamedSolo[];
  readonly files: readonly ReadFile[];
  /** All diagnostics of all files, in order of files. */
  readonly diagnostics: readonly Diagnostic[];
  /** Files of which nothing could be used. */
  readonly lost: readonly string[];
}

/**
 * Reads files and folders (folders with all their subfolders; other files in them are passed over). The order in which they are named makes no difference.
 * A broken file is said and left out; nothing is thrown.
 * @example
 * readCorpus(['no/such/folder']).diagnostics[0]?.message // => 'there is no such file or folder'
 */
export function readCorpus(paths: readonly string[]): Corpus {
  const found = new Map<string, string>(); // path -> id candidate
  const files: ReadFile[] = [];
  for (const path of paths) {
    const listed = list(path);
    if ('fault' in listed) files.push({ path, id: path, text: '', value: undefined, diagnostics: [listed.fault] });
    else for (const file of listed.files) found.set(file, listed.root);
  }
  const ordered = [...found.keys()].sort(byName);
  for (const path of ordered) files.push(readSoloFile(path));
  const times = new Map<string, number>();
  for (const f of files) times.set(f.id, (times.get(f.id) ?? 0) + 1);
  const named = files.map((f) =>
    times.get(f.id) === 1
      ? f
      : { ...f, id: relative(found.get(f.path) ?? '.', f.path).replaceAll('\\', '/') || f.path },
  );
  const solos = named.flatMap((f) =>
    f.value ? [{ id: f.id, solo: f.value, ...(f.proposals && { proposed: f.proposals.said }) }] : [],
  );
  solos.sort((a, b) => byName(a.id, b.id));
  return {
    solos,
    files: named,
    diagnostics: named.flatMap((f) => f.diagnostics),
    lost: named.filter((f) => f.value === undefined && hasFaults(f.diagnostics)).map((f) => f.path),
  };
}

/** True if an XML file opens as a score does: a folder may hold others. A file that cannot be opened is left to be said. */
function isScore(path: string): boolean {
  try {
    const file = openSync(path, 'r');
    const head = Buffer.alloc(4096);
    const length = readSync(file, head, 0, head.length, 0);
    closeSync(file);
    return head.subarray(0, length).toString('latin1').replaceAll('\0', '').includes('<score-');
  } catch {
    return true;
  }
}

const byName = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

function list(
  path: string,
): { readonly files: readonly string[]; readonly root: string } | { readonly fault: Diagnostic } {
  try {
    if (!statSync(path).isDirectory()) return { files: [path], root: '.' };
    const files = readdirSync(path, { recursive: true, withFileTypes: true })
      .filter(
        (entry) => entry.isFile() && ENDINGS.includes(extname(entry.name).toLowerCase()) && !entry.name.startsWith('.'),
      )
      .map((entry) => join(entry.parentPath, entry.name))
      .filter((file) => extname(file).toLowerCase() !== '.xml' || isScore(file));
    if (files.length === 0)
      return {
        fault: fileFault(
          path,
          'empty-folder',
          `this folder holds no file ending in ${ENDINGS.join(', ')}`,
          'name the folder that holds the solos',
        ),
      };
    return { files, root: path };
  } catch (error) {
    const code = (error as { code?: string }).code;
    return {
      fault: fileFault(
        path,
        'cannot-read',
        code === 'ENOENT' ? 'there is no such file or folder' : `it cannot be read (${code ?? 'unknown reason'})`,
        'check the path',
      ),
    };
  }
}
