// Changes written in a file of their own, laid under a melody or a solo that came without chords.
import type { Diagnostic } from '../foundation/diagnostic.js';
import { parseSolo } from '../notation/parser.js';
import { printSolo } from '../notation/printer.js';
import { barGrid, type Setting } from '../solo/changes.js';
import type { Melody } from '../solo/melody.js';
import { EMPTY_SOLO } from '../solo/solo.js';
import { meterText } from '../theory/meter.js';

/** What came of laying changes under a piece: the piece with them, or as it was where the changes cannot be used. */
export interface WithChanges<P> {
  readonly piece: P;
  readonly diagnostics: readonly Diagnostic[];
}

/**
 * Lays changes under a piece: a text of lines as they stand under `changes` in a solo, whose bar 1 is the first full bar of the piece. Tempo and meter are
 * those of the piece, and a meter that the text has otherwise is a fault; its chords, sections, strumming patterns, keys and feels hold.
 * @param text - With or without the line `changes` before it.
 * @example
 * const solo = parseSoloOrThrow(EXAMPLE_SOLO)
 * withChanges(solo, '1 Dm7 | G7 |', 'ours.changes').piece.changes.bars.map((bar) => bar[0].symbol) // => ['Dm7', 'G7']
 * withChanges(solo, '1 Dm7 | G7', 'ours.changes').piece.changes.bars.length // => 2
 */
export function withChanges<P extends Omit<Melody, 'phrases'>>(piece: P, text: string, file: string): WithChanges<P> {
  const { meter, key, tempo, feel } = piece;
  const before = `${printSolo({ ...EMPTY_SOLO, player: 'unknown', meter, key, tempo, feel })}${/^\s*changes\s*$/m.test(text) ? '' : 'changes\n'}`;
  const lines = before.split('\n').length - 1;
  const { value, diagnostics } = parseSolo(`${before}${text}\n`, file);
  const moved = diagnostics
    .filter((d) => d.code !== 'no-phrases') // it is to have none
    .map((d): Diagnostic => {
      const { line, endLine } = d.place;
      return { ...d, place: { ...d.place, line: Math.max(1, line - lines), endLine: Math.max(1, endLine - lines) } };
    });
  const fault = (code: string, message: string, remedy: string): WithChanges<P> => ({
    piece,
    diagnostics: [
      ...moved,
      {
        code,
        severity: 'fault',
        file,
        place: { line: 1, column: 1, endLine: 1, endColumn: 1 },
        message,
        remedy,
      },
    ],
  });
  if (!value || moved.some((d) => d.severity === 'fault')) return { piece, diagnostics: moved };
  const { changes } = value;
  if (value.phrases.length > 0)
    return fault(
      'phrases',
      'this file holds phrases, and changes alone are asked for',
      'leave only its changes: a line "changes" and the bars under it',
    );
  if (changes.bars.length === 0)
    return fault('no-changes', 'this file holds no changes', 'write bars of chords, as in 1 Am7 | D7 |');
  const theirs = barGrid(value, changes.settings);
  const own = barGrid(piece, piece.changes.settings);
  for (let bar: number = changes.firstBar; bar < changes.firstBar + changes.bars.length; bar++) {
    const [here, there] = [meterText(own.bar(bar).meter), meterText(theirs.bar(bar).meter)];
    if (here !== there)
      return fault(
        'meter',
        `bar ${bar} is in ${there} in these changes, and in ${here} in the notes`,
        `write meter ${here} from ${bar}`,
      );
  }
  return {
    piece: { ...piece, changes: { ...changes, settings: merged(piece.changes.settings, changes.settings) } },
    diagnostics: moved,
  };
}

/** The settings of the piece with the keys and feels of the changes. */
function merged(own: readonly Setting[], theirs: readonly Setting[]): readonly Setting[] {
  const bars = new Map(own.map((s) => [s.bar as number, s]));
  for (const { bar, key, feel } of theirs)
    if (key || feel) bars.set(bar, { ...(bars.get(bar) ?? { bar }), ...(key && { key }), ...(feel && { feel }) });
  return [...bars.values()].sort((a, b) => a.bar - b.bar);
}
