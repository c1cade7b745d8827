// A student as a teacher describes one, in a few lines of YAML: what is known, how fast, how much time, which positions not, which solo is the goal.
import { createRequire } from 'node:module';
import type * as Yaml from 'yaml';
import { type Diagnostic, hasFaults, type Reading } from '../foundation/diagnostic.js';
import { nearest } from '../foundation/nearest.js';
import { placeOf, sourceText } from '../foundation/source-text.js';
import { type KnowledgeItem, NAMED_ITEMS, RHYTHMS, TECHNIQUES } from './technique-items.js';

/** A student. */
export interface Student {
  readonly name: string;
  /** Names of items, or of groups of them. */
  readonly knows: readonly string[];
  /** The fastest tempo to be asked for, in quarter notes a minute; absent: as written. */
  readonly tempoCeiling?: number;
  readonly minutesAWeek: number;
  /** Positions (the fret of the first finger) that are not to be used where there is a choice. */
  readonly avoidPositions: readonly number[];
  /** The solo that it is all for, by its name. */
  readonly goal?: string;
}

/** A student of whom nothing is known. */
export const ANY_STUDENT: Student = { name: 'a student', knows: [], minutesAWeek: 90, avoidPositions: [] };

/** Names that stand for several items. What they hold: common practice, no source. */
export const KNOWN_GROUPS: Readonly<Record<string, readonly string[]>> = {
  'open chords': ['position 1', 'ringing strings', 'double-stops'],
  'first position': ['position 1'],
  'bend to pitch': ['half-step bend'],
  bends: ['half-step bend', 'whole-step bend', 'let-down of a bend', 'curl'],
  'all bends': Object.keys(TECHNIQUES).filter((name) => /bend|curl/.test(name)),
  legato: ['hammer-on', 'pull-off', 'slide', 'grace notes'],
  'all techniques': Object.keys(TECHNIQUES),
  'all rhythms': Object.keys(RHYTHMS),
};

/** Kinds of items that are known as a whole. */
const KNOWN_KINDS: Readonly<Record<string, KnowledgeItem['kind']>> = {
  'all positions': 'position',
  'tones over chords': 'tone over a chord',
  'all changes': 'chord to follow',
};

/** All names that a profile may say under `knows`, positions aside. */
export const KNOWABLE: readonly string[] = [
  ...NAMED_ITEMS.map(({ id }) => id),
  ...Object.keys(KNOWN_GROUPS),
  ...Object.keys(KNOWN_KINDS),
];

/** Techniques that players of chords have too; who knows any other one, or a position up the neck, plays single notes. */
const OF_CHORDS: ReadonlySet<string> = new Set(['double-stops', 'ringing strings', 'dead notes', 'harmonics']);

/** Those of some items that a student knows: what the profile says, and what that contains (who bends a whole step can bend a half). */
export function knownItems({ knows }: Student, items: readonly KnowledgeItem[]): readonly string[] {
  const names = new Set<string>();
  const add = (name: string): void => {
    if (names.has(name)) return;
    names.add(name);
    for (const before of NAMED_ITEMS.find(({ id }) => id === name)?.after ?? []) add(before);
    const isOfSingles =
      (name in TECHNIQUES && !OF_CHORDS.has(name)) || (/^position /.test(name) && name !== 'position 1');
    if (isOfSingles || name === 'all positions') names.add('single notes');
  };
  for (const name of knows) for (const id of KNOWN_GROUPS[name] ?? [name]) add(id);
  const kinds = new Set(knows.map((name) => KNOWN_KINDS[name]));
  return items.filter(({ id, kind }) => names.has(id) || kinds.has(kind)).map(({ id }) => id);
}

const FIELDS = ['name', 'knows', 'tempo ceiling', 'minutes a week', 'avoid positions', 'goal'] as const;

let yaml: typeof Yaml | undefined;
const loadYaml = (): typeof Yaml => {
  yaml ??= createRequire(import.meta.url)('yaml') as typeof Yaml;
  return yaml;
};

/** Longer than any profile that is meant (characters). */
const LONGEST = 65536;

/**
 * Reads a student's profile. Every field may be left out. Nothing is thrown for bad text; faults have their place and a remedy.
 * @example
 * const { value } = readStudent('name: Pip\nknows: [open chords, hammer-on]\ntempo ceiling: 90\nminutes a week: 60\navoid positions: [12-15]\n')
 * value // => { name: 'Pip', knows: ['open chords', 'hammer-on'], minutesAWeek: 60, avoidPositions: [12, 13, 14, 15], tempoCeiling: 90 }
 * readStudent('knows: [hamer-on]').diagnostics[0].remedy // => 'hammer-on is meant?'
 */
export function readStudent(text: string, file = ''): Reading<Student> {
  const source = sourceText(text);
  const diagnostics: Diagnostic[] = [];
  const fault = (code: string, range: readonly number[] | null | undefined, message: string, remedy?: string): void => {
    const [start = 0, end = start + 1] = range ?? [];
    diagnostics.push({
      code,
      severity: 'fault',
      file,
      place: placeOf(source, start, Math.max(end, start + 1)),
      message,
      ...(remedy && { remedy }),
    });
  };
  const { parseDocument, isMap, isScalar, isSeq } = loadYaml();
  if (text.length > LONGEST) {
    fault('too-long', [0, 1], `the profile has ${text.length} characters, at most ${LONGEST} expected`);
    return { value: undefined, diagnostics };
  }
  let doc: ReturnType<typeof parseDocument>;
  try {
    doc = parseDocument(text, { prettyErrors: false, logLevel: 'silent', schema: 'failsafe' });
  } catch {
    fault('bad-profile', [0, 1], 'the profile is too tangled to be read', 'a line each as field: value');
    return { value: undefined, diagnostics };
  }
  for (const error of doc.errors)
    fault(
      'bad-profile',
      error.pos,
      error.code === 'DUPLICATE_KEY' ? 'a field is written twice' : `the profile cannot be read: ${error.message}`,
      error.code === 'DUPLICATE_KEY' ? 'keep one of the two' : 'a line each as field: value',
    );
  if (doc.errors.length > 0) return { value: undefined, diagnostics };
  if (doc.contents !== null && !isMap(doc.contents)) {
    fault('bad-profile', [0, 1], 'a profile is a list of field: value', `fields: ${FIELDS.join(', ')}`);
    return { value: undefined, diagnostics };
  }
  const fields = new Map<
    string,
    {
      readonly values: readonly string[];
      readonly isList: boolean;
      readonly ranges: readonly (readonly number[] | null | undefined)[];
    }
  >();
  for (const pair of doc.contents?.items ?? []) {
    const key = isScalar(pair.key) ? String(pair.key.value) : '';
    const range = isScalar(pair.key) ? pair.key.range : undefined;
    if (!(FIELDS as readonly string[]).includes(key)) {
      const near = nearest(key, FIELDS, 3);
      fault(
        'no-such-field',
        range,
        `"${key}" is no field of a profile`,
        near ? `${near} is meant?` : `fields: ${FIELDS.join(', ')}`,
      );
      continue;
    }
    const nodes = isSeq(pair.value) ? pair.value.items : pair.value === null ? [] : [pair.value];
    const scalars = nodes.filter((node) => isScalar(node));
    if (scalars.length < nodes.length)
      fault('bad-value', range, `${key} holds plain words only`, 'a list such as [hammer-on, slide]');
    fields.set(key, {
      values: scalars.map((node) => String(node.value ?? '').trim()).filter((value) => value !== ''),
      isList: isSeq(pair.value),
      ranges: scalars.map((node) => node.range),
    });
  }
  const one = (key: (typeof FIELDS)[number]): string | undefined => {
    const field = fields.get(key);
    if (field && (field.isList || field.values.length > 1))
      fault('bad-value', field.ranges[0], `${key} is one value, a list was found`);
    return field?.values[0];
  };
  const number = (key: (typeof FIELDS)[number], least: number, most: number): number | undefined => {
    const value = one(key);
    if (value === undefined) return undefined;
    const n = Number(value);
    if (Number.isFinite(n) && n >= least && n <= most) return n;
    fault('bad-value', fields.get(key)?.ranges[0], `${key} is "${value}", a number from ${least} to ${most} expected`);
    return undefined;
  };
  const knows = fields.get('knows');
  knows?.values.forEach((value, k) => {
    if (KNOWABLE.includes(value) || /^position [1-9]\d?$/.test(value)) return;
    const near = nearest(value, KNOWABLE, 3);
    fault(
      'not-knowable',
      knows.ranges[k],
      `"${value}" is nothing that can be known here`,
      near ? `${near} is meant?` : `there are: ${KNOWABLE.join(', ')}, and position N`,
    );
  });
  const avoid = fields.get('avoid positions');
  const avoidPositions = (avoid?.values ?? []).flatMap((value, k) => {
    const match = /^(\d{1,2})(?:\s*-\s*(\d{1,2}))?$/.exec(value);
    const [from, to] = match ? [Number(match[1]), Number(match[2] ?? match[1])] : [1, 0];
    if (match && from >= 1 && to >= from) return Array.from({ length: to - from + 1 }, (_, i) => from + i);
    fault('bad-value', avoid?.ranges[k], `"${value}" is no position`, 'a fret or a range of frets, such as 1 or 12-15');
    return [];
  });
  const tempoCeiling = number('tempo ceiling', 20, 400);
  const minutes = number('minutes a week', 10, 3000);
  const goal = one('goal');
  const student: Student = {
    name: one('name') ?? ANY_STUDENT.name,
    knows: knows?.values ?? [],
    minutesAWeek: minutes ?? ANY_STUDENT.minutesAWeek,
    avoidPositions,
    ...(tempoCeiling !== undefined && { tempoCeiling }),
    ...(goal !== undefined && { goal }),
  };
  return { value: hasFaults(diagnostics) ? undefined : student, diagnostics };
}
