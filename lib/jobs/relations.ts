// relations: what each phrase is made of, within its solo; or what phrases of a player or of all solos have in common.
import { type Family, type FamilyMember, families } from '../analysis/family.js';
import { passesFilter, selection, type ToneFilter } from '../analysis/grouping.js';
import { relationsOf } from '../analysis/phrase-relation.js';
import { LITERAL, type Relation, type RelationKind } from '../analysis/phrase-relation-kinds.js';
import type { PhraseRef } from '../analysis/phrase-relation-lines.js';
import { type GroupMember, type RelationGroup, relationGroups } from '../analysis/relation-groups.js';
import { tabText } from '../engraving/tab-text.js';
import { nearest } from '../foundation/nearest.js';
import { type NamedSolo, placeOfTone, type ToneTable, toneTable } from '../solo/tone-table.js';
import { keyText } from '../theory/scale.js';
import { askedOf, count, type ExitCode, type Terminal } from './terminal.js';

/** What to relate, and what to show of it. */
export interface RelationsOptions {
  /** Solos by player, key and name. Beyond a solo, a solo's name narrows what is shown, not what is compared; a chord does always: phrases with a tone over it are shown. */
  readonly where: Pick<ToneFilter, 'player' | 'key' | 'solo' | 'chord'>;
  /** Only what has to do with the phrase of this id. */
  readonly phrase?: string;
  /** Default: all. */
  readonly kinds?: readonly RelationKind[];
  readonly within: 'solo' | 'player' | 'corpus';
  /** How many relations of a phrase, or how many groups and how many pairs. */
  readonly most: number;
  readonly json: boolean;
}

/** Relates the phrases of files and folders. Exit code 1 if any file had faults, though the rest is compared. */
export function relations(paths: readonly string[], asked: RelationsOptions, terminal: Terminal): ExitCode {
  const read = askedOf(paths, asked.where, terminal);
  if (typeof read === 'number') return read;
  const { corpus, where, faulty } = read;
  const { solo: shown, chord, ...compared } = where;
  const solos = corpus.solos.filter((named) =>
    passes(named, asked.within === 'solo' && shown !== undefined ? { ...compared, solo: shown } : compared),
  );
  const isShown = (id: string) => shown === undefined || passesFilter({ solo: shown }, { solo: id });
  if (sayNoPhrase(solos, isShown, asked.phrase, terminal)) return 2;
  const table = toneTable(solos);
  const options = { ...asked, isShown, isOver: phrasesOver(table, chord) };
  if (asked.within === 'solo') inSolos(table, options, terminal);
  else acrossSolos(table, options, terminal);
  return faulty ? 1 : 0;
}

interface Shown extends RelationsOptions {
  isShown(solo: string): boolean;
  isOver(phrase: PhraseRef): boolean;
}

/** Which phrases have a tone over one of the chords; all, if none is named. */
function phrasesOver(table: ToneTable, chord: ToneFilter['chord']): (phrase: PhraseRef) => boolean {
  if (chord === undefined) return () => true;
  const mask = selection(table, { where: { chord }, chordless: true });
  const found = new Set<string>();
  for (let row = 0; row < table.rows; row++) if (mask[row]) found.add(keyOf(placeOfTone(table, row)));
  return (phrase) => found.has(keyOf(phrase));
}

/** Whole solos are let through; one that changes its key has each of its keys. */
function passes({ id, solo }: NamedSolo, where: ToneFilter): boolean {
  const keys = [solo.key, ...solo.changes.settings.flatMap(({ key }) => (key ? [key] : []))];
  return keys.some((key) => passesFilter(where, { solo: id, player: solo.player, key: keyText(key) }));
}

/** Says that no solo has a phrase of that id, or that no solo is left at all; true if so. */
function sayNoPhrase(
  solos: readonly NamedSolo[],
  isShown: (solo: string) => boolean,
  phrase: string | undefined,
  terminal: Terminal,
): boolean {
  const ids = [
    ...new Set(solos.filter(({ id }) => isShown(id)).flatMap(({ solo }) => solo.phrases.map(({ id }) => id))),
  ];
  if (ids.length === 0) terminal.err('no phrase is left with these choices');
  else if (phrase !== undefined && !ids.includes(phrase)) {
    const near = nearest(phrase, ids, 2);
    const some = ids.length > 20 ? `${ids.slice(0, 20).join(', ')} and ${ids.length - 20} more` : ids.join(', ');
    terminal.err(
      `no phrase "${phrase}" in these solos${near === undefined ? '.' : `; did you mean ${near}?`} There are: ${some}`,
    );
  } else return false;
  return true;
}

/** A phrase with its relations to earlier ones, the source first, and with those of later ones to it. */
interface PhraseReport extends FamilyMember {
  readonly relations: readonly Relation[];
  readonly later: readonly Relation[];
}

function inSolos(table: ToneTable, { kinds, phrase, most, json, isOver }: Shown, terminal: Terminal): void {
  const related = relationsOf(table);
  const all = kinds ? related.filter(({ kind }) => kinds.includes(kind)) : related;
  const byPhrase = new Map<string, Relation[]>();
  const byEarlier = new Map<string, Relation[]>();
  for (const relation of all) {
    add(byPhrase, keyOf(relation.b), relation);
    if (relation.a.phrase !== relation.b.phrase) add(byEarlier, keyOf(relation.a), relation);
  }
  const reports = families(table, { relations: related }).map((family) => {
    const phrases = family.phrases
      .filter((member) => phrase === undefined || member.phrase === phrase)
      .filter((member) => isOver({ solo: family.solo, phrase: member.phrase }))
      .map((member): PhraseReport => {
        const key = keyOf({ solo: family.solo, phrase: member.phrase });
        const own = [...(byPhrase.get(key) ?? [])].sort((p, q) => q.strength - p.strength);
        const first = own.filter((relation) => isSource(member, relation));
        return {
          ...member,
          relations: [...first, ...own.filter((relation) => !isSource(member, relation))],
          later: byEarlier.get(key) ?? [],
        };
      })
      .filter(
        ({ relations: found, later }) => !kinds || found.length > 0 || (phrase !== undefined && later.length > 0),
      );
    return { family, phrases };
  });
  const kept = reports.filter(({ phrases }) => phrases.length > 0);
  if (json) {
    const solos = kept.map(({ family, phrases }) => soloJson(table, family, phrases, phrase !== undefined));
    terminal.out(JSON.stringify({ within: 'solo', solos }, null, 1));
    return;
  }
  if (kept.length === 0)
    terminal.out(
      kinds
        ? `no phrase has a relation of the kind ${kinds.join(' or ')} to another of its solo`
        : 'no phrase of these solos has a tone over that chord',
    );
  kept.forEach(({ family, phrases }, i) => {
    terminal.out(`${i === 0 ? '' : '\n'}${family.solo}${family.player ? ` (${family.player})` : ''}, ${family.said}`);
    for (const report of phrases) for (const line of phraseLines(report, most, kinds !== undefined)) terminal.out(line);
    if (phrase === undefined) return;
    for (const { later } of phrases) for (const line of laterLines(later, most)) terminal.out(line);
    const named = table.solos.find(({ id }) => id === family.solo) as NamedSolo;
    terminal.out(`\n${tabText(named.solo, { phrase }).trimEnd()}`);
  });
}

const keyOf = ({ solo, phrase }: PhraseRef): string => `${solo}\u0000${phrase}`;

/** The source of a phrase, found again among all relations. */
const isSource = ({ source }: FamilyMember, { a, kind, viewpoint, extent }: Relation): boolean =>
  source !== undefined &&
  source.a.phrase === a.phrase &&
  source.kind === kind &&
  source.viewpoint === viewpoint &&
  source.extent === extent;

function add<T>(lists: Map<string, T[]>, key: string, item: T): void {
  const known = lists.get(key);
  if (known) known.push(item);
  else lists.set(key, [item]);
}

/** What a phrase is made of: its source or "of its own", then what else it has of earlier ones. Of chosen kinds: just these. */
function phraseLines(report: PhraseReport, most: number, chosen: boolean): readonly string[] {
  const { phrase, name, label, source, relations: found } = report;
  const said = found.slice(0, most).map((relation) => relation.said);
  const head = chosen ? said.shift() : source ? said.shift() : 'of its own';
  const more = found.length - Math.min(found.length, most);
  return [
    `  ${phrase} ${label}${name ? ` "${name}"` : ''}: ${head ?? 'nothing of an earlier one'}`,
    ...said.map((text) => `      ${text}`),
    ...(more > 0 ? [`      and ${more} more`] : []),
  ];
}

function laterLines(later: readonly Relation[], most: number): readonly string[] {
  const strongest = new Map<string, Relation>();
  for (const relation of later)
    if (relation.strength > (strongest.get(relation.b.phrase)?.strength ?? 0))
      strongest.set(relation.b.phrase, relation);
  const shown = [...strongest.values()].slice(0, most);
  const more = strongest.size - shown.length;
  return [
    ...shown.map(({ b, said }) => `    later, phrase ${b.phrase} ${said}`),
    ...(more > 0 ? [`    and ${count(more, 'more later phrase')}`] : []),
  ];
}

function soloJson(table: ToneTable, family: Family, phrases: readonly PhraseReport[], withLater: boolean): unknown {
  const { solo, player, form, said } = family;
  return {
    solo,
    player,
    form,
    said,
    phrases: phrases.map(({ phrase, name, label, depth, source, relations: found, later }) => ({
      phrase,
      name,
      label,
      depth,
      source: source ? source.a.phrase : null,
      relations: found.map(relationJson),
      ...(withLater && { later: later.map(relationJson) }),
    })),
    openings: family.openings.map((group) => groupJson(table, group)),
    endings: family.endings.map((group) => groupJson(table, group)),
  };
}

const relationJson = ({ evidence, ...relation }: Relation): unknown => {
  const { tonesA: _a, tonesB: _b, edits: _edits, ...facts } = evidence; // numbers of rows mean nothing outside this run
  const { copies: _copies, ...rest } = { copies: undefined, ...relation };
  return { ...rest, ...facts };
};

function groupJson(table: ToneTable, { from, into, ...group }: RelationGroup): unknown {
  const places = (members: readonly GroupMember[]) => members.map(({ row }) => placeOfTone(table, row));
  return { ...group, places: places(from), ...(into !== from && { into: places(into) }) };
}

/** Groups that share a stretch, those that share the most first; then what is only found pair by pair, the strongest first. */
function acrossSolos(table: ToneTable, options: Shown, terminal: Terminal): void {
  const { within, kinds, phrase, most, json, isShown, isOver } = options;
  const touches = (ref: PhraseRef) =>
    isShown(ref.solo) && isOver(ref) && (phrase === undefined || ref.phrase === phrase);
  const found = relationGroups(table, { within, ...(kinds && { kinds }) });
  const groups = found.groups
    .filter(({ from, into }) => from.some(touches) || into.some(touches))
    .sort((p, q) => weight(q) - weight(p));
  const pairs = found.pairs.filter(({ a, b }) => touches(a) || touches(b)).sort((p, q) => q.strength - p.strength);
  if (json) {
    const shown = groups.slice(0, most).map((group) => groupJson(table, group));
    const report = { within, foundGroups: groups.length, foundPairs: pairs.length, groups: shown };
    terminal.out(JSON.stringify({ ...report, pairs: pairs.slice(0, most).map(relationJson) }, null, 1));
    return;
  }
  const where = within === 'player' ? 'phrases of one player' : 'all phrases';
  const first = (n: number) => (n > most ? `; the first ${most}:` : '');
  terminal.out(`${count(groups.length, 'group')} among ${where} that share a stretch of notes${first(groups.length)}`);
  groups.slice(0, most).forEach(({ kind, said, from, into }, i) => {
    terminal.out(`\n${i + 1}. ${said} (${kind})`);
    terminal.out(`   ${membersText(from)}`);
    if (into !== from) terminal.out(`   in ${membersText(into)}`);
  });
  terminal.out(`\n${count(pairs.length, 'pair')} related otherwise${first(pairs.length)}`);
  for (const { b, said } of pairs.slice(0, most)) terminal.out(`  phrase ${b.phrase} of ${b.solo} ${said}`);
}

/** How much a group says: notes shared, by how literally, by how many phrases beyond the first. Only for the order. */
function weight({ viewpoint, count: notes, from, into }: RelationGroup): number {
  const others = from === into ? from.length - 1 : Math.min(from.length, into.length);
  return (LITERAL[viewpoint] ?? 0) * notes * others;
}

/** `low-water-gate phrases 1, 3; wet-rope phrase 5`. */
function membersText(members: readonly GroupMember[]): string {
  const bySolo = new Map<string, string[]>();
  for (const { solo, phrase } of members) if (!bySolo.get(solo)?.includes(phrase)) add(bySolo, solo, phrase);
  return [...bySolo].map(([solo, ids]) => `${solo} phrase${ids.length === 1 ? '' : 's'} ${ids.join(', ')}`).join('; ');
}
