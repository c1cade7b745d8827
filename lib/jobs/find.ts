// find: places in solos that a query asks for, with the tab of the first few.
import type { ToneFilter } from '../analysis/grouping.js';
import { meterOfTone } from '../analysis/phrase-relation-pair.js';
import { findPhrases, type PhraseMatch, type PhraseSearch } from '../analysis/phrase-search.js';
import { queryText } from '../analysis/query-print.js';
import { parseQuery } from '../analysis/query-text.js';
import { barInWords, countInWords } from '../analysis/spoken.js';
import { tabText } from '../engraving/tab-text.js';
import { diagnosticText } from '../foundation/diagnostic.js';
import { lineText, sourceText } from '../foundation/source-text.js';
import type { NamedSolo, ToneTable } from '../solo/tone-table.js';
import { askedOf, count, type ExitCode, type Terminal } from './terminal.js';

/** What to find, and where. */
export interface FindOptions {
  readonly where: ToneFilter;
  /** How many places to list. */
  readonly most: number;
  readonly json: boolean;
}

/** How many phrases are shown as tab. */
const TABS = 3;

/** Searches files and folders. Exit code 1 if any file had faults, though the rest is searched; 2 if the query cannot be read. */
export function find(text: string, paths: readonly string[], asked: FindOptions, terminal: Terminal): ExitCode {
  if (sayQueryFault(text, undefined, terminal)) return 2; // before any file is read
  const read = askedOf(paths, asked.where, terminal);
  if (typeof read === 'number') return read;
  const { table, where, faulty } = read;
  const chords = [...new Set([...table.chords, ...table.functions])];
  if (sayQueryFault(text, chords, terminal)) return 2;
  const { value } = parseQuery(text);
  if (value === undefined) return 2;
  const found = findPhrases(table, value, { where });
  if (asked.json) terminal.out(JSON.stringify(jsonOf(found, asked.most), null, 1));
  else for (const line of lines(table, found, asked.most)) terminal.out(line);
  return faulty ? 1 : 0;
}

/** Says what is wrong with a query, if anything, given the chords that there are; true if so. */
function sayQueryFault(text: string, chords: readonly string[] | undefined, terminal: Terminal): boolean {
  const { diagnostics } = parseQuery(text, chords ? { chords } : {});
  for (const fault of diagnostics) terminal.err(diagnosticText(fault, lineText(sourceText(text), fault.place.line)));
  return diagnostics.length > 0;
}

function* lines(table: ToneTable, found: PhraseSearch, most: number): Generator<string> {
  const { query, matches, phrases, searched } = found;
  const solos = new Set(matches.map(({ soloNumber }) => soloNumber)).size;
  const head = matches.length === 0 ? 'no place' : count(matches.length, 'place');
  const where = matches.length === 0 ? '' : ` in ${count(phrases, 'phrase')} of ${count(solos, 'solo')}`;
  yield `${head}${where}: ${queryText(query)} (${count(searched, 'phrase')} searched)${matches.length > most ? `; the first ${most}:` : ''}`;
  const shown = matches.slice(0, most);
  const width = Math.max(0, ...shown.map(({ solo }) => solo.length));
  for (const match of shown)
    yield `  ${match.solo.padEnd(width)}  phrase ${match.phrase}, ${placeInWords(table, match)}`;
  const tabs = new Map(shown.map((match) => [`${match.soloNumber} ${match.phrase}`, match]));
  for (const { soloNumber, solo, phrase } of [...tabs.values()].slice(0, TABS))
    yield `\n${solo}, ${tabText((table.solos[soloNumber] as NamedSolo).solo, { phrase }).trimEnd()}`;
}

/** `bar 3, the and of 2`, to where the last tone begins. */
function placeInWords(table: ToneTable, { bar, count: at, rows }: PhraseMatch): string {
  const first = rows[0] as number;
  const last = table.columns.bar[rows[rows.length - 1] as number] as number;
  return `${barInWords(bar)}, ${countInWords(at, meterOfTone(table, first))}${last > bar ? `, to bar ${last}` : ''}`;
}

function jsonOf({ query, matches, phrases, searched }: PhraseSearch, most: number): unknown {
  const places = matches.slice(0, most).map(({ solo, player, phrase, bar, count: at, rows }) => ({
    solo,
    player,
    phrase,
    bar,
    count: at,
    tones: rows.length,
  }));
  return { text: queryText(query), query, found: matches.length, phrases, searched, places };
}
