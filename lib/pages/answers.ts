// Short answers to the questions that a study is opened with, a player at a time, each with its n and interval.
import type { IntervalUse } from '../analysis/interval-use.js';
import type { ShareRow, ShareTable } from '../analysis/shares.js';
import { type Html, html, joined, listed, type Part } from './html.js';
import { findingMotifs, motifAnswer } from './motif-part.js';
import { others, type PlayerFacts, type SharedFacts } from './player-facts.js';
import { figure, many, type Scene } from './scene.js';
import { attackWords, FEW, LEAST, shareInWords } from './share-words.js';

const FEW_SOLOS = 5;

/** The rows that come most, at most so many and those that come as often as the last of them, of those that come five times or more. */
function most<T>(rows: readonly T[], countOf: (row: T) => number, atMost = 3): readonly T[] {
  const sorted = rows.filter((row) => countOf(row) >= LEAST).sort((a, b) => countOf(b) - countOf(a));
  const last = sorted[atMost - 1];
  return last === undefined ? sorted : sorted.filter((row) => countOf(row) >= countOf(last));
}

/** What is played over a function: the degrees that come most; `undefined` where nothing is. */
export function overAnswer(use: IntervalUse, name: string): Html | undefined {
  const group = use.groups.find((g) => g.group[0] === name);
  if (!group) return undefined;
  if (group.tones < FEW) return html`${many(group.tones, 'tone')}, too few to say`;
  const own = use.rows.filter((row) => row.group[0] === name);
  const top = most(own, (row) => row.tones).map((row) => html`<b>${row.degree}</b> ${shareInWords(row.share)}`);
  return html`${joined(top, ', ')}; n\u00a0=\u00a0${figure(group.tones)} tones`;
}

/** The values of a table of one group that come most, as `2 51 % (42 to 59 %), 1 16 % (…)`. */
function topOf(table: ShareTable, name: (row: ShareRow) => Part, atMost = 3): readonly Html[] {
  return most(table.rows, (row) => row.count, atMost).map(
    (row) => html`<b>${name(row)}</b> ${shareInWords(row.share)}`,
  );
}

/** Where the player lands at the changes. */
export function landingAnswer({ landings }: PlayerFacts): Html {
  const { degrees, roles } = landings;
  if (degrees.n < FEW) return html`${many(degrees.n, 'change')} with a tone near, too few to say`;
  const [role] = topOf(roles, (row) => row.value, 1);
  return html`on the ${role}; by degree ${joined(
    topOf(degrees, (row) => row.value),
    ', ',
  )}; n\u00a0=\u00a0${figure(degrees.n)} changes`;
}

/** On which count the player comes in. */
export function entryAnswer({ entries }: PlayerFacts): Html {
  const { counts } = entries;
  if (counts.n < FEW) return html`${many(counts.n, 'phrase')}, too few to say`;
  return html`on ${joined(
    topOf(counts, (row) => row.value),
    ', ',
  )}; n\u00a0=\u00a0${figure(counts.n)} phrases`;
}

/** Bends with curls among them, counted once: `bent 13, 3 of them curls`. */
export const bentWords = (bent: number, curled: number): readonly string[] =>
  bent + curled === 0
    ? []
    : [`bent ${bent + curled}${curled === 0 ? '' : bent === 0 ? ', all of them curls' : `, ${curled} of them curls`}`];

const later = (rows: readonly ShareRow[]): readonly string[] =>
  rows
    .filter(({ value }) => value !== 'straight' && value !== 'bent' && value !== 'curled')
    .map((row) => `${attackWords(row.value)} ${row.count}`);

/** How tones begin, and how many are bent. */
export function attackAnswer({ attacks }: PlayerFacts): Html {
  if (attacks.tones < FEW) return html`${many(attacks.tones, 'tone')}, too few to say`;
  const of = (way: string) => attacks.reached.rows.find((row) => row.value === way)?.count ?? 0;
  const bends = [...bentWords(of('bent'), of('curled')), ...later(attacks.reached.rows)];
  const starts = { ...attacks.starts, rows: attacks.starts.rows.filter((row) => row.value !== 'none') };
  return html`${joined(
    topOf(starts, (row) => attackWords(row.value)),
    ', ',
  )}; ${bends.length === 0 ? 'nothing bent' : bends.join(', ')}; n\u00a0=\u00a0${figure(attacks.tones)} tones`;
}

/** Which scale the notes come from, solo by solo: solos in different kinds of keys counted together would say little. */
export function scaleAnswer({ soloScales }: PlayerFacts): Html {
  const counts = new Map<string, number>();
  for (const { said } of soloScales) counts.set(said, (counts.get(said) ?? 0) + 1);
  const top = [...counts].sort((a, b) => b[1] - a[1]).slice(0, 3);
  const rest = soloScales.length - top.reduce((sum, [, n]) => sum + n, 0);
  return html`${joined(
    top.map(([said, n]) => html`<b>${said}</b> in ${n}`),
    ', ',
  )}${rest > 0 ? `, others in ${rest}` : ''} of ${many(soloScales.length, 'solo')}`;
}

/** Bends held under other strings, over which chords and in which solos. */
export function heldAnswer({ heldBends, together }: PlayerFacts): Html {
  if (heldBends.length === 0) return together.length === 0 ? html`none: no strings sound together` : html`none`;
  const functions = [...new Set(heldBends.flatMap((bend) => bend.functions))];
  const parts = functions.map((name) => {
    const own = heldBends.filter((bend) => bend.functions.includes(name));
    return html`${own.length} over the ${name} in ${many(new Set(own.map((b) => b.under[0]?.solo)).size, 'solo')}`;
  });
  return html`${listed(parts)}`;
}

/** A finding: the sentence, and the part of the player's section that it is shown in. */
export interface Finding {
  readonly said: Html;
  readonly part: readonly string[];
}

/** What opens a player's section: findings in sentences, each with its n and, from five solos on, its interval. */
export function findingsOf(
  scene: Scene,
  facts: PlayerFacts,
  shared: SharedFacts,
  standout: string | undefined,
): readonly Finding[] {
  const { shown, use, landings, entries, attacks } = facts;
  const found: Finding[] = [];
  const add = (said: Html, ...part: readonly string[]) => found.push({ said, part });
  if (standout !== undefined) add(html`<b>${standout}.</b>`, 'over');
  for (const { group, tones } of use.groups.slice(0, 4))
    if (tones >= FEW)
      add(html`Over the ${group[0]} the ${overAnswer(use, group[0] as string)}.`, 'over', group[0] as string);
  const [role] = most(landings.roles.rows, (row) => row.count, 1);
  if (landings.degrees.n >= FEW && role) {
    const degrees = most(landings.degrees.rows, (row) => row.count).map(
      (row) => html`the ${row.value} ${row.count} times`,
    );
    const share = html`${shareInWords(role.share)} of ${landings.roles.n} changes`;
    add(
      html`Lands on the ${role.value} of the new chord at ${share}${others(shared.roles, shown, role.value)}. By degree: ${listed(degrees)}.`,
      'landings',
    );
  }
  const [count] = most(entries.counts.rows, (row) => row.count, 1);
  if (entries.counts.n >= FEW && count) {
    const off = entries.kinds.rows.find((row) => row.value === 'off the beat');
    const share = html`${shareInWords(count.share)} of ${entries.counts.n} phrases`;
    add(
      html`Comes in on ${count.value} in ${share}${others(shared.entries, shown, count.value)}. Off the beat: ${off?.count ?? 0} of ${entries.kinds.n}.`,
      'entries',
    );
  }
  if (attacks.tones >= FEW) add(html`Attack: ${attackAnswer(facts)}.${curlsOf(facts)}`, 'attacks');
  add(html`Scale: ${scaleAnswer(facts)}.`, 'scale');
  for (const note of facts.addedInSolos)
    add(
      html`Added: the ${note.degree} serves the ${note.function} (its ${note.role}): ${many(note.rows.length, 'place')}, of ${many(note.of, 'tone')} in ${many(note.solos, 'solo')}.`,
      'scale',
      'serves',
      note.degree,
      note.function,
      note.role,
    );
  if (facts.addedInSolos.length === 0)
    for (const note of facts.added)
      if (note.serves.length > 0) add(html`Added to the scale of all solos together: ${note.said}.`, 'scale');
  if (findingMotifs(facts).length > 0) add(html`Keeps coming back: ${motifAnswer(scene, facts)}.`, 'motifs');
  if (facts.together.length >= LEAST)
    add(
      html`Strings sound together at ${facts.together.length} places; bends held under other strings: ${heldAnswer(facts)}.`,
      'together',
    );
  return found;
}

/** What to be careful about: few solos. */
export function caution({ shown }: PlayerFacts): Html | undefined {
  if (shown.solos.length >= FEW_SOLOS) return undefined;
  return html`<p class="soft">Fewer than five solos: counts and shares without intervals. What holds in ${many(shown.solos.length, 'solo')} need not be the player's way.</p>`;
}

/** The degree of the key that is curled most. */
function curlsOf({ attacks }: PlayerFacts): Html {
  const [top] = most(
    attacks.overKey.rows.filter((row) => row.value === 'curled'),
    (row) => row.count,
    1,
  );
  if (!top) return html``;
  const degree = top.group[top.group.length - 1];
  const all = attacks.overKey.groups.find((g) => g.group === top.group);
  return html` The ${degree} of the key is curled ${top.count} of ${all?.n} times.`;
}
