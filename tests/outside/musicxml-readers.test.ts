// Our scores as three other programs read them (general open-source readers of MusicXML): musicxml-io (MIT), which keeps techniques; verovio (LGPL), through its MEI;
// opensheetmusicdisplay (BSD), in a browser. Each must find the same notes, strings, frets and chords as the solo holds; the first also every bend.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, describe, expect, it } from 'vitest';
import { parseMusicXml } from '../../lib/exchange/musicxml-read.js';
import { printMusicXml } from '../../lib/exchange/musicxml-write.js';
import { child, children, readXml, type XmlNode } from '../../lib/exchange/musicxml-xml.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { gridOf, type Solo } from '../../lib/solo/solo.js';
import { soundingOf, stagesOf } from '../../lib/solo/sounding.js';
import { parseChord } from '../../lib/theory/chord.js';
import { byPlace, chordsTold, notesTold, round, struck, type Told } from './scores.js';

const Q = 20160;
const folder = new URL('../../data/solos/', import.meta.url);
const cases = readdirSync(folder)
  .filter((name) => name.endsWith('.solo'))
  .map((name) => {
    const solo = parseSolo(readFileSync(new URL(name, folder), 'utf8'), name).value as Solo;
    const { text } = printMusicXml(solo);
    const grid = gridOf(solo);
    // The score begins with bar 1, or with the pickup where the first phrase comes in.
    const first = Math.min(solo.phrases[0]!.at, grid.bar(1).start) / Q;
    return { name, solo, text, first, barStart: (bar: number) => grid.bar(bar).start };
  });
const LETTERS: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const keyOf = (step: string, alter: number, octave: number): number =>
  12 * (octave + 1) + (LETTERS[step.toUpperCase()] as number) + alter;
const withoutKeys = (notes: readonly Told[]): readonly Told[] => notes.map(({ key: _, ...n }) => n).sort(byPlace);
const withoutPlaces = (notes: readonly Told[]): readonly Told[] =>
  notes.map(({ at, length, key }) => ({ at, length, key: key as number })).sort(byPlace);

describe('musicxml-io', () => {
  interface Entry {
    readonly type: string;
    readonly duration?: number;
    readonly grace?: unknown;
    readonly chord?: boolean;
    readonly staff?: number;
    readonly pitch?: { readonly step: string; readonly alter?: number; readonly octave: number };
    readonly root?: { readonly rootStep: string; readonly rootAlter?: number };
    readonly kind?: string;
    readonly kindText?: string;
    readonly offset?: number;
    readonly bass?: { readonly bassStep: string; readonly bassAlter?: number };
    readonly notations?: readonly {
      readonly type: string;
      readonly technical?: string;
      readonly tiedType?: string;
      readonly string?: number;
      readonly fret?: number;
      readonly bendAlter?: number;
      readonly preBend?: boolean;
      readonly release?: unknown;
    }[];
  }
  interface Score {
    readonly parts: readonly {
      readonly measures: readonly {
        readonly entries: readonly Entry[];
        readonly attributes?: { readonly divisions?: number };
      }[];
    }[];
  }
  /** Notes and bends on a staff, and the chords. */
  async function told(text: string, staff: number) {
    const { parse } = (await import('musicxml-io')) as unknown as { parse(xml: string): Score };
    const notes: Told[] = [];
    const bends: { at: number; string: number; fret: number; alters: number[] }[] = [];
    const chords: (readonly [number, string])[] = [];
    const divisions = Number(/<divisions>(\d+)</.exec(text)?.[1]);
    let start = 0;
    for (const measure of parse(text).parts[0]!.measures) {
      let cursor = 0;
      let most = 0;
      let chordAt = 0;
      for (const e of measure.entries) {
        const time = (e.duration ?? 0) / divisions;
        if (e.type === 'backup') cursor -= time;
        else if (e.type === 'forward') cursor += time;
        else if (e.type === 'harmony' && e.root) {
          const sign = (alter = 0) => (alter < 0 ? 'b' : '#').repeat(Math.abs(alter));
          const bass = e.bass ? `/${e.bass.bassStep}${sign(e.bass.bassAlter)}` : '';
          chords.push([
            round(start + cursor + (e.offset ?? 0) / divisions),
            e.kind === 'none' ? 'N.C.' : `${e.root.rootStep}${sign(e.root.rootAlter)}${e.kindText ?? ''}${bass}`,
          ]);
        } else if (e.type === 'note') {
          const at = e.chord ? chordAt : cursor;
          if (!e.chord) {
            chordAt = cursor;
            cursor += time;
          }
          most = Math.max(most, cursor);
          if (e.staff !== staff || !e.pitch) continue;
          const technical = (e.notations ?? []).filter((n) => n.type === 'technical');
          const string = technical.find((t) => t.technical === 'string')?.string;
          const fret = technical.find((t) => t.technical === 'fret')?.fret;
          const tied = (e.notations ?? []).some((n) => n.type === 'tied' && n.tiedType === 'stop');
          notes.push({
            at: round(start + at),
            length: round(time),
            key: keyOf(e.pitch.step, e.pitch.alter ?? 0, e.pitch.octave),
            ...(string !== undefined && { string }),
            ...(fret !== undefined && { fret }),
            ...(tied && { tied }),
          });
          const alters = technical
            .filter((t) => t.technical === 'bend')
            .map((t) => (t.preBend ? Math.abs(t.bendAlter!) : t.bendAlter!));
          if (alters.length > 0) bends.push({ at: round(start + at), string: string!, fret: fret!, alters });
        }
      }
      start += most;
    }
    return { notes: struck(notes), bends, chords };
  }

  it.each(cases)('$name: notes, strings, frets, chords and every bend', async ({ solo, text, first, barStart }) => {
    const tab = await told(text, 2);
    expect(tab.notes).toEqual(notesTold(solo, first));
    expect((await told(text, 1)).notes.map(({ at, length, key }) => ({ at, length, key }))).toEqual(
      withoutPlaces(notesTold(solo, first)),
    );
    expect(tab.chords).toEqual(chordsTold(solo, first, barStart));
    // Bends on a note that is tied over a barline stand on the part they begin in: told together here, note by note.
    const bent = solo.phrases.flatMap((phrase) => {
      const sounding = soundingOf(phrase);
      return phrase.notes.flatMap((note, i) => {
        if (note.path.length === 0) return [];
        const held = note.kind === 'on' ? sounding[i]!.held : 0;
        const stages =
          note.length === 0
            ? note.path.map((p) => ({ level: p.level ?? held }))
            : stagesOf(note, sounding[i]!.held).stages;
        let level = note.kind === 'on' ? held : 0;
        const alters = stages.flatMap((s) => {
          const alter = (s.level - level) / 100;
          level = s.level as typeof level;
          return alter === 0 ? [] : [alter];
        });
        const from = note.kind === 'on' ? phrase.notes[sounding[i]!.origin]!.fret : note.fret;
        return [
          {
            at: round(note.onset / Q - first),
            end: round((note.onset + note.length) / Q - first),
            string: note.string,
            fret: from,
            alters,
          },
        ];
      });
    });
    const found = bent.map(({ at, end, string, fret, alters }) => ({
      at,
      string,
      fret,
      alters,
      told: tab.bends
        .filter((b) => b.string === string && b.fret === fret && (b.at === at || (b.at > at && b.at < end)))
        .flatMap((b) => b.alters),
    }));
    for (const f of found.filter(
      (b) =>
        !bent.some(
          (o) =>
            o !== bent.find((x) => x.at === b.at && x.string === b.string) && o.at === b.at && o.string === b.string,
        ),
    ))
      expect(f.told, `${f.fret}@${f.string} at ${f.at}`).toEqual(f.alters);
    expect(tab.bends.reduce((sum, b) => sum + b.alters.length, 0)).toBe(
      bent.reduce((sum, b) => sum + b.alters.length, 0),
    );
  });

  it.each(cases)(
    '$name: written again by it, and read by us, the hands do the same over the same chords',
    async ({ solo, text }) => {
      const { parse, serialize } = (await import('musicxml-io')) as unknown as {
        parse(xml: string): Score;
        serialize(score: Score): string;
      };
      const { solo: back } = parseMusicXml(serialize(parse(text)));
      const done = (s: Solo) => s.phrases.flatMap((p) => p.notes.map(({ marks: _, ...n }) => n));
      // It drops the marks of analysis that say where phrases begin and damps stand.
      expect(back?.phrases).toHaveLength(1);
      expect(done(back as Solo)).toEqual(done(solo));
      expect(back?.changes.bars).toEqual(solo.changes.bars);
      expect([back?.title, back?.tempo, back?.guitar]).toEqual([solo.title, solo.tempo, solo.guitar]);
    },
  );
});

describe('verovio', () => {
  interface Toolkit {
    loadData(xml: string): boolean;
    getMEI(): string;
  }
  let toolkit: Toolkit | undefined;
  async function mei(text: string): Promise<XmlNode> {
    if (!toolkit) {
      const make = ((await import('verovio/wasm')) as unknown as { default: () => Promise<unknown> }).default;
      const esm = (await import('verovio/esm')) as unknown as Record<string, unknown>;
      const VerovioToolkit = esm.VerovioToolkit as new (module: unknown) => Toolkit;
      const made = await make();
      (esm.enableLog as (level: number, module: unknown) => void)(0, made); // it has no place for accents on a tab, and says so for each
      toolkit = new VerovioToolkit(made);
    }
    expect(toolkit.loadData(text)).toBeTruthy();
    return readXml(toolkit.getMEI(), new Set()).root!;
  }
  const all = (node: XmlNode, name: string): XmlNode[] =>
    node.children.flatMap((c) => [...(c.name === name ? [c] : []), ...all(c, name)]);

  it.each(cases.filter((_, i) => i % 3 === 0))(
    '$name: notes on the staff, strings and frets on the tab, chords',
    async ({ solo, text, first, barStart }) => {
      const root = await mei(text);
      const ppq = Number(all(root, 'staffDef')[0]!.attributes.ppq);
      const ends = new Set(all(root, 'tie').map((t) => t.attributes.endid!.slice(1)));
      const notes: Told[][] = [[], []];
      const chords: (readonly [number, string])[] = [];
      let start = 0;
      for (const measure of all(root, 'measure')) {
        let most = 0;
        for (const [s, staff] of children(measure, 'staff').entries())
          for (const layer of children(staff, 'layer')) {
            let at = 0;
            const walk = (node: XmlNode): void => {
              const a = node.attributes;
              const length = a.grace === undefined ? Number(a['dur.ppq'] ?? 0) / ppq : 0;
              if (node.name === 'tuplet' || node.name === 'beam' || node.name === 'graceGrp')
                for (const c of node.children) walk(c);
              else if (['note', 'chord', 'tabGrp', 'rest', 'space', 'mRest'].includes(node.name)) {
                for (const n of node.name === 'note' ? [node] : children(node, 'note')) {
                  const b = n.attributes;
                  const sign =
                    b['accid.ges'] ??
                    b.accid ??
                    child(n, 'accid')?.attributes.accid ??
                    child(n, 'accid')?.attributes['accid.ges'] ??
                    'n';
                  const alter = { s: 1, f: -1, ss: 2, x: 2, ff: -2, n: 0 }[sign] ?? Number.NaN;
                  const tied = ends.has(b['xml:id']!);
                  notes[s]!.push({
                    at: round(start + at),
                    length: round(length),
                    ...(s === 0
                      ? { key: keyOf(b.pname!, alter, Number(b.oct)) }
                      : { string: Number(b['tab.course']), fret: Number(b['tab.fret']) }),
                    ...(tied && { tied }),
                  });
                }
                at += length;
              }
            };
            for (const node of layer.children) walk(node);
            most = Math.max(most, at);
          }
        for (const harm of children(measure, 'harm'))
          chords.push([
            round(start + Number(harm.attributes.tstamp) - 1),
            harm.text.replaceAll('♯', '#').replaceAll('♭', 'b'),
          ]);
        start += most;
      }
      const want = notesTold(solo, first);
      expect(struck(notes[0]!).map(({ at, length, key }) => ({ at, length, key }))).toEqual(withoutPlaces(want));
      expect(withoutKeys(struck(notes[1]!))).toEqual(withoutKeys(want));
      // It writes degrees behind a symbol that has them already, and the root of N.C.; its time stamps count the beats of the meter.
      const shown = (symbol: string): string => (symbol === 'N.C.' ? 'C' : symbol.replace(/\([^()]*\)$/, ''));
      const inQuarters = solo.meter.under === 4 && solo.changes.settings.every((c) => !c.meter);
      const plain = (list: readonly (readonly [number, string])[]) =>
        list.map(([at, c]) => (inQuarters ? [at, shown(c)] : shown(c)));
      expect(plain(chords)).toEqual(plain(chordsTold(solo, first, barStart)));
    },
  );
});

describe('opensheetmusicdisplay, in a browser', () => {
  /** What is used of the reader's own tree. */
  interface OsmdEntry {
    readonly Timestamp: { readonly RealValue: number };
    readonly ChordContainers?: readonly {
      readonly RootPitch: { getHalfTone(): number };
      readonly BassPitch?: { getHalfTone(): number };
    }[];
    readonly VoiceEntries: readonly {
      readonly IsGrace: boolean;
      readonly Notes: readonly {
        isRest(): boolean;
        readonly halfTone: number;
        readonly Length: { readonly RealValue: number };
        readonly StringNumberTab?: number;
        readonly FretNumber?: number;
        readonly NoteTie?: { readonly StartNote: unknown; readonly Type: string };
      }[];
    }[];
  }
  const CHROMIUM = '/usr/bin/chromium';
  const isLeftOut = !existsSync(CHROMIUM) && process.env.CI !== 'true';
  let browser: Browser | undefined;
  afterAll(() => browser?.close());

  it.skipIf(isLeftOut)(
    'notes, strings, frets and chords of a sample of the solos',
    async () => {
      browser = await chromium.launch({
        executablePath: CHROMIUM,
        args: ['--no-sandbox', '--headless', '--disable-gpu', '--disable-quic', '--disable-background-networking'],
      });
      const page = await browser.newPage();
      await page.setContent('<div id="score" style="width: 1200px"></div>');
      await page.addScriptTag({
        path: createRequire(import.meta.url).resolve('opensheetmusicdisplay/build/opensheetmusicdisplay.min.js'),
      });
      for (const { name, solo, text, first, barStart } of cases.filter((_, i) => i % 4 === 1)) {
        const read = await page.evaluate(async (xml) => {
          // biome-ignore lint/suspicious/noExplicitAny: the reader's own tree, which has no types in the page
          const { opensheetmusicdisplay: lib } = globalThis as any;
          const osmd = new lib.OpenSheetMusicDisplay('score', { backend: 'svg', autoResize: false, drawTitle: false });
          await osmd.load(xml);
          const notes: {
            staff: number;
            at: number;
            length: number;
            key: number;
            string: number;
            fret: number;
            tied: boolean;
          }[] = [];
          const chords: [number, number, number | undefined][] = [];
          for (const measure of osmd.Sheet.SourceMeasures)
            for (const container of measure.VerticalSourceStaffEntryContainers)
              container.StaffEntries.forEach((entry: OsmdEntry, staff: number) => {
                if (!entry) return;
                const at = 4 * (entry.Timestamp.RealValue + measure.AbsoluteTimestamp.RealValue);
                for (const c of entry.ChordContainers ?? [])
                  chords.push([
                    at,
                    (c.RootPitch.getHalfTone() + 1200) % 12,
                    c.BassPitch ? (c.BassPitch.getHalfTone() + 1200) % 12 : undefined,
                  ]);
                for (const voice of entry.VoiceEntries)
                  for (const n of voice.Notes)
                    if (!n.isRest())
                      notes.push({
                        staff,
                        at,
                        length: voice.IsGrace ? 0 : 4 * n.Length.RealValue,
                        key: n.halfTone + 12,
                        string: n.StringNumberTab ?? -1,
                        fret: n.FretNumber ?? -1,
                        tied: n.NoteTie !== undefined && n.NoteTie.Type === '' && n.NoteTie.StartNote !== n,
                      });
              });
          return { notes, chords };
        }, text);
        const told = (staff: number) =>
          struck(
            read.notes
              .filter((n) => n.staff === staff)
              .map(({ at, length, key, string, fret, tied }) => ({
                at: round(at),
                length: round(length),
                key,
                ...(staff === 1 && { string, fret }),
                ...(tied && { tied }),
              })),
          );
        const want = notesTold(solo, first);
        // Beside a let-ring sign, which stands on the tab staff, it follows no tie over a gap.
        expect(told(1), name).toEqual(notesTold(solo, first, 'struck'));
        expect(
          told(0).map(({ at, length, key }) => ({ at, length, key })),
          name,
        ).toEqual(withoutPlaces(want));
        const classes = chordsTold(solo, first, barStart).map(([at, symbol]) => {
          const chord = parseChord(symbol);
          const bass =
            'bass' in chord && chord.bass
              ? keyOf(chord.bass[0]!, chord.bass[1] === 'b' ? -1 : chord.bass[1] === '#' ? 1 : 0, -1)
              : undefined;
          return [at, 'root' in chord ? chord.root : undefined, bass === undefined ? undefined : (bass + 12) % 12];
        });
        expect(
          read.chords.map(([at, root, bass]) => [round(at), root, bass]),
          name,
        ).toEqual(classes);
      }
    },
    120_000,
  );
});
