import { describe, expect, it } from 'vitest';
import { soloLine } from '../../lib/charts/solo-line.js';
import { soloRows, xIn } from '../../lib/charts/solo-rows.js';
import type { ChartSpec } from '../../lib/charts/spec.js';
import { kindOfRole } from '../../lib/charts/tone-kinds.js';
import { QUARTER } from '../../lib/foundation/time.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { ROLES } from '../../lib/solo/harmony.js';
import { EMPTY_SOLO, gridOf, type Solo } from '../../lib/solo/solo.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { hasFlag, toneTable } from '../../lib/solo/tone-table.js';
import { demo, made } from '../analysis/made.js';
import { SOLOS } from './corpus.js';
import { expectGolden, expectReadable, expectSound, rowsIn } from './spec-checks.js';

interface Stroke {
  readonly tone: number;
  readonly kind: string;
  readonly x: number;
  readonly x2: number;
  readonly y: number;
  readonly about: string;
}
interface Point {
  readonly path: number;
  readonly look: string;
  readonly kind: string;
  readonly x: number;
  readonly y: number;
}
interface Spot {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly y2: number;
}
const strokesOf = (spec: ChartSpec) => rowsIn<Stroke>(spec, 'strokes');
const textsOf = (spec: ChartSpec, name: string) => rowsIn<Spot>(spec, name).map((s) => s.text);
/** The curves of a look, each as its points. */
const curvesOf = (spec: ChartSpec, look: string): readonly (readonly Point[])[] => {
  const points = rowsIn<Point>(spec, 'curves').filter((p) => p.look === look);
  return [...new Set(points.map((p) => p.path))].map((path) => points.filter((p) => p.path === path));
};
/** Px of a semitone. */
const SEMITONE = 6;
/** One bar of C, written out. */
const bar = (notes: string, changes = '1 C'): Solo => made(changes, `phrase 1\nat 1 1\n  ${notes}\n`).solo;
const draw = (notes: string, changes?: string): ChartSpec => soloLine(bar(notes, changes));

describe('the spec', () => {
  it('is the one on file', () => expectGolden('solo-line', soloLine((SOLOS[0] as (typeof SOLOS)[number]).solo)));

  it('is pure: the same twice', () => {
    const solo = bar('q 5@3(0>2>0) h 7@3~ q 5@3');
    expect(soloLine(solo)).toEqual(soloLine(solo));
  });
});

describe('the rows', () => {
  const long = made('1 C | F | G7 | C | F', 'phrase 1\nat 0 3&\n  e 5@3 5@3 5@3 |\n  w 5@3 |\n').solo;

  it('hold four bars, the pickup before the first from the beat of its first note; barlines stand under each other', () => {
    const laid = soloRows(long, gridOf(long), 4, 900);
    expect(laid.rows.map((row) => row.bars.map((b) => b.number))).toEqual([[0, 1, 2, 3, 4], [5]]);
    const [first, second] = laid.rows;
    expect(first?.from).toBe(2 * QUARTER);
    expect(first && xIn(laid, first, 4 * QUARTER)).toBeCloseTo(100);
    expect(first && xIn(laid, first, first.to)).toBeCloseTo(900);
    expect(second && xIn(laid, second, second.from)).toBeCloseTo(100);
  });

  it('hold as many bars as asked for, 1 to 8', () => {
    expect(textsOf(soloLine(long, { bars: 8 }), 'numbers')).toEqual(['0', '1', '2', '3', '4', '5']);
    const bases = (bars: number) => new Set(rowsIn<Spot>(soloLine(long, { bars }), 'numbers').map((n) => n.y)).size;
    expect([bases(8), bases(4), bases(2), bases(1)]).toEqual([1, 2, 3, 5]);
    for (const bars of [0, 9, 2.5]) expect(() => soloLine(long, { bars })).toThrow(/whole number of 1 to 8/);
  });

  it('have their chords and bar numbers under them, and a chord that goes on is said again in the next row', () => {
    const spec = soloLine(made('1 C | % | % | % | % | F', 'phrase 1\nat 1 1\n  w 5@3 |\n').solo);
    expect(textsOf(spec, 'chords')).toEqual(['C', 'C', 'F']);
    const [five] = rowsIn<Spot>(spec, 'numbers').filter((n) => n.text === '5');
    expect(rowsIn<Spot>(spec, 'chords')[1]?.x).toBe(five?.x);
    expect(rowsIn<Spot>(spec, 'chords')[1]?.y).toBeLessThan(five?.y as number);
  });

  it('name the levels as the key spells them: Bb in F, and no name of another key', () => {
    const spelled = (key: string, notes: string) =>
      textsOf(soloLine(made('1 F', `phrase 1\nat 1 1\n  ${notes}\n`, `key: ${key}`).solo), 'levels');
    expect(spelled('Bb major', 'h 8@4 6@2')).toEqual(['Bb3', 'D4', 'F4']);
    expect(spelled('Gb major', 'h 9@3 9@2')).toEqual(expect.arrayContaining(['Gb4', 'Db4']));
    expect(spelled('F# minor', 'h 9@3 9@2')).toEqual(expect.arrayContaining(['F#4', 'C#4']));
    for (const { solo } of demo) {
      const own = new Set(solo.key.names.filter((name) => name !== undefined));
      for (const level of textsOf(soloLine(solo), 'levels')) expect(own).toContain(level.replace(/-?\d+$/, ''));
    }
  });

  it('have the names of phrases over them, where they have room, and of sections under them', () => {
    const text = 'section "verse" 1-2\n  1 C | C | C | C | C';
    const spec = soloLine(
      made(text, 'phrase a "a rather long name for a short space"\nat 4 4\n  q 5@3 |\n  w 5@3 |\n').solo,
    );
    expect(textsOf(spec, 'phrases')).toEqual(['a', 'a a rather long name for a short space']);
    expect(textsOf(spec, 'sections')).toEqual(['verse']);
  });
});

describe('tones', () => {
  it('stand as high as they sound, from onset to end', () => {
    const [c, d] = strokesOf(draw('h 5@3 7@3'));
    expect((c?.y as number) - (d?.y as number)).toBeCloseTo(2 * SEMITONE);
    expect(c?.x).toBe(0);
    expect(d?.x).toBe(460);
    expect((d?.x2 as number) - (d?.x as number)).toBeCloseTo(460, -1);
  });

  it('have the kind that the tone table has, all of them, in every demo solo', () => {
    for (const named of demo) {
      const table = toneTable([named]);
      const strokes = strokesOf(soloLine(named.solo));
      const first = new Map<number, Stroke>();
      for (const stroke of strokes) if (!first.has(stroke.tone)) first.set(stroke.tone, stroke);
      for (let i = 0; i < table.rows; i++) {
        if (hasFlag(table, i, 'ornament')) continue;
        const kind = kindOfRole(ROLES[table.columns.role[i] as number]);
        expect([named.id, i, first.get(i)?.kind]).toEqual([named.id, i, kind]);
      }
    }
  });

  it('that sound on into the next chord change colour there: a pushed third is black once its chord is there', () => {
    // C#, pushed an eighth ahead of A7.
    const strokes = strokesOf(draw('h. - e - 6@3_ | h. _', '1 Dm7 | A7'));
    expect(strokes.map((s) => s.kind)).toEqual(['chromatic', 'chord tone']);
    expect(new Set(strokes.map((s) => s.tone)).size).toBe(1);
    expect(strokes[1]?.x).toBe(460);
    expect(draw('w 6@3', '1 Dm7').title.text).toEqual(['Too few tones for a finding (n = 1)']);
  });

  it('that sound into the next row go on there', () => {
    const solo = made('1 C | C', 'phrase 1\nat 1 1\n  w 5@3_ |\n  h _\n').solo;
    const strokes = strokesOf(soloLine(solo, { bars: 1 }));
    expect(strokes).toHaveLength(2);
    expect(strokes[1]?.x).toBe(0);
    expect(strokes[1]?.y).toBeGreaterThan(strokes[0]?.y as number);
    expect(rowsIn(soloLine(solo, { bars: 1 }), 'struck')).toHaveLength(1);
  });

  it('say what they are when pointed at', () => {
    expect(strokesOf(draw('h - 7@3(0>2)', '1 C7'))[0]?.about).toBe(
      'phrase 1, bar 1 3: E4, 3 over C7 (third), string 3 fret 7, bent',
    );
  });
});

describe('what the hand does', () => {
  const level = (spec: ChartSpec, tone: number) => strokesOf(spec).find((s) => s.tone === tone)?.y as number;

  it('a bend is a curve from the fretted pitch to its level, and back where it is let down', () => {
    const spec = draw('w 7@3(0>2>0)');
    const [up, down] = curvesOf(spec, 'bend');
    expect(up?.[0]?.y).toBeCloseTo(level(spec, 0) + 2 * SEMITONE);
    expect(up?.[up.length - 1]?.y).toBeCloseTo(level(spec, 0));
    expect(down?.[0]?.y).toBeCloseTo(level(spec, 0));
    expect(down?.[down.length - 1]?.y).toBeCloseTo(level(spec, 1));
    expect(level(spec, 1)).toBeCloseTo(level(spec, 0) + 2 * SEMITONE);
    for (const curve of [up, down])
      expect([...(curve ?? [])].map((p) => p.x)).toEqual([...(curve ?? [])].map((p) => p.x).sort((a, b) => a - b));
  });

  it('a curl rises a quarter-tone; a bend under other strings is let down at its moment', () => {
    const [curl] = curvesOf(draw('w 8@2(0>0.5)'), 'bend');
    expect((curl?.[0]?.y as number) - (curl?.[curl.length - 1]?.y as number)).toBeCloseTo(SEMITONE / 2);
    const held = draw('q 7@3(0>2)= 5@1= h @3(>0)');
    expect(curvesOf(held, 'bend')).toHaveLength(2);
    expect(curvesOf(held, 'bend')[1]?.[0]?.x).toBe(460);
  });

  it('a pre-bend has dots up to its level and no curve', () => {
    const spec = draw('w 7@3(2)');
    expect(curvesOf(spec, 'bend')).toEqual([]);
    expect(curvesOf(spec, 'prebend')[0]?.map((p) => p.y)).toEqual([level(spec, 0) + 2 * SEMITONE, level(spec, 0)]);
  });

  it('a hammer or pull is joined to the tone before it, a slide slants from it, or from two frets away', () => {
    const spec = draw('q 5@3 h7@3 /9@3 \\5@1');
    const [join] = curvesOf(spec, 'join');
    expect(join?.map((p) => p.y)).toEqual([level(spec, 0), level(spec, 1)]);
    expect(join?.map((p) => p.x)).toEqual([230, 230]);
    const [up, down] = curvesOf(spec, 'slide');
    expect(up?.map((p) => p.y)).toEqual([level(spec, 1), level(spec, 2)]);
    expect(down?.[0]?.y).toBeCloseTo(level(spec, 3) - 2 * SEMITONE);
  });

  it('a struck tone has a tick, at the fretted pitch where it is bent; others have none', () => {
    const spec = draw('q 5@3 h7@3 t12@3 7@3(0>2)');
    expect(rowsIn<Spot>(spec, 'struck').map((s) => s.x)).toEqual([0, 460, 690]);
    expect(rowsIn<Spot>(spec, 'struck')[2]?.y).toBeCloseTo(level(spec, 3) + 2 * SEMITONE);
  });

  it('a double-stop has a stem from its lowest to its highest tone', () => {
    const spec = draw('h 5@3+5@1 5@3');
    const stems = rowsIn<Spot>(spec, 'stems');
    expect(stems).toHaveLength(1);
    expect([stems[0]?.y, stems[0]?.y2].sort()).toEqual(
      strokesOf(spec)
        .slice(0, 2)
        .map((s) => s.y)
        .sort(),
    );
  });

  it('dead notes are an x beside the tone before them, one under the other where several strings are damped', () => {
    const spec = draw('q 5@3 x@3 x@3+x@4 -');
    const dead = rowsIn<Spot>(spec, 'dead');
    expect(dead).toHaveLength(3);
    expect(dead[0]?.y).toBe(level(spec, 0));
    expect((dead[2]?.y as number) - (dead[1]?.y as number)).toBeCloseTo(2 * SEMITONE);
    expect(strokesOf(spec)).toHaveLength(1);
  });

  it('vibrato waves about the pitch; a grace stands short before its tone; a note slides away', () => {
    const spec = draw('q g5@3 h7@3~ 7@3\\ h -');
    const [waves] = curvesOf(spec, 'vibrato');
    const ys = waves?.map((p) => p.y) ?? [];
    const pitch = strokesOf(spec)[0]?.y as number;
    expect(Math.min(...ys)).toBeGreaterThan(pitch - 2.5);
    expect(Math.max(...ys)).toBeLessThan(pitch + 2.5);
    expect(ys.reduce((a, b) => a + b, 0) / ys.length).toBeCloseTo(pitch, 0);
    expect(curvesOf(spec, 'grace')).toHaveLength(1);
    expect(curvesOf(spec, 'slide')).toHaveLength(1);
  });

  it('only the signs that are there are explained', () => {
    const notes = (spec: ChartSpec) => textsOf(spec, 'notes').join(' ');
    expect(notes(draw('w 5@3'))).not.toMatch(/bend|slide|dead|stem|vibrato|grace/);
    expect(notes(draw('q 7@3(0>2) x@3 5@3+5@1 g5@3 h7@3~'))).toMatch(/bend.*vibrato.*grace.*stem.*dead note/);
  });
});

describe('the title', () => {
  it('says how much is what, with n; what no chord rules is counted apart', () => {
    // Counted by hand in the corpus, solo one: 32 eighths over C, F, G7 and Am: chord tones but for the 6 over F, three times.
    const { solo } = SOLOS[0] as (typeof SOLOS)[number];
    const table = toneTable([{ id: 'one', solo }]);
    const members = Array.from({ length: table.rows }, (_, i) => kindOfRole(ROLES[table.columns.role[i] as number]));
    const chordTones = members.filter((kind) => kind === 'chord tone').length;
    expect(soloLine(solo).title.text.join(' ')).toBe(
      `${Math.round((chordTones / 32) * 100)} % of 32 tones are chord tones`,
    );
    const fog = soloLine(demo.find((s) => s.id === 'harbour-fog-bell')?.solo as Solo);
    expect(fog.title.subtitle.join(' ')).toMatch(
      /in 10 phrases, 3 before the first chord, 7 where no chord is played;/,
    );
    expect(soloLine(solo, { title: 'Mine' }).title.text).toEqual(['Mine']);
  });

  it('has its numbers from the tone table, in every demo solo', () => {
    for (const { solo } of demo) {
      const n = tonesOf(solo).filter((t) => !t.ornament).length;
      const said = soloLine(solo).title.subtitle.join(' ');
      const [, over] = /n = (\d+) tones over chords/.exec(said) as RegExpExecArray;
      const apart = [...said.matchAll(/(\d+) (?:before the first|where no) chord/g)].map((m) => Number(m[1]));
      expect(Number(over) + apart.reduce((a, b) => a + b, 0)).toBe(n);
    }
  });
});

describe('how it is drawn', () => {
  const dense = made(
    '1 Gbmaj7/Bb Eb7#9 Abm7b5 Db7sus4 | F#m7b5/E Bmaj7#11 Bb7 A7',
    `phrase 1 "${'a name without an end '.repeat(9)}"\nat 1 1\n  s ${'5@3 '.repeat(16)}|\nphrase 2 "two"\nat 2 1\n  q 5@3\nphrase 3 "three"\nat 2 2\n  e 5@3\nphrase 4 "four"\nat 2 2&\n  e 5@3 h 1@6 |\n`,
  ).solo;
  const cases: readonly (readonly [string, ChartSpec])[] = [
    ['the corpus', soloLine((SOLOS[0] as (typeof SOLOS)[number]).solo)],
    ['chords on every beat', soloLine(dense)],
    ['chords on every beat, eight bars', soloLine(dense, { bars: 8 })],
    ['nothing', soloLine(EMPTY_SOLO)],
    ['chords without notes', soloLine({ ...bar('w 5@3'), phrases: [] })],
    [
      'notes without chords',
      soloLine(
        parseSoloOrThrow('---\ntitle: T\nplayer: P\nkey: C major\ntempo: 90\n---\nphrase 1\nat 0 4\n  q 5@3 |\n'),
      ),
    ],
    [
      'a title that is markup',
      soloLine({ ...bar('w 5@3'), title: '<script>alert(1)</script>', player: 'Ada '.repeat(70) }),
    ],
    ...demo.map(({ id, solo }) => [id, soloLine(solo)] as const),
    ...demo
      .filter((_, i) => i % 6 === 0)
      .map(({ id, solo }) => [`${id}, eight bars in a row`, soloLine(solo, { bars: 8 })] as const),
  ];

  it.each(cases)('%s: sound, without warnings, no words clipped or on one another', async (name, spec) => {
    expectSound(name, spec);
    const words = (await expectReadable(name, spec)).map((w) => w.text);
    for (const list of ['chords', 'numbers', 'phrases', 'levels', 'notes'])
      for (const text of textsOf(spec, list)) expect(words).toContain(text);
  });
});
