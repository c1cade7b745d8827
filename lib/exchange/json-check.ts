// What the published schema (data/solo.schema.json, JSON Schema 2020-12) finds wrong with data, in words a person reads.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type * as Ajv from 'ajv/dist/2020.js';
import { type Diagnostic, inOrder, printable, type Severity } from '../foundation/diagnostic.js';
import { nearest } from '../foundation/nearest.js';
import { placeOf, sourceText } from '../foundation/source-text.js';
import { type JsonSpot, placesIn, pointerAround, pointerTo } from './json-place.js';

/** One thing wrong with a value; `pointer` (RFC 6901) says which. `onName`: it is the name of the field, not its value. */
export interface Finding {
  readonly code: string;
  readonly severity: Severity;
  readonly pointer: string;
  readonly onName?: boolean;
  readonly message: string;
  readonly found?: string;
  readonly expected?: string;
  readonly remedy?: string;
}

interface FieldSchema {
  readonly description?: string;
  readonly examples?: readonly unknown[];
  readonly const?: unknown;
}

/** The parts of a schema that the words are taken from. */
interface ObjectSchema extends FieldSchema {
  readonly properties?: Readonly<Record<string, FieldSchema>>;
  readonly minimum?: number;
  readonly maximum?: number;
}

type Tree = Readonly<Record<string, unknown>>;

/**
 * A schema with every `$ref` replaced by what it names: the validator copies all its errors whenever it comes back from a reference, so that
 * its time would grow with the square of the faults. It also puts a field's own description where the words are taken from.
 */
function writtenOut(schema: unknown, defs: Tree): unknown {
  if (Array.isArray(schema)) return schema.map((s) => writtenOut(s, defs));
  if (typeof schema !== 'object' || schema === null) return schema;
  const { $ref, ...own } = schema as Tree;
  const named = typeof $ref === 'string' ? (writtenOut(defs[$ref.replace('#/$defs/', '')], defs) as Tree) : {};
  return { ...named, ...Object.fromEntries(Object.entries(own).map(([name, s]) => [name, writtenOut(s, defs)])) };
}

// Loaded and compiled at the first call: the validator takes longer to load than all the rest of the reading.
let validator: Ajv.ValidateFunction | undefined;
function soloValidator(): Ajv.ValidateFunction {
  if (!validator) {
    const { Ajv2020 } = createRequire(import.meta.url)('ajv/dist/2020') as typeof Ajv;
    const schema = JSON.parse(readFileSync(new URL('../../data/solo.schema.json', import.meta.url), 'utf8')) as Tree;
    const options = { strictTypes: true, strictTuples: true, allErrors: true, verbose: true, allowUnionTypes: true };
    validator = new Ajv2020(options).compile(writtenOut(schema, schema.$defs as Tree) as Tree);
  }
  return validator;
}

/**
 * Everything in which data is not what the schema of a solo asks for; empty for data that is.
 * @example
 * schemaFindings({ format: 'phrasewright solo', version: 1, ticksPerQuarter: 20160, title: '', player: '', key: 'C major', meter: '4/4', tempo: '104', phrases: [] }).map((f) => f.message)
 * // => ['tempo: found "104", a number expected']
 */
export function schemaFindings(data: unknown): readonly Finding[] {
  const validate = soloValidator();
  if (validate(data)) return [];
  const errors = validate.errors ?? [];
  const unknown = errors.filter((e) => e.keyword === 'additionalProperties').map((e) => unknownField(e, data));
  const misspelt = new Set(unknown.map((f) => f.meant));
  const others = errors.filter((error) => {
    // Said by another error: how each form of a choice fails, and that a condition led to what is said of it.
    if (error.keyword === 'additionalProperties' || error.keyword === 'if') return false;
    if (/\/oneOf\/\d+\//.test(error.schemaPath)) return false;
    // What is only misspelt is not also missing.
    const missing = error.keyword === 'oneOf' ? ['fret', 'kind'] : [String(error.params.missingProperty)];
    return !missing.some((name) => misspelt.has(pointerTo(error.instancePath, name)));
  });
  return [...unknown.map((f) => f.finding), ...others.map((e) => inWords(e, data))];
}

/** The finding of a field that is not known, and the pointer of the one that may have been meant. */
function unknownField(error: Ajv.ErrorObject, data: unknown): { readonly finding: Finding; readonly meant: string } {
  const name = String(error.params.additionalProperty);
  const fields = Object.keys((error.parentSchema as ObjectSchema).properties ?? {});
  const near = nearest(name, fields, Math.min(2, name.length >> 1));
  const finding: Finding = {
    code: 'unknown-field',
    severity: 'fault',
    pointer: pointerTo(error.instancePath, name),
    onName: true,
    message: `${nameOf(error.instancePath, data)}: there is no field ${quoted(name)}`,
    found: quoted(name),
    expected: fields.join(', '),
    remedy: near === undefined ? `fields: ${fields.join(', ')}` : `did you mean "${near}"?`,
  };
  return { finding, meant: near === undefined ? '' : pointerTo(error.instancePath, near) };
}

function inWords(error: Ajv.ErrorObject, data: unknown): Finding {
  const schema = (typeof error.parentSchema === 'object' ? error.parentSchema : {}) as ObjectSchema;
  const { keyword, params, instancePath } = error;
  const severity = 'fault';
  if (keyword === 'required') {
    const name = String(params.missingProperty);
    const field = schema.properties?.[name];
    const example = JSON.stringify(field?.examples?.[0] ?? field?.const);
    const remedy = `add "${name}": ${example}${field?.description ? ` (${field.description})` : ''}`;
    const message = `${nameOf(instancePath, data)}: "${name}" is missing`;
    return { code: 'missing-field', severity, pointer: instancePath, message, expected: `"${name}"`, remedy };
  }
  const isDouble = keyword === 'uniqueItems';
  const pointer = isDouble ? pointerTo(instancePath, Math.max(params.i, params.j)) : instancePath;
  const found = foundText(isDouble ? (error.data as readonly unknown[])[Math.max(params.i, params.j)] : error.data);
  const expected = expectedOf(error, schema);
  const message = `${nameOf(pointer, data)}: found ${found}, ${expected} expected`;
  const isName = keyword === 'enum' && typeof error.data === 'string';
  const near = isName ? nearest(error.data as string, params.allowedValues, 2) : undefined;
  const remedy = near === undefined ? remedyOf(keyword, schema) : `did you mean "${near}"?`;
  return { code: 'bad-value', severity, pointer, message, found, expected, ...(remedy !== undefined && { remedy }) };
}

const remedyOf = (keyword: string, schema: ObjectSchema): string | undefined =>
  keyword === 'false schema' ? 'a string that goes on sounding is not played again: take it away' : schema.description;

const TYPES: Readonly<Record<string, string>> = {
  integer: 'a whole number',
  number: 'a number',
  string: 'a text in quotes',
  array: 'a list [ ... ]',
  object: 'an object { ... }',
  boolean: 'true or false',
  null: 'null',
};

function expectedOf(error: Ajv.ErrorObject, schema: ObjectSchema): string {
  const { keyword, params } = error;
  const { minimum, maximum, examples } = schema;
  const type = ([] as string[]).concat(params.type ?? []);
  const words: Readonly<Record<string, () => string>> = {
    type: () => type.map((t) => TYPES[t] ?? t).join(' or '),
    const: () => JSON.stringify(params.allowedValue),
    enum: () => `one of ${(params.allowedValues as readonly unknown[]).map((v) => JSON.stringify(v)).join(', ')}`,
    minimum: () => (maximum === undefined ? `at least ${params.limit}` : `${minimum} to ${maximum}`),
    maximum: () => (minimum === undefined ? `at most ${params.limit}` : `${minimum} to ${maximum}`),
    multipleOf: () => `a multiple of ${params.multipleOf}`,
    pattern: () => (examples ? `a text such as ${JSON.stringify(examples[0])}` : `a text that fits ${params.pattern}`),
    maxLength: () => `at most ${params.limit} characters`,
    minItems: () => `at least ${params.limit} in the list`,
    maxItems: () => `at most ${params.limit} in the list`,
    uniqueItems: () => 'each one once',
    'false schema': () => 'nothing',
    minProperties: () => 'meter, key, tempo or feel beside the bar',
    oneOf: () => (params.passingSchemas === null ? 'a fret, or a kind that has none' : 'a fret or a kind, not both'),
  };
  return words[keyword]?.() ?? error.message ?? keyword;
}

/** A text from the file as it can stand in a message: short, in quotes, with nothing in it that steers a terminal. */
export const quoted = (text: string): string =>
  printable(JSON.stringify(text.length > 40 ? `${text.slice(0, 40)}...` : text));

function foundText(value: unknown): string {
  if (typeof value === 'string') return quoted(value);
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (value === null) return 'null';
  if (typeof value === 'number' && !Number.isFinite(value)) return 'a number beyond all bounds';
  return typeof value === 'object' ? 'an object' : String(value);
}

const ENTRIES: Readonly<Record<string, string>> = {
  phrases: 'phrase',
  notes: 'note',
  bars: 'bar',
  settings: 'setting',
  sections: 'section',
  strums: 'strum',
  remarks: 'remark',
  damps: 'damp',
  bend: 'bend level',
  marks: 'mark',
};

/** A pointer in a person's words: `phrase 3, note 6, fret`. Phrases go by their ids and bars by their numbers, all else by its place in its list. */
export function nameOf(pointer: string, data: unknown): string {
  if (pointer === '') return 'the solo';
  const words: string[] = [];
  let here: unknown = data;
  let list = '';
  for (const raw of pointer.slice(1).split('/')) {
    const step = raw.replace(/~1/g, '/').replace(/~0/g, '~');
    const parent = here as Readonly<Record<string, unknown>> | undefined;
    here = parent?.[step];
    if (!Array.isArray(parent)) {
      if (list !== '') words.push(list);
      list = ENTRIES[step] !== undefined && Array.isArray(here) ? step : '';
      if (list === '') words.push(/^\w{1,40}$/.test(step) ? step : quoted(step));
      continue;
    }
    const id = (here as { readonly id?: unknown } | null | undefined)?.id;
    const known = typeof id === 'string' && /^[\w.-]{1,40}$/.test(id);
    if (list === 'bars') words.push(`bar ${firstBarOf(data) + Number(step)}`);
    else if (list === 'phrases') words.push(known ? `phrase ${id}` : `phrase in place ${Number(step) + 1}`);
    else {
      const entry = ENTRIES[list] ?? (words.at(-1)?.startsWith('bar ') ? 'chord' : 'entry');
      words.push(`${entry} ${Number(step) + 1}`);
    }
    list = '';
  }
  if (list !== '') words.push(list);
  return words.filter((w) => w !== 'changes').join(', ') || 'changes';
}

function firstBarOf(data: unknown): number {
  const first = (data as { readonly changes?: { readonly firstBar?: unknown } }).changes?.firstBar;
  return typeof first === 'number' && Number.isInteger(first) ? first : 1;
}

/** Findings as diagnostics, each at the line and column of its value (or of the nearest one around it) in the text, in order of place. */
export function placed(findings: readonly Finding[], text: string, file: string): readonly Diagnostic[] {
  if (findings.length === 0) return [];
  const source = sourceText(text);
  const wanted = new Set<string>(['']);
  for (const { pointer } of findings) for (let p = pointer; !wanted.has(p); p = pointerAround(p)) wanted.add(p);
  const places = placesIn(text, wanted);
  const spotOf = (pointer: string): JsonSpot => places.get(pointer) ?? spotOf(pointerAround(pointer));
  return inOrder(
    findings.map(({ pointer, onName, ...rest }) => {
      const spot = spotOf(pointer);
      const place =
        onName && spot.nameStart >= 0
          ? placeOf(source, spot.nameStart, spot.nameEnd)
          : placeOf(source, spot.start, spot.end);
      return { ...rest, file, place };
    }),
  );
}

/** What a finding can say beside its message. */
export type Facts = Pick<Finding, 'found' | 'expected' | 'remedy'>;

/** Where findings go, and what is already known to be wrong. */
export interface Check {
  /** True if the value, or anything in it, has been faulted: then it is not read. */
  touched(pointer: string): boolean;
  fault(code: string, pointer: string, message: string, facts?: Facts): void;
  add(finding: Omit<Finding, 'pointer'>, pointer: string): void;
  /** How many faults there are so far. */
  count(): number;
}

/** The entries of what should be a list, each with its pointer; those already faulted are `undefined`. */
export function entriesOf<T>(
  list: readonly T[] | undefined,
  pointer: string,
  check: Check,
): readonly (readonly [T | undefined, string])[] {
  if (!Array.isArray(list)) return [];
  return (list as readonly T[]).map((entry, i) => {
    const at = pointerTo(pointer, i);
    return [check.touched(at) ? undefined : entry, at];
  });
}
