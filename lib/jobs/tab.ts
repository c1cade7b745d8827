// tab: a solo or one of its phrases as plain-text tab.

import { tabText } from '../engraving/tab-text.js';
import { hasFaults } from '../foundation/diagnostic.js';
import { readSoloFile } from '../intake/read-file.js';
import { feelText } from '../solo/changes.js';
import { meterText, tempoInWords } from '../theory/meter.js';
import { keyText } from '../theory/scale.js';
import { type ExitCode, fileReport, type Terminal } from './terminal.js';

/** Prints the tab of a file. Faults are said on the error side; what could be read is still shown. */
export function tab(
  path: string,
  options: { readonly phrase?: string; readonly width?: number },
  terminal: Terminal,
): ExitCode {
  const file = readSoloFile(path);
  for (const text of fileReport(file)) terminal.err(text);
  const solo = file.value;
  if (!solo) return 1;
  if (options.phrase !== undefined && !solo.phrases.some((p) => p.id === options.phrase)) {
    terminal.err(`${path}: there is no phrase ${options.phrase}; phrases: ${solo.phrases.map((p) => p.id).join(', ')}`);
    return 1;
  }
  const { title, player, key, meter, tempo, feel, guitar } = solo;
  const capo = guitar.capo > 0 ? `, capo ${guitar.capo}` : '';
  terminal.out(
    `${title}${player ? ` (${player})` : ''}: ${keyText(key)}, ${meterText(meter)}, ${tempoInWords(tempo, meter)}, ${feelText(feel)}${capo}`,
  );
  terminal.out(tabText(solo, options));
  return hasFaults(file.diagnostics) ? 1 : 0;
}
