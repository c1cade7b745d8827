// A lead sheet as a notation program writes it (no strings, no frets, no phrases): counted at once, with all that was proposed said. The tune is made up here.
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { intervalUse } from '../../lib/analysis/interval-use.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { readSoloFile } from '../../lib/intake/read-file.js';
import { check } from '../../lib/jobs/check.js';
import { convert } from '../../lib/jobs/convert.js';
import { motifs } from '../../lib/jobs/motifs.js';
import { relations } from '../../lib/jobs/relations.js';
import { study } from '../../lib/jobs/study.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { toneTable } from '../../lib/solo/tone-table.js';

const folder = mkdtempSync(join(tmpdir(), 'sheet-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Cell {
  /** Step and octave as in `Bb4`; absent for a rest. */
  readonly note?: string;
  /** In divisions of a quarter: 4. */
  readonly length: number;
  readonly tie?: 'start' | 'stop';
  readonly chord?: readonly [root: string, kind: string];
}

const note = ({ note: name, length, tie, chord }: Cell): string => {
  const match = name === undefined ? undefined : /^([A-G])(b|#)?(\d)$/.exec(name);
  const alter = match?.[2] === 'b' ? '<alter>-1</alter>' : match?.[2] === '#' ? '<alter>1</alter>' : '';
  const pitch = match ? `<pitch><step>${match[1]}</step>${alter}<octave>${match[3]}</octave></pitch>` : '<rest/>';
  const harmony = chord
    ? `<harmony><root><root-step>${chord[0][0]}</root-step>${chord[0][1] === 'b' ? '<root-alter>-1</root-alter>' : ''}</root><kind>${chord[1]}</kind></harmony>`
    : '';
  const tied = tie ? `<notations><tied type="${tie}"/></notations>` : '';
  return `${harmony}<note>${pitch}<duration>${length}</duration>${tie ? `<tie type="${tie}"/>` : ''}<voice>1</voice>${tied}</note>`;
};

/** A blues of four bars in Bb with a pickup, twice over, a third lower the second time; written for a voice. */
const BARS: readonly (readonly Cell[])[] = [
  [
    { note: 'D4', length: 2 },
    { note: 'F4', length: 2 },
  ],
  [
    { note: 'G4', length: 4, chord: ['Bb', 'dominant'] },
    { note: 'F4', length: 2 },
    { note: 'D4', length: 2 },
    { note: 'Bb3', length: 8, tie: 'start' },
  ],
  [
    { note: 'Bb3', length: 4, tie: 'stop', chord: ['Eb', 'dominant'] },
    { length: 8 },
    { note: 'C4', length: 2 },
    { note: 'Eb4', length: 2 },
  ],
  [
    { note: 'F4', length: 4, chord: ['Bb', 'dominant'] },
    { note: 'Eb4', length: 2 },
    { note: 'C4', length: 2 },
    { note: 'Ab3', length: 8 },
  ],
  [
    { note: 'F4', length: 4, chord: ['F', 'dominant'] },
    { note: 'Eb4', length: 4 },
    { note: 'C4', length: 8 },
  ],
];

const measure = (cells: readonly Cell[], i: number): string => {
  const head =
    i === 0
      ? '<attributes><divisions>4</divisions><key><fifths>-2</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes>'
      : '';
  return `<measure number="${i}"${i === 0 ? ' implicit="yes"' : ''}>${head}${cells.map(note).join('')}</measure>`;
};
const SHEET = `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 3.1 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<score-partwise version="3.1"><work><work-title>Lantern Row</work-title></work><identification><creator type="composer">Ada Fenwick</creator></identification>
<part-list><score-part id="P1"><part-name>Voice</part-name></score-part></part-list><part id="P1">${BARS.map(measure).join('\n')}</part></score-partwise>`;

const path = join(folder, 'lantern-row.musicxml');
writeFileSync(path, SHEET);
const silent = () => {
  const out: string[] = [];
  const err: string[] = [];
  return { terminal: { out: (t: string) => out.push(t), err: (t: string) => err.push(t) }, out, err };
};

describe('a lead sheet', () => {
  it('is a solo, with everything that was proposed said', () => {
    const file = readSoloFile(path);
    expect(file.value?.phrases.length).toBe(2);
    expect(file.proposals?.said).toEqual([
      expect.stringMatching(/^strings and frets are proposed \(at frets \d+ to \d+\): the source says pitches only$/),
      expect.stringMatching(
        /^2 phrases are proposed; the least sure begins at bar 2 beat 4 \(0\.\d\d: a rest of 2 quarters\)$/,
      ),
    ]);
    expect(file.proposals?.key).toBe(false); // two flats are written
  });
  it('has the interval counts that are counted on paper', () => {
    // Pickup: D F. Bb7: G F D Bb | F Eb C Ab = 6 5 3 1 | 5 4 2 b7. Eb7: (Bb held) C Eb = 6 1. F7: F Eb C = 1 b7 5. The tie is one tone.
    const use = intervalUse(toneTable(readCorpus([path]).solos), { by: ['chord'] });
    const counts = Object.fromEntries(use.rows.map((r) => [`${r.degree} over ${r.group[0]}`, r.tones]));
    expect(counts).toEqual({
      '6 over Bb7': 1,
      '5 over Bb7': 2,
      '3 over Bb7': 1,
      '1 over Bb7': 1,
      '4 over Bb7': 1,
      '2 over Bb7': 1,
      'b7 over Bb7': 1,
      '6 over Eb7': 1,
      '1 over Eb7': 1,
      '1 over F7': 1,
      'b7 over F7': 1,
      '5 over F7': 1,
    });
    expect(use.pickups).toBe(2);
  });
  it('goes through every command, each of which says what is proposed', async () => {
    const commands: readonly (readonly [string, (t: ReturnType<typeof silent>['terminal']) => unknown])[] = [
      ['check', (t) => check([path], t)],
      ['study', (t) => study([path], { out: join(folder, 'out'), where: {} }, t)],
      ['motifs', (t) => motifs([path], { where: {}, as: 'steps', tones: 4, places: 2, most: 3, json: false }, t)],
      ['relations', (t) => relations([path], { where: {}, within: 'solo', most: 3, json: false }, t)],
    ];
    for (const [name, run] of commands) {
      const { terminal, out, err } = silent();
      expect(await run(terminal), name).toBe(0);
      expect([...out, ...err].join('\n'), name).toContain('lantern-row.musicxml: strings and frets are proposed');
    }
    expect(readFileSync(join(folder, 'out', 'report.html'), 'utf8')).toContain('Proposed, not the player');
  });
  it('becomes solo text that says what to mend, and reads back the same', () => {
    const to = join(folder, 'lantern-row.solo');
    expect(convert(path, to, {}, silent().terminal)).toBe(0);
    const text = readFileSync(to, 'utf8');
    expect(text).toContain('say "strings and frets are proposed');
    expect(parseSoloOrThrow(text).phrases).toEqual(readSoloFile(path).value?.phrases);
  });
  it('lies where it is wished for', () => {
    const frets = (readSoloFile(path, { position: 8 }).value?.phrases ?? []).flatMap((p) =>
      p.notes.map((n) => n.fret as number),
    );
    expect(Math.min(...frets)).toBeGreaterThanOrEqual(7);
  });
});
