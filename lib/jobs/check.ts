// check: reads solos and says every fault at its place.
import { hasFaults } from '../foundation/diagnostic.js';
import { readCorpus } from '../intake/read-corpus.js';
import { count, type ExitCode, fileReport, type Terminal, tally } from './terminal.js';

/** Checks files and folders. Exit code 1 if any fault was found; warnings alone are no fault. */
export function check(paths: readonly string[], terminal: Terminal): ExitCode {
  const corpus = readCorpus(paths);
  for (const file of corpus.files) for (const text of fileReport(file)) terminal.out(text);
  const phrases = corpus.solos.reduce((sum, s) => sum + s.solo.phrases.length, 0);
  const lost = corpus.lost.length > 0 ? `; ${count(corpus.lost.length, 'file')} could not be used` : '';
  terminal.out(
    `${count(corpus.files.length, 'file')}, ${count(phrases, 'phrase')} read whole: ${tally(corpus.diagnostics)}${lost}`,
  );
  return hasFaults(corpus.diagnostics) ? 1 : 0;
}
