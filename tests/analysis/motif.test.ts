import { describe, expect, it } from 'vitest';
import { linesOf } from '../../lib/analysis/line.js';
import { findMotifs } from '../../lib/analysis/motif.js';
import type { Motif } from '../../lib/analysis/motif-kinds.js';
import { motifInWords } from '../../lib/analysis/motif-words.js';
import { compose, VIEWPOINTS, viewpoint } from '../../lib/analysis/viewpoint.js';
import { createRandom } from '../../lib/foundation/random.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { type NamedSolo, toneTable } from '../../lib/solo/tone-table.js';

const demo = readCorpus(['data/solos']).solos;
const table = toneTable(demo);
const placesOf = (m: Motif) => m.places.map((p) => `${p.solo} ${p.phrase} ${p.bar}:${p.count}`);

/** A solo in C of phrases of even eighths on the second string, given as frets. */
const lines = (id: string, phrases: readonly (readonly number[])[], player = 'Ada Fenwick'): NamedSolo => {
  const body = phrases.map((frets, i) => {
    const words = frets.map((f) => `${f}@2`);
    const bars: string[] = [];
    for (let k = 0; k < words.length; k += 8) bars.push(words.slice(k, k + 8).join(' '));
    return `phrase ${i + 1}\nat ${1 + i * 4} 1\n  e ${bars.join(' |\n  ')}\n`;
  });
  const changes = `  1 C\n  repeat 1-1 x${phrases.length * 4}\n`;
  return {
    id,
    solo: parseSoloOrThrow(
      `---\ntitle: Made\nplayer: ${player}\nkey: C major\ntempo: 100\n---\nchanges\n${phrases.length === 0 ? '  1 C\n' : changes}${body.join('')}`,
    ),
  };
};

describe('the motifs planted in the demo (data/players.md)', () => {
  it('Marla: 1 3 6 5 3, at 15 places in 6 solos and 5 keys, heads her list', () => {
    const [first] = findMotifs(table, { where: { player: 'Marla' } }).motifs as [Motif];
    expect(first.symbols).toEqual(['400', '500', '-200', '-300']);
    expect([first.places.length, first.apart, first.solos, first.keys]).toEqual([15, 15, 6, 5]);
    expect(placesOf(first)).toContain('ticket-office-heater 7 10:2&');
    expect(first.falseDiscoveryRate).toBeLessThan(0.01);
    expect(motifInWords(table, first)).toMatch(
      /^1 3 6 5 3, starts over I at 9 of 15 places and IV at 6; 15 places in 6 solos, 5 keys; /,
    );
  });
  it('Juno: +5 +2 -4 -3, at 16 places in 8 solos and 8 keys, heads the list', () => {
    const [first] = findMotifs(table, { where: { player: 'Juno' } }).motifs as [Motif];
    expect(first.symbols).toEqual(['500', '200', '-400', '-300']);
    expect([first.places.length, first.solos, first.keys]).toEqual([16, 8, 8]);
  });
  it('Tobias: three knocks and the gangplank head his list', () => {
    const [first, second] = findMotifs(table, { where: { player: 'Tobias' } }).motifs as [Motif, Motif];
    expect(first.symbols.slice(0, 5).join(' ')).toBe('0 0 350 -350 -300');
    expect([second.symbols.join(' '), second.places.length, second.solos]).toEqual([
      '200 500 -150 -350 -300 300',
      7,
      5,
    ]);
  });
  it('of all together these come first, each from its own player only', () => {
    const top = findMotifs(table).motifs.slice(0, 4);
    expect(top.map((m) => m.players.join()).sort()).toEqual([
      'Juno Brackwater',
      'Marla Quillfeather',
      'Tobias Underlamp',
      'Tobias Underlamp',
    ]);
    for (const m of top) expect(m.falseDiscoveryRate).toBeLessThan(0.01);
  });
});

describe('what is said of a motif', () => {
  const { motifs, tones } = findMotifs(table, { nullRuns: 40 });
  it('coverage is the share of all tones in its places, compactness 1: nothing lies between', () => {
    for (const m of motifs) {
      expect(m.coverage).toBe(new Set(m.places.flatMap((p) => p.rows)).size / tones);
      expect(m.compactness).toBe(1);
    }
    expect(motifs.find((m) => m.symbols.join(' ') === '400 500 -200 -300')?.coverage).toBe(75 / tones);
  });
  it('evidence is bits x breadth, the score the root of all bits x breadth; the best score first', () => {
    for (const m of motifs) {
      const breadth = Math.log2(m.apart) * Math.log2(1 + (m.solos + m.keys) / 2);
      expect(m.evidence).toBeCloseTo((m.bits as number) * breadth, 9);
      expect(m.score).toBeCloseTo(Math.sqrt((m.bits as number) + (m.gestureBits as number)) * breadth, 9);
    }
    const scores = motifs.map((m) => m.score);
    expect(scores).toEqual([...scores].sort((a, b) => b - a));
  });
  it('a bend that comes back with it counts for a motif, counted plainly', () => {
    const { columns: c } = table;
    const line = linesOf(table).flatMap(({ events }) => events.map((e) => e.row));
    const played = (row: number) => `${c.reached[row]} ${c.level[row]}`;
    const common = (text: string) => line.filter((row) => played(row) === text).length / line.length;
    for (const m of motifs) {
      let bits = 0;
      for (let k = 0; k < m.tones; k++)
        for (const text of new Set(m.places.map((p) => played(p.rows[k] as number)))) {
          const times = m.places.filter((p) => played(p.rows[k] as number) === text).length;
          if (!text.startsWith('0 ') && times / m.places.length >= 0.75) bits += Math.min(5, -Math.log2(common(text)));
        }
      expect(m.gestureBits, m.symbols.join(' ')).toBeCloseTo(bits, 9);
    }
    expect(motifs.filter((m) => (m.gestureBits as number) > 0).length).toBeGreaterThan(5);
  });
  it('whose it is: Marla’s latch is hers, by places of hers and of all others', () => {
    const latch = motifs.find((m) => m.symbols.join(' ') === '400 500 -200 -300')?.distinctiveness;
    expect(latch).toMatchObject({ player: 'Marla Quillfeather', places: 15, otherPlaces: 0, isTheirs: true });
    expect((latch?.tones as number) + (latch?.otherTones as number)).toBe(tones);
    const said = motifInWords(table, motifs.find((m) => m.distinctiveness === latch) as Motif);
    expect(said).toMatch(
      /Marla Quillfeather at 15 places in 734 tones, all others at 0 in 1,821: this player's own \(z 3\.9/,
    );
    // Five places in three solos of nine might fall to one player by chance.
    const few = motifs.find((m) => m.symbols.join(' ') === '-300 100 700 -400 -300') as Motif;
    expect([few.distinctiveness?.places, few.distinctiveness?.isTheirs]).toEqual([5, false]);
    expect(few.distinctiveness?.z).toBeGreaterThan(1.96);
    expect(motifInWords(table, few)).toContain("not to be called this player's own");
  });
  it('is the player’s who is named, whatever the order of the players', () => {
    const back = findMotifs(toneTable([...demo].reverse()), { nullRuns: 40 }).motifs;
    for (const m of motifs.slice(0, 8)) {
      const same = back.find((other) => other.symbols.join(' ') === m.symbols.join(' '));
      expect(same?.distinctiveness?.player).toBe(m.distinctiveness?.player);
      expect(same?.distinctiveness?.z).toBeCloseTo(m.distinctiveness?.z as number, 9);
    }
  });
  it('one player alone has nobody to be told from; without null corpora nothing is claimed', () => {
    const alone = findMotifs(table, { where: { player: 'Juno' }, nullRuns: 2 }).motifs;
    expect(alone.map((m) => m.distinctiveness)).toEqual(alone.map(() => undefined));
    for (const { distinctiveness: d } of findMotifs(table, { nullRuns: 0 }).motifs)
      expect([d?.chance, d?.isTheirs]).toEqual([undefined, false]);
  });
});

describe('chance', () => {
  it('one null corpus is enough to ask, half a one is refused', () => {
    expect(findMotifs(table, { nullRuns: 1 }).motifs[0]?.falseDiscoveryRate).toBeGreaterThanOrEqual(0.5);
    expect(() => findMotifs(table, { nullRuns: 0.5 })).toThrow('nullRuns is 0.5');
    expect(() => findMotifs(table, { nullRuns: -1 })).toThrow(RangeError);
  });
  it('thirty added phrases of plain scale runs put none into the top ten', () => {
    const scale = [1, 3, 5, 6, 8, 10, 12, 13, 15, 17, 18, 20];
    const random = createRandom(11);
    const runs = Array.from({ length: 6 }, (_, s) =>
      lines(
        `runs-${s}`,
        Array.from({ length: 5 }, () => {
          const from = random.int(4);
          const up = scale.slice(from, from + 8);
          return random.int(2) === 0 ? up : [...up].reverse();
        }),
        'Run Runner',
      ),
    );
    const top = findMotifs(toneTable([...demo, ...runs])).motifs.slice(0, 10);
    expect(top.filter((m) => m.players.includes('Run Runner')).map((m) => m.symbols.join(' '))).toEqual([]);
  });

  it('noise at unequal sizes (2 players with 4 and 12 solos) gives motifs under 5 % seldom', () => {
    // Random lines have no motif: of 20 corpora at most a few may have any with a rate under 5 %.
    let withFinding = 0;
    for (let c = 0; c < 20; c++) {
      const random = createRandom(100 + c);
      const made = Array.from({ length: 16 }, (_, s) =>
        lines(
          `s${s}`,
          Array.from({ length: 3 }, () =>
            Array.from({ length: 14 }, () => [1, 3, 5, 6, 8, 10][random.int(6)] as number),
          ),
          s < 4 ? 'Ada Fenwick' : 'Bo Marsh',
        ),
      );
      const report = findMotifs(toneTable(made), { nullRuns: 40, seed: c });
      if (report.motifs.some((m) => (m.falseDiscoveryRate as number) < 0.05)) withFinding++;
    }
    // Binomial, n = 20, p = 0.05: 5 or more in 0.3 % of cases.
    expect(withFinding).toBeLessThan(5);
  });
});

describe('laws', () => {
  const steps = { nullRuns: 20 };
  const plain = (motifs: readonly Motif[]) =>
    motifs.map((m) => [m.symbols.join(' '), [...placesOf(m)].sort(), m.score.toFixed(6)]).sort();
  it('the order of the solos makes no difference to what is found', () => {
    const back = findMotifs(toneTable([...demo].reverse()), { nullRuns: 0 });
    const forth = findMotifs(table, { nullRuns: 0 });
    const words = (motifs: readonly Motif[]) =>
      motifs
        .slice(0, 12)
        .map((m) => `${m.symbols.join(' ')} ${m.places.length}`)
        .sort();
    expect(words(back.motifs)).toEqual(words(forth.motifs));
  });
  it('the same seed gives the same rates', () => {
    const rates = () => findMotifs(table, { ...steps, seed: 4 }).motifs.map((m) => m.falseDiscoveryRate);
    expect(rates()).toEqual(rates());
  });
  it('moving every solo by a step changes nothing in steps', () => {
    const moved = demo.map(({ id, solo }) => ({
      id,
      solo: { ...solo, guitar: { ...solo.guitar, tuning: solo.guitar.tuning.map((k) => (k + 1) as typeof k) } },
    }));
    expect(plain(findMotifs(toneTable(moved), { nullRuns: 0 }).motifs)).toEqual(
      plain(findMotifs(table, { nullRuns: 0 }).motifs),
    );
  });
  it('a long rest cuts the line, and a phrase ends it', () => {
    const rested = {
      id: 'r',
      solo: parseSoloOrThrow(
        '---\ntitle: R\nplayer: Ada Fenwick\nkey: C major\ntempo: 100\n---\nchanges\n  1 C\n  repeat 1-1 x8\nphrase 1\nat 1 1\n  e 1@2 3@2 5@2 - h - | q - e 8@2 1@2 5@2 3@2 q - |\n',
      ),
    };
    const three = toneTable(['a', 'b', 'c'].map((id) => ({ ...rested, id })));
    expect(findMotifs(three, { nullRuns: 0 }).motifs).toEqual([]);
    expect(findMotifs(three, { nullRuns: 0, leastTones: 4 }).motifs.map((m) => m.symbols.join(' '))).toEqual([
      '-700 400 -200',
    ]);
  });
  it('refuses what is no motif', () => {
    expect(() => findMotifs(table, { leastTones: 1 })).toThrow('in steps a motif has 2 tones or more');
    expect(() => viewpoint('stepz')).toThrow('there are: shape, pitch, steps');
  });
});

describe('viewpoints', () => {
  it.each(VIEWPOINTS.map((v) => [v.name]))('%s finds what two copies of a solo share', (name) => {
    const [solo] = demo as [NamedSolo];
    const twice = toneTable([solo, { ...solo, id: 'again' }, { ...solo, id: 'once more' }]);
    const { motifs } = findMotifs(twice, { viewpoint: viewpoint(name), nullRuns: 0 });
    expect(motifs.length).toBeGreaterThan(0);
    for (const m of motifs) for (const p of m.places) expect(p.rows).toHaveLength(m.tones);
  });
  it('a composed viewpoint tells apart what either part tells apart', () => {
    const both = compose(viewpoint('steps'), viewpoint('durations'));
    expect([both.name, both.reach]).toEqual(['steps+durations', 1]);
    const { motifs } = findMotifs(table, { where: { player: 'Juno' }, viewpoint: both, nullRuns: 0 });
    const gangplank = motifs.find((m) => m.symbols[0] === '500|6720') as Motif;
    expect([gangplank.places.length, gangplank.solos]).toEqual([16, 8]);
  });
});

describe('a motif is named by what its places share', () => {
  const named = (as: string) =>
    motifInWords(table, findMotifs(table, { viewpoint: viewpoint(as), nullRuns: 0 }).motifs[0] as Motif);
  it('by degrees where pitch is read, and where they differ by what all places share', () => {
    expect(named('steps')).toMatch(/^1 1 1 b3\+ 1 6 of the key at 15 of 17 places, the same steps at all, starts over/);
    expect(named('steps+durations')).toMatch(/the same steps and note values at all/);
    expect(named('degree')).not.toMatch(/ at all/);
  });
  it('by ups and downs, note values or gestures where it is not', () => {
    expect(named('contour')).toMatch(/^((up|down|level) )+(up|down|level), /);
    expect(named('durations')).toMatch(/^the note values (one|three) eighths?, /);
    expect(named('rhythm')).toMatch(/^the rhythm .* as at the first place, /);
    expect(named('gesture')).toMatch(/^(picked|hammered|pulled|slid)/);
  });
});

it('in one solo a motif needs no second solo', () => {
  const one = toneTable(demo.slice(0, 1));
  for (const m of findMotifs(one, { leastPlaces: 2, nullRuns: 0 }).motifs) expect(m.solos).toBe(1);
  expect(findMotifs(one, { leastPlaces: 2, nullRuns: 0 }).motifs.length).toBeGreaterThan(0);
  expect(findMotifs(one, { leastPlaces: 2, leastSolos: 2, nullRuns: 0 }).motifs).toEqual([]);
});

it('over a chord only what is played over it is searched: its places lie over it, and all that lie over it whole are found', () => {
  const over = findMotifs(table, { where: { chord: 'V' }, leastTones: 4, leastPlaces: 2, nullRuns: 0 }).motifs;
  const isV = (row: number) => table.functions[table.columns.function[row] as number] === 'V';
  expect(over.length).toBeGreaterThan(3);
  for (const { places } of over) for (const { rows } of places) expect(rows.every(isV)).toBe(true);
  const all = findMotifs(table, { leastTones: 4, leastPlaces: 2, nullRuns: 0 });
  expect(all.tones).toBeGreaterThan(findMotifs(table, { where: { chord: 'V' }, nullRuns: 0 }).tones);
  const keyed = findMotifs(table, { where: { key: 'A minor' }, leastSolos: 1, leastPlaces: 2, nullRuns: 0 }).motifs;
  for (const { places } of keyed)
    for (const { rows } of places) expect(table.keys[table.columns.key[rows[0] as number] as number]).toBe('A minor');
});
