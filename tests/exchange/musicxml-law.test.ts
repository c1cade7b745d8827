// There and back: a solo written as MusicXML and read again is the same solo, but for what the writer says it cannot hold.
import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { carriedSymbol, carriedText } from '../../lib/exchange/musicxml-losses.js';
import { parseMusicXml } from '../../lib/exchange/musicxml-read.js';
import { printMusicXml } from '../../lib/exchange/musicxml-write.js';
import { packScore } from '../../lib/exchange/musicxml-zip.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { feelText, type Setting } from '../../lib/solo/changes.js';
import type { Solo } from '../../lib/solo/solo.js';
import { meterText } from '../../lib/theory/meter.js';
import { keyText } from '../../lib/theory/scale.js';
import { solos } from '../arbitraries.js';

const folder = new URL('../../data/solos/', import.meta.url);
const written = readdirSync(folder)
  .filter((name) => name.endsWith('.solo'))
  .map((name) => [name, parseSolo(readFileSync(new URL(name, folder), 'utf8'), name).value as Solo] as const);

/** A solo without what the writer says it loses: worked out here from the list of losses alone. */
function carried(solo: Solo, lastBar: number): Solo {
  const name = (text: string) => carriedText(text).trim();
  const { changes } = solo;
  const first = changes.settings.find((s) => s.bar === 0);
  let { key, meter, tempo, feel } = { ...solo, ...first };
  const opening = { key, meter, tempo, feel };
  const settings = changes.settings.flatMap((s): Setting[] => {
    if (s.bar === 0 || s.bar > lastBar) return [];
    const kept: { -readonly [F in keyof Setting]: Setting[F] } = { bar: s.bar };
    if (s.meter && meterText(s.meter) !== meterText(meter)) kept.meter = s.meter;
    if (s.key && keyText(s.key) !== keyText(key)) kept.key = s.key;
    if (s.tempo !== undefined && s.tempo !== tempo) kept.tempo = s.tempo;
    if (s.feel && feelText(s.feel) !== feelText(feel)) kept.feel = s.feel;
    key = s.key ?? key;
    meter = s.meter ?? meter;
    tempo = s.tempo ?? tempo;
    feel = s.feel ?? feel;
    return Object.keys(kept).length > 1 ? [kept] : [];
  });
  return {
    ...solo,
    ...opening,
    title: name(solo.title) || 'Untitled',
    player: name(solo.player) || 'unknown',
    tone: carriedText(solo.tone),
    remarks: solo.remarks.map(carriedText),
    changes: {
      ...changes,
      settings,
      bars: changes.bars.map((bar) => bar.map((c) => ({ ...c, symbol: carriedSymbol(c.symbol) }))),
      sections: changes.sections.map((s) => ({ ...s, name: carriedText(s.name) })),
      strums: changes.strums.map((s) => ({ ...s, pattern: carriedText(s.pattern) })),
    },
    phrases: solo.phrases.map((p) => ({
      ...p,
      name: carriedText(p.name),
      remarks: [
        ...p.remarks.filter((r) => r.at === undefined),
        ...p.remarks.filter((r) => r.at !== undefined).sort((a, b) => (a.at as number) - (b.at as number)),
      ].map((r) => ({ ...r, text: carriedText(r.text) })),
    })),
  };
}

const lastBarOf = (text: string): number =>
  Math.max(...[...text.matchAll(/<measure number="(\d+)"/g)].map((m) => Number(m[1])));

describe('a solo written as MusicXML and read again', () => {
  it.each(written)('%s: is the same, loses nothing, and needs no warning', (_, solo) => {
    const { text, lost } = printMusicXml(solo);
    expect(lost).toEqual([]);
    const { solo: back, diagnostics, report } = parseMusicXml(text);
    expect(back).toEqual(solo);
    expect(diagnostics.filter((d) => d.severity === 'fault')).toEqual([]);
    expect(report.entries.filter((e) => e.kind === 'dropped')).toEqual([]);
  });

  it.each(['names', 'slurs', 'both', 'none'] as const)('shows phrases as %s, and reads the same', (phrases) => {
    for (const [, solo] of written.slice(0, 6)) {
      const { text } = printMusicXml(solo, { phrases });
      expect(parseMusicXml(text).solo).toEqual(solo);
      expect(text.includes('id="label-phrase-0"')).toBe(phrases === 'names' || phrases === 'both');
      expect(text.includes('id="label-slur-start')).toBe(phrases === 'slurs' || phrases === 'both');
    }
  });

  it('is the same through a compressed file', () => {
    const [, solo] = written[0]!;
    const bytes = packScore(printMusicXml(solo).text);
    const { solo: back, diagnostics } = parseMusicXml(bytes);
    expect(back).toEqual(solo);
    expect(diagnostics).toEqual([]);
    expect(packScore(printMusicXml(solo).text)).toEqual(bytes);
  });

  it('is the same for any solo, but for what the list of losses says', () => {
    fc.assert(
      fc.property(solos, (solo) => {
        const { text, lost } = printMusicXml(solo);
        fc.pre(!lost.some((l) => l.code === 'pitch') && solo.phrases.length > 0);
        const { solo: back, diagnostics } = parseMusicXml(text);
        expect(diagnostics.filter((d) => d.severity === 'fault')).toEqual([]);
        const kept = carried(solo, lastBarOf(text));
        expect(back).toEqual(kept);
        // What is not lost is said to be not lost: with an empty list the solo itself comes back.
        if (lost.length === 0) expect(back).toEqual({ ...solo, phrases: kept.phrases });
      }),
      { numRuns: 150 },
    );
  }, 90_000);
});
