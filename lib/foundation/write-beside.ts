// Nothing already written is lost: a file is written beside its place and then renamed.
import { mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';

/**
 * Writes a file whole or not at all: beside its place under another name, then renamed. Makes the folders it needs.
 * Throws the system's error (no space, no permission) with the old file untouched.
 */
export function writeBeside(path: string, content: string | Uint8Array): void {
  mkdirSync(dirname(path), { recursive: true });
  const beside = join(dirname(path), `.${basename(path)}.${process.pid}.part`);
  try {
    writeFileSync(beside, content);
    renameSync(beside, path);
  } catch (error) {
    rmSync(beside, { force: true });
    throw error;
  }
}
