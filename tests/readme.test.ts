// What README shows of the command line is what the command line says.
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { diagnosticText } from '../lib/foundation/diagnostic.js';
import { find } from '../lib/jobs/find.js';
import { relations } from '../lib/jobs/relations.js';
import type { Terminal } from '../lib/jobs/terminal.js';
import { parseSolo } from '../lib/notation/parser.js';

const readme = readFileSync('README.md', 'utf8');
const block = (start: string): string => {
  const from = readme.indexOf(`\`\`\`\n${start}`);
  if (from < 0) throw new Error(`README has no block that starts with ${start}`);
  return readme.slice(from + 4, readme.indexOf('\n```', from + 4));
};

it('the solo of README reads without a fault, and its fault is said as shown', () => {
  const text = block('---\ntitle: Half a Street');
  expect(parseSolo(text).diagnostics).toEqual([]);
  const shown = block('my-solos/half-a-street.solo:');
  const wrong = /\| {3}(q .*\|)$/m.exec(shown)?.[1] as string;
  const spoiled = text.replace(/^ {2}q 7@3.*$/m, `  ${wrong}`);
  const { diagnostics } = parseSolo(spoiled, 'my-solos/half-a-street.solo');
  expect(diagnostics).toHaveLength(1);
  const [fault] = diagnostics;
  expect(fault && diagnosticText(fault, spoiled.split('\n')[fault.place.line - 1])).toBe(shown);
});

it('shows the motifs that the command finds', async () => {
  const { motifs } = await import('../lib/jobs/motifs.js');
  const lines: string[] = [];
  const where = { solo: ['slipway-sunday', 'low-water-gate', 'wet-rope'] };
  const terminal = { out: (text: string) => lines.push(text), err: (text: string) => lines.push(text) };
  motifs(['data/solos'], { where, as: 'steps', tones: 5, most: 1, json: false }, terminal);
  expect(lines.join('\n')).toBe(block('2 motifs by steps'));
});

it('relations and find say of the demo solos what is shown', () => {
  const said = (run: (terminal: Terminal) => unknown): string => {
    const lines: string[] = [];
    run({ out: (text) => void lines.push(text), err: (text) => void lines.push(text) });
    return lines.join('\n');
  };
  const solo = 'back-room-eight-chairs';
  const related = said((terminal) =>
    relations(['data/solos'], { where: { solo }, within: 'solo', most: 1, json: false }, terminal),
  );
  expect(block('$ phrasewright relations').split('\n').slice(1).join('\n')).toBe(related);
  const shown = block('$ phrasewright find').split('\n');
  const query = /"(.*)"/.exec(shown[0] as string)?.[1] as string;
  const found = said((terminal) => find(query, ['data/solos'], { where: {}, most: 20, json: false }, terminal));
  expect(shown.slice(1).join('\n')).toBe(found);
});

it('names every column of the tone table in data/tables.md', async () => {
  const { toneColumns } = await import('../lib/exchange/table-export.js');
  const { toneTable } = await import('../lib/solo/tone-table.js');
  const documented = readFileSync('data/tables.md', 'utf8');
  for (const column of Object.keys(toneColumns(toneTable([]))))
    expect(documented).toMatch(new RegExp(`\\b${column}\\b`));
});
