// The report of a study: every link has its target, every count is the length of the list it leads to, and no text can become markup.
import { beforeAll, describe, expect, it } from 'vitest';
import { attacks } from '../../lib/analysis/attacks.js';
import { entryUse } from '../../lib/analysis/entry.js';
import { families } from '../../lib/analysis/family.js';
import { type IntervalUse, intervalUse } from '../../lib/analysis/interval-use.js';
import { landingUse } from '../../lib/analysis/landing.js';
import { findMotifs } from '../../lib/analysis/motif.js';
import { motifInWords } from '../../lib/analysis/motif-words.js';
import { relationsOf } from '../../lib/analysis/phrase-relation.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { studyReport } from '../../lib/pages/study-report.js';
import { gridOf } from '../../lib/solo/solo.js';
import { type NamedSolo, type ToneTable, toneTable } from '../../lib/solo/tone-table.js';
import { soloOf } from '../charts/corpus.js';
import { byId, type Element, elementsIn, named, readMarkup, wordsIn } from './markup.js';

/** Links of a page that lead nowhere, or to two places; and ids given twice. */
function brokenLinks(elements: readonly Element[]): readonly string[] {
  const ids = elements.flatMap((e) => e.attributes.get('id') ?? []);
  const known = new Set(ids);
  const twice = ids.filter((id, i) => ids.indexOf(id) !== i).map((id) => `${id} is given twice`);
  const links = elements.filter((e) => e.name === 'a').map((a) => a.attributes.get('href') ?? '');
  return [...twice, ...links.filter((href) => !href.startsWith('#') || !known.has(href.slice(1)))];
}

/** The places that a list names, as their words; in a table of readings the first cell of each row. */
function placesIn(list: Element): readonly Element[] {
  const inLists = named(list, 'dd').flatMap((dd) => named(dd, 'a'));
  return inLists.length > 0
    ? inLists
    : named(list, 'tbody').flatMap((body) => named(body, 'th').flatMap((th) => named(th, 'a')));
}

/** Counts that are not the length of the list they lead to. */
function wrongCounts(elements: readonly Element[]): { readonly counts: number; readonly wrong: readonly string[] } {
  const byIds = new Map(
    elements.flatMap((e) => (e.attributes.has('id') ? [[e.attributes.get('id') as string, e]] : [])),
  );
  const wrong: string[] = [];
  const counts = elements.filter((e) => e.name === 'a' && /^n( |$)/.test(e.attributes.get('class') ?? ''));
  for (const count of counts) {
    const id = (count.attributes.get('href') as string).slice(1);
    const list = byIds.get(id) as Element;
    const kind = (count.attributes.get('class') as string).slice(2);
    const places =
      kind === 'strong'
        ? named(list, 'b').flatMap((b) => named(b, 'a')).length
        : kind === 'word'
          ? named(list, 'em').length
          : placesIn(list).length;
    if (wordsIn(count).replace(',', '') !== String(places)) wrong.push(`${wordsIn(count)} leads to ${places} at ${id}`);
  }
  return { counts: counts.length, wrong };
}

const demo = readCorpus(['data/solos']);

describe('the report on the demo solos', () => {
  let table: ToneTable;
  let page: string;
  let root: Element;
  let elements: readonly Element[];
  let use: ReadonlyMap<string, IntervalUse>;

  beforeAll(async () => {
    table = toneTable(demo.solos);
    page = await studyReport(table);
    root = readMarkup(page);
    elements = elementsIn(root);
    use = new Map(table.players.map((player) => [player, intervalUse(table, { where: { player } })]));
  });

  it('has a section for each player and solo, and every phrase with its tab and a sentence', () => {
    const headings = named(root, 'h2').map(wordsIn);
    for (const name of [...table.players, ...table.solos.map((s) => s.solo.title)]) expect(headings).toContain(name);
    const phrases = named(root, 'div', 'phrase');
    expect(phrases).toHaveLength(table.solos.reduce((sum, s) => sum + s.solo.phrases.length, 0));
    for (const phrase of phrases) {
      const [tab] = named(phrase, 'pre').map(wordsIn) as [string];
      expect(tab).toMatch(/^bar +\d/);
      expect(tab.split('\n').filter((line) => /^[A-Ga-g]b? *\|/.test(line)).length % 6).toBe(0);
      expect(wordsIn(named(phrase, 'p')[0] as Element)).toMatch(/^Comes in (on|a sixteenth after) .*\.$/s);
    }
  });

  it('every link leads to one place in the page, and to nothing outside it', () => {
    expect(brokenLinks(elements)).toEqual([]);
    expect(elements.filter((e) => e.name === 'a').length).toBeGreaterThan(10_000);
    const asks = elements.flatMap((e) =>
      [...e.attributes].filter(([key]) => /^(src|srcset|action|data|poster|xlink:href)$/.test(key)),
    );
    expect(asks).toEqual([]);
    const linked = elements.filter((e) => e.name === 'link').map((e) => e.attributes.get('href'));
    expect(linked).toEqual(['data:,']);
    expect(page.replaceAll('http://www.w3.org/', '')).not.toMatch(/https?:|url\((?!#)|@import/);
  });

  it('every count is the length of the list it leads to', () => {
    const { counts, wrong } = wrongCounts(elements);
    expect(wrong).toEqual([]);
    expect(counts).toBeGreaterThan(1000);
  });

  it('every table of interval use shows the counts and places that the analysis gives', () => {
    for (const [player, own] of use)
      own.rows.forEach((row, i) => {
        const name = player.toLowerCase().replace(' ', '-');
        const list = byId(elements, `player.${name}.over.${idOf(row.group[0] as string)}.${row.degree}`);
        const shown = placesIn(list).map(wordsIn);
        expect(shown, `${player} ${row.group[0]} ${row.degree}`).toEqual(
          own.places(i).map((p) => `${p.bar}:${p.count}`),
        );
        expect(placesIn(list).map((a) => a.attributes.get('href'))).toEqual(
          own.places(i).map((p) => `#${p.solo}.${p.phrase}`),
        );
        expect(wordsIn(named(list, 'dt')[0] as Element)).toBe(`${row.degree} over ${row.group[0]}: ${row.tones}`);
      });
  });

  it('every place is in a bar that its phrase has, and its tab shows that bar', () => {
    const solos = new Map(table.solos.map((s) => [s.id, s.solo]));
    for (const list of named(root, 'dl', 'places'))
      for (const place of placesIn(list)) {
        const [, id, phraseId] = /^#([a-z-]+)\.(?:bar\.)?(.+)$/.exec(
          place.attributes.get('href') as string,
        ) as unknown as [string, string, string];
        const solo = solos.get(id);
        const phrase = solo?.phrases.find((p) => p.id === phraseId);
        if (!solo || !phrase || place.attributes.get('href')?.includes('.bar.')) continue;
        const bar = Number(wordsIn(place).split(':')[0]);
        const { start, meter } = gridOf(solo).bar(bar);
        expect(
          start + meter.barTicks > phrase.at && start < phrase.at + phrase.length,
          `${id} ${phraseId} bar ${bar}`,
        ).toBe(true);
      }
  });

  it('answers what data/players.md plants, at the top and with its places', () => {
    const answers = named(byId(elements, 'questions'), 'li').map(wordsIn);
    expect(answers).toContainEqual(expect.stringMatching(/^Marla Quillfeather: on the third 78 %/));
    expect(answers).toContainEqual(expect.stringMatching(/^Marla Quillfeather: on 2 51 % .*n = 73 phrases$/));
    expect(answers).toContainEqual(expect.stringMatching(/^Tobias Underlamp: on 3& 67 %/));
    expect(answers).toContain(
      'Tobias Underlamp: under other strings Bollard Row (2), Lamp Oil and Rope (2), Slow Water at the Slip, Ticket Window; picked again Rope Walk Shuffle (2)',
    );
    expect(answers.filter((a) => a.startsWith('Juno Brackwater: ')).join()).not.toContain('over the V');
    const marla = use.get('Marla Quillfeather') as IntervalUse;
    expect(marla.rows.find((r) => r.group[0] === 'IV' && r.degree === '6')?.tones).toBe(44);
    expect(placesIn(byId(elements, 'player.marla-quillfeather.over.IV.6'))).toHaveLength(44);
    // Of 77 phrases in the 4/4 solos 56 start on 3&.
    expect(placesIn(byId(elements, 'player.tobias-underlamp.entries.in.4-4.3and'))).toHaveLength(56);
    expect(placesIn(byId(elements, 'player.tobias-underlamp.together.held.V'))).toHaveLength(6);
    expect(placesIn(byId(elements, 'player.tobias-underlamp.attacks.held.V'))).toHaveLength(8);
    expect(answers).toContain(
      'Marla Quillfeather: 8 let down as the new chord comes, to its 5 (4), 6 (3), 1 (1); of 8 held bends',
    );
    expect(placesIn(byId(elements, 'player.tobias-underlamp.attacks.over-key.b3.curled'))).toHaveLength(83);
  });

  it('each answer leads to the part that holds it', () => {
    const ids = new Map(
      elements.flatMap((e) => (e.attributes.has('id') ? [[e.attributes.get('id') as string, e]] : [])),
    );
    for (const question of named(byId(elements, 'questions'), 'div').filter((d) => named(d, 'h3').length === 1)) {
      const words = wordsIn(named(question, 'h3')[0] as Element);
      const [, over] = /^What is played over the (.+)\?$/.exec(words) ?? [];
      for (const link of named(question, 'a')) {
        const target = ids.get((link.attributes.get('href') as string).slice(1)) as Element;
        if (over !== undefined) expect(wordsIn(target)).toMatch(new RegExp(`^(Over the )?${over}`));
        else expect(target.name, words).toMatch(/^(h3|h4|div)$/);
      }
    }
  });

  it('the cells of a heatmap and the bars of a chart lead to the places behind them', () => {
    const linked = named(root, 'svg').map((svg) => named(svg, 'a').length);
    expect(linked.filter((n) => n > 0).length).toBeGreaterThanOrEqual(3 * 5 + 1 + table.solos.length);
    for (const [player, own] of use) {
      const section = byId(elements, `player.${player.toLowerCase().replace(' ', '-')}`);
      const [heatmap] = named(section, 'svg') as [Element];
      expect(named(heatmap, 'a'), player).toHaveLength(own.rows.length);
      for (const cell of named(heatmap, 'a')) {
        const [, degree, group] = /^(\S+) over (\S+): /.exec(
          elementsIn(cell)[0]?.attributes.get('aria-label') as string,
        ) as unknown as string[];
        const list = byId(elements, (cell.attributes.get('href') as string).slice(1));
        expect(wordsIn(named(list, 'dt')[0] as Element)).toMatch(new RegExp(`^${degree} over ${group}: \\d+$`));
      }
    }
  });

  it('n of landings, entries and attacks is that of the analysis', () => {
    for (const player of table.players) {
      const words = wordsIn(byId(elements, `player.${player.toLowerCase().replace(' ', '-')}`));
      expect(words).toContain(`At ${landingUse(table, { where: { player } }).groups[0]?.changes} chord changes`);
      expect(words).toContain(`Count: ${entryUse(table, { where: { player } }).counts.n} phrases`);
      expect(words).toContain(`${attacks(table, { where: { player } }).tones} tones`);
    }
  });

  it('has a card for each motif: its words, the tab of its first place, every place as a link, and whether it is a finding', () => {
    for (const player of table.players) {
      const id = `player.${player.toLowerCase().replace(' ', '-')}.motifs`;
      const { motifs } = findMotifs(table, { where: { player } });
      expect(motifs.length).toBeGreaterThan(10);
      motifs.forEach((motif, i) => {
        const card = byId(elements, `${id}.${i + 1}`);
        const words = wordsIn(card);
        expect(words).toContain(motifInWords(table, motif));
        expect(words.includes('No finding'), words).toBe((motif.falseDiscoveryRate ?? 0) >= 0.2);
        expect(placesIn(card).map((a) => a.attributes.get('href'))).toEqual(
          motif.places.map((p) => `#${p.solo}.${p.phrase}`),
        );
        const [tab] = named(card, 'pre').map(wordsIn) as [string];
        expect(tab).toMatch(new RegExp(`^bar +${motif.places[0]?.bar}\\b`));
      });
      const found = motifs.filter((m) => (m.falseDiscoveryRate ?? 0) < 0.2);
      for (const { id: solo } of table.solos.filter((s) => s.solo.player === player)) {
        const here = found.flatMap((m) => m.places.filter((p) => p.solo === solo)).length;
        const drawn = elements.some((e) => e.attributes.get('id') === `${solo}.motifs.strip`);
        expect(drawn, solo).toBe(here >= 2);
      }
    }
  });

  it('says of each solo its form, where each phrase comes from, and every relation', () => {
    const related = relationsOf(table);
    for (const family of families(table)) {
      const section = byId(elements, family.solo);
      expect(named(section, 'b', 'form').map(wordsIn)).toEqual([family.form]);
      const rows = named(section, 'tr').map((tr) =>
        elementsIn(tr)
          .filter((e) => e.name === 'td')
          .map(wordsIn),
      );
      for (const { label, source } of related.length > 0 ? family.phrases : [])
        if (source) expect(rows).toContainEqual([label, `phrase ${source.a.phrase}`, source.said]);
      for (const relation of related.filter(({ b }) => b.solo === family.solo))
        expect(rows.map((cells) => cells[cells.length - 1])).toContain(relation.said);
    }
  });

  it('lists every section in its contents', () => {
    const targets = named(byId(elements, 'contents'), 'a').map((a) => a.attributes.get('href'));
    for (const { id } of table.solos) expect(targets).toContain(`#${id}`);
    for (const part of ['over', 'landings', 'entries', 'attacks', 'scale', 'motifs', 'kin', 'together'])
      expect(targets).toContain(`#player.marla-quillfeather.${part}`);
  });

  it('says what each word means, warns of harm, and keeps to its size', () => {
    const words = wordsIn(byId(elements, 'definitions'));
    for (const word of [
      'Tone',
      'Degree',
      'Role',
      'On the beat',
      'Exposure',
      '95 % interval',
      'Landing',
      'Entry',
      'Scale fit',
      'Implied chord',
      'Motif',
      'False discovery rate',
      'Relation of phrases',
      'Form',
    ])
      expect(words).toContain(word);
    expect(words).toMatch(/stop when it hurts\. Ask a teacher .* clinician/s);
    expect(Buffer.byteLength(page)).toBeLessThan(6_000_000);
  });

  it('is the same page each time', async () => {
    const again = toneTable(demo.solos.slice(0, 1));
    expect(await studyReport(again)).toBe(await studyReport(toneTable(demo.solos.slice(0, 1))));
  });
});

/** As the page writes a function into an id. */
const idOf = (name: string): string =>
  name.replace('#', 'sharp-').replace('°', 'dim').replace('ø', 'half').replace('+', 'aug');

const HEAD = '---\ntitle: Made\nplayer: Ada Fenwick\nkey: C major\ntempo: 100\n---\n';
const made = (text: string, id = 'made'): NamedSolo => ({ id, solo: parseSoloOrThrow(text) });

describe('a report on anything else', () => {
  const check = async (
    solos: readonly NamedSolo[],
    options: Parameters<typeof studyReport>[1] = {},
  ): Promise<Element> => {
    const root = readMarkup(await studyReport(toneTable(solos), options));
    expect(brokenLinks(elementsIn(root))).toEqual([]);
    expect(wrongCounts(elementsIn(root)).wrong).toEqual([]);
    return root;
  };

  it('text from a solo is never markup', async () => {
    const evil = '<script>alert(1)</script><img src=x onerror=alert(1)> & "it" \'s';
    const plain = made(
      `${HEAD}say "dig in"\nchanges\n  section "A" 1-2\n  1 C7 | F7\n  strum "D - U"\nphrase 1 "one"\nat 1 1\n  q 8@2 8@2 5@1 8@1 | w 5@1 |\n  say "there"\n`,
    ).solo;
    const [phrase] = plain.phrases as [(typeof plain.phrases)[0]];
    const solo = {
      ...plain,
      title: evil,
      player: evil,
      tone: evil,
      remarks: [evil],
      changes: {
        ...plain.changes,
        sections: plain.changes.sections.map((s) => ({ ...s, name: evil })),
        strums: plain.changes.strums.map((s) => ({ ...s, pattern: evil })),
      },
      phrases: [
        {
          ...phrase,
          id: evil,
          name: evil,
          notes: phrase.notes.map((n) => ({ ...n, marks: [evil] })),
          remarks: phrase.remarks.map((r) => ({ ...r, text: evil })),
        },
      ],
    };
    const root = await check([{ id: evil, solo }], { unread: [evil], where: { solo: evil } });
    const elements = elementsIn(root);
    expect(elements.filter((e) => e.name === 'script')).toHaveLength(1);
    expect(elements.filter((e) => e.name === 'img')).toEqual([]);
    expect(elements.flatMap((e) => [...e.attributes.keys()]).filter((key) => key.startsWith('on'))).toEqual([]);
    expect(named(root, 'h2').map(wordsIn)).toContain(evil);
    expect(wordsIn(named(root, 'pre')[0] as Element)).toContain(evil);
    expect(wordsIn(named(root, 'title')[0] as Element)).toContain(evil);
  });

  it('solos with one title, and names that differ in signs only, keep apart', async () => {
    const [one, two] = [
      soloOf('Tide Table', [['C', 'C E G E C E G C']]),
      soloOf('tide-table', [['F', 'D F A D C A F D']]),
    ];
    const same = { ...two, solo: { ...two.solo, title: one.solo.title, player: 'ada-fenwick' } };
    const root = await check([one, same]);
    expect(named(root, 'h2').map(wordsIn)).toEqual(
      expect.arrayContaining(['Tide Table (Tide Table)', 'Tide Table (tide-table)', 'Ada Fenwick', 'ada-fenwick']),
    );
  });

  it('a player whose name is part of another name is counted alone', async () => {
    const [one, two] = [soloOf('one', [['C', 'C C C C C C C C']]), soloOf('two', [['C', 'E E E E E E E E']])];
    const root = await check([one, { ...two, solo: { ...two.solo, player: 'Ada' } }]);
    const row = (player: string) =>
      named(byId(elementsIn(root), 'corpus'), 'tr')
        .map(wordsIn)
        .find((words) => words.startsWith(player));
    expect(row('Ada1')).toBe('Ada1118');
    expect(row('Ada Fenwick')).toBe('Ada Fenwick1118');
  });

  it('few solos: counts, no intervals, and said so', async () => {
    const root = await check([
      soloOf('one', [
        ['C', 'C E G E C E G C'],
        ['F', 'D F A D C A F D'],
        ['C', 'C E G E C E G C'],
      ]),
    ]);
    const words = wordsIn(byId(elementsIn(root), 'player.ada-fenwick'));
    expect(words).toContain('Fewer than five solos: counts and shares without intervals.');
    expect(words).not.toMatch(/\(\d+ to \d+/);
    expect(words).toContain('Over other chords: fewer than 20 tones each');
    expect(words).not.toMatch(/NaN|undefined|Infinity/);
  });

  it.each([
    ['no changes', `${HEAD}phrase 1\nat 1 1\n  q 8@2 8@2 5@1 8@1 |\n`],
    ['no phrases', `${HEAD}changes\n  1 C7 | F7\n`],
    ['dead notes only', `${HEAD}changes\n  1 C7\nphrase 1\nat 1 1\n  q x@2 x@2 x@1 x@1 |\n`],
    ['no chord', `${HEAD}changes\n  1 N.C. | N.C.\nphrase 1\nat 1 1\n  q 8@2 8@2 5@1 8@1 |\n`],
    [
      'a change between phrases',
      `${HEAD}changes\n  1 C7 | F7 | G7 | C7\nphrase 1\nat 1 1\n  w 8@2 |\nphrase 2\nat 4 1\n  w 8@2+5@1 |\n`,
    ],
    ['a pickup bar', `${HEAD}changes\n  1 C7 | F7\nphrase 1\nat 0 4\n  q 8@2 | w 8@2(0>2) |\n`],
  ])('a solo with %s is shown without a slip', async (_, text) => {
    const root = await check([made(text)]);
    expect(wordsIn(named(root, 'main')[0] as Element)).not.toMatch(/NaN|undefined|Infinity|\[object/);
  });

  it('a solo of no named player has a section of its own', async () => {
    const one = soloOf('one', [['C', 'C E G E C E G C']]);
    const root = await check([{ ...one, solo: { ...one.solo, player: '' } }]);
    expect(named(root, 'h2').map(wordsIn)).toContain('no player named');
  });

  it('many solos are shown without pictures of each, and it is said', async () => {
    const many = Array.from({ length: 61 }, (_, i) => soloOf(`solo ${i}`, [['C', 'C E G E C E G C']]));
    const root = await check(many);
    expect(wordsIn(named(root, 'header')[0] as Element)).toContain('With more than 60 solos');
    expect(named(byId(elementsIn(root), 'solos'), 'svg')).toEqual([]);
    expect(named(byId(elementsIn(root), 'solos'), 'pre')).toHaveLength(61);
  });

  it('no solos at all give a page that says so', async () => {
    const root = await check([]);
    expect(wordsIn(named(root, 'h1')[0] as Element)).toContain('0 solos');
  });

  it('a study of one chord says so, and counts only that', async () => {
    const root = await check(demo.solos.slice(0, 4), { where: { chord: 'IV' }, unread: ['broken.solo'] });
    const words = wordsIn(named(root, 'header')[0] as Element);
    expect(words).toContain('Only chord IV.');
    expect(words).toContain('broken.solo');
    const headings = named(root, 'h4')
      .map(wordsIn)
      .filter((h) => h.startsWith('Over the '));
    expect(headings.length).toBeGreaterThan(0);
    expect(headings.filter((h) => !h.startsWith('Over the IV:'))).toEqual([]);
  });
});
