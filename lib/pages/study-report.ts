// The report of a study: one page that opens from disk, with every answer, the places behind it, and every phrase as tab.

import type { ToneFilter } from '../analysis/grouping.js';
import { intervalUse } from '../analysis/interval-use.js';
import { relationsOf } from '../analysis/phrase-relation.js';
import type { Relation } from '../analysis/phrase-relation-kinds.js';
import { type PhraseSentence, phraseSentences } from '../analysis/phrase-sentence.js';
import type { ToneTable } from '../solo/tone-table.js';
import { contentsPart } from './contents-part.js';
import { corpusSection, questionsPart } from './corpus-section.js';
import { definitionsSection } from './definitions.js';
import { type Html, html, type Part } from './html.js';
import { type Kin, kinOf } from './kin-part.js';
import { pageText } from './page.js';
import { factsOf, sharedFactsOf } from './player-facts.js';
import { playerSection } from './player-section.js';
import { many, type Scene, sceneOf } from './scene.js';
import { soloSection } from './solo-section.js';

/** What a report is made of, beside the tones. */
export interface StudyReportOptions {
  /** Count only these tones; solos and players without any part in them are not shown. Default: all. */
  readonly where?: ToneFilter;
  /** Names of files that could not be read, or not whole: the report says that they are missing from its numbers. Default: none. */
  readonly unread?: readonly string[];
}

/** Above so many solos their pictures, about 100 kB a solo, would make the page slow to open. */
const MOST_DRAWN = 60;

/**
 * The report of a study as the text of one HTML page. It asks for nothing from outside and can be read and printed without its script. Every count
 * leads to the list of its places, every place to the tab of its phrase.
 * @throws Error as `chartToSvg` does, if a chart cannot be drawn
 * @example
 * const page = await studyReport(toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]))
 * page.includes('<title>Study of 1 solo: Ada Fenwick</title>') // => true
 */
export async function studyReport(table: ToneTable, options: StudyReportOptions = {}): Promise<string> {
  const { where = {}, unread = [] } = options;
  const scene = sceneOf(table, where);
  const shared = sharedFactsOf(scene);
  const facts = scene.players.map((player) => factsOf(scene, player));
  const use = intervalUse(table, { where });
  const relations = relationsOf(table);
  const sentences = sentencesOf(table, relations);
  const withPictures = scene.solos.length <= MOST_DRAWN;
  const kin = withPictures ? kinOf(scene, relations) : new Map<string, Kin>();
  const players: Html[] = [];
  for (const own of facts) players.push(await playerSection(scene, own, shared, kin));
  const solos: Html[] = [];
  for (const player of facts)
    for (const solo of player.shown.solos) {
      const own = sentences.get(solo.id) ?? new Map<string, PhraseSentence>();
      solos.push(await soloSection(scene, solo, own, player, kin.get(solo.id), withPictures));
    }
  const names = scene.players.map((p) => p.name);
  const title = `Study of ${many(scene.solos.length, 'solo')}: ${names.length > 3 ? many(names.length, 'player') : names.join(', ')}`;
  const body: readonly Part[] = [
    html`<header id="top"><h1>${title}</h1>
${askedFor(where)}${missing(unread)}${withPictures ? undefined : html`<p>With more than ${MOST_DRAWN} solos each is shown as its form and tab, without pictures and without the relations of its phrases; study a few of them for those.</p>`}</header>
`,
    contentsPart(scene, kin.size > 0),
    questionsPart(scene, facts, use, kin),
    await corpusSection(scene, facts, use),
    html`<div id="players">${players}</div>
<div id="solos">${solos}</div>
`,
    definitionsSection(),
  ];
  return withOwnIds(pageText({ title, ways: waysOf(scene), body }));
}

/** Gives what pictures define (a scale of colours) ids of its own in each: pictures that are alike in all have the same. */
function withOwnIds(page: string): string {
  let figures = 0;
  return page.replace(/<figure>.*?<\/figure>/gs, (figure) => {
    figures++;
    return figure.replace(/(id="|url\(#)c[0-9a-f]{10}-(\d+)/g, `$1drawn_${figures}_$2`);
  });
}

function sentencesOf(
  table: ToneTable,
  relations: readonly Relation[],
): ReadonlyMap<string, ReadonlyMap<string, PhraseSentence>> {
  const solos = new Map<string, Map<string, PhraseSentence>>();
  for (const sentence of phraseSentences(table, relations)) {
    const own = solos.get(sentence.solo) ?? new Map<string, PhraseSentence>();
    solos.set(sentence.solo, own.set(sentence.phrase, sentence));
  }
  return solos;
}

/** What stays at the top of the screen. */
const waysOf = (scene: Scene): readonly Part[] => [
  html`<a href="#contents">Contents</a><a href="#questions">Questions</a><a href="#corpus">Solos</a>`,
  ...scene.players.map(({ player, name }) => html`<a href="#${scene.ids.of('player', player)}">${name}</a>`),
  html`<a href="#definitions">Words</a>`,
];

/** What the numbers are narrowed to, so that a page of one chord is not taken for all. */
function askedFor(where: ToneFilter): Html {
  const asked = Object.entries(where).map(([grouping, values]) => `${grouping} ${[values].flat().join(' or ')}`);
  return asked.length === 0
    ? html``
    : html`<p><b>Only ${asked.join('; ')}.</b> All counts are of these; phrases are shown whole.</p>`;
}

const missing = (unread: readonly string[]): Html =>
  unread.length === 0
    ? html``
    : html`<p><b>Not in these numbers, or not whole, since they have faults: ${unread.join(', ')}.</b></p>`;
