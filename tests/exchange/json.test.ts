// The JSON form of a solo: the round trip, and the published schema.
import { readdirSync, readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { printSoloJson, readSoloJson, soloToJson } from '../../lib/exchange/json.js';
import { hasFaults } from '../../lib/foundation/diagnostic.js';
import { parseSolo } from '../../lib/notation/parser.js';
import type { Solo } from '../../lib/solo/solo.js';
import { solos } from '../arbitraries.js';
import { changed, FULL } from './json-samples.js';

const root = new URL('../../', import.meta.url);
const schema = JSON.parse(readFileSync(new URL('data/solo.schema.json', root), 'utf8')) as Record<string, unknown>;
// The published file as any other program would use it: references in place, everything strict.
const ajv = new Ajv2020({ allErrors: false, strictTypes: true, strictTuples: true, allowUnionTypes: true });
const fits = ajv.compile(schema);

const files = readdirSync(new URL('data/solos/', root)).filter((name) => name.endsWith('.solo'));
const written: readonly (readonly [string, Solo])[] = files.flatMap((name) => {
  const { value } = parseSolo(readFileSync(new URL(`data/solos/${name}`, root), 'utf8'), name);
  return value ? [[name, value] as const] : [];
});

describe('there and back', () => {
  it('has solos to try', () => expect(written.length).toBeGreaterThan(10));

  it.each(written)(
    '%s: printed, it fits the schema; read back, it is the same solo, without a diagnostic of its own',
    (_, solo) => {
      const text = printSoloJson(solo);
      expect(fits(JSON.parse(text)), JSON.stringify(fits.errors)).toBe(true);
      const { value, diagnostics } = readSoloJson(text);
      expect(value).toStrictEqual(solo);
      expect(hasFaults(diagnostics)).toBe(false);
    },
  );

  it('holds for any solo, printed twice alike', () => {
    fc.assert(
      fc.property(solos, (solo) => {
        const text = printSoloJson(solo);
        expect(JSON.parse(text)).toStrictEqual(soloToJson(solo));
        expect(fits(JSON.parse(text)), JSON.stringify(fits.errors)).toBe(true);
        const { value, diagnostics } = readSoloJson(text);
        expect(diagnostics.filter((d) => d.severity === 'fault')).toEqual([]);
        expect(value).toStrictEqual(solo);
        expect(printSoloJson(value as Solo)).toBe(text);
      }),
      { numRuns: 400 },
    );
  });

  it('does not hang on how the text is laid out', () => {
    const { value } = readSoloJson(FULL);
    expect(readSoloJson(JSON.stringify(JSON.parse(FULL))).value).toStrictEqual(value);
    expect(readSoloJson(FULL.replace('{', '{ "$schema": "solo.schema.json",')).value).toStrictEqual(value);
    expect(readSoloJson(`\ufeff${FULL.replaceAll('\n', '\r\n')}`).value).toStrictEqual(value);
  });

  it('reads what is left out as the schema says, and what is written as it stands', () => {
    const { value, diagnostics } = readSoloJson(FULL, 'full.json');
    expect(diagnostics).toEqual([]);
    const notes = value?.phrases[0]?.notes ?? [];
    expect(notes).toHaveLength(8);
    expect(notes[2]).toStrictEqual({
      onset: 80640,
      length: 20160,
      kind: 'fretted',
      string: 3,
      fret: 9,
      start: 'picked',
      path: [],
      grace: 0,
      ring: false,
      vibrato: true,
      accent: true,
      harmonic: false,
      slideAway: false,
      marks: [],
    });
    expect(notes[3]?.path).toStrictEqual([{ level: 0 }, { level: 200, time: 5040 }, { level: 150 }]);
    expect(notes[4]).toMatchObject({ kind: 'on', fret: 0, start: 'none', path: [{ level: null }, { level: 0 }] });
    expect(notes[6]).toMatchObject({ kind: 'dead', fret: 0, start: 'picked' });
    expect(value?.guitar).toStrictEqual({ tuning: [38, 45, 50, 55, 58, 64], capo: 2, frets: 22 });
    expect(value?.phrases[0]?.heard).toBe(12.5);
    const bare = readSoloJson(FULL.replace(/ {2}"(feel|tuning|capo|frets|tone)".*\n/g, '')).value;
    expect(bare).toMatchObject({
      feel: { kind: 'straight' },
      guitar: { tuning: [40, 45, 50, 55, 59, 64], capo: 0, frets: 24 },
      tone: '',
    });
  });

  it('writes every field that the schema knows', () => {
    const solo = readSoloJson(FULL).value as Solo;
    expect(soloToJson(solo)).toStrictEqual(JSON.parse(FULL));
    const used = new Set<string>();
    JSON.stringify(soloToJson(solo), (name, value: unknown) => {
      used.add(name);
      return value;
    });
    expect([...fieldsOf(schema).keys()].filter((name) => !used.has(name))).toEqual(['$schema']);
  });

  it('keeps a lone half of a surrogate pair, and any other text, as it is', () => {
    const solo = { ...(readSoloJson(FULL).value as Solo), title: '\ud800 "\\\u2028\u0000', player: '' };
    expect(readSoloJson(printSoloJson(solo)).value).toStrictEqual(solo);
  });
});

/** Every field in a schema with what the schema says of it. */
function fieldsOf(
  node: unknown,
  fields = new Map<string, Record<string, unknown>>(),
): Map<string, Record<string, unknown>> {
  if (typeof node !== 'object' || node === null) return fields;
  const { properties } = node as { readonly properties?: Record<string, Record<string, unknown>> };
  for (const [name, field] of Object.entries(properties ?? {})) fields.set(name, field);
  for (const inner of Object.values(node)) fieldsOf(inner, fields);
  return fields;
}

describe('the published schema', () => {
  // The meta-schema is the one of https://json-schema.org/draft/2020-12/schema, as the validator carries it.
  it('is a schema of draft 2020-12', () => {
    expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema');
    expect(ajv.validateSchema(schema)).toBe(true);
    expect(new Ajv2020({ logger: false }).validateSchema({ ...schema, type: 'solo' })).toBe(false);
  });

  it('lets no unknown field into any object, and describes every field', () => {
    const bare: string[] = [];
    const open: string[] = [];
    const visit = (node: unknown, at: string) => {
      if (typeof node !== 'object' || node === null) return;
      const s = node as Record<string, unknown>;
      if (/\/(if|then)$/.test(at)) return; // not an object of its own
      if (s.properties && s.additionalProperties !== false) open.push(at);
      if (s.properties && typeof s.title !== 'string') bare.push(`${at} has no title`);
      for (const [name, field] of Object.entries((s.properties ?? {}) as Record<string, Record<string, unknown>>)) {
        const named =
          (schema.$defs as Record<string, Record<string, unknown>>)[String(field.$ref).replace('#/$defs/', '')] ?? {};
        const self = at.endsWith('section') || at.endsWith('remark'); // "name" of a section, "text" of a remark say it themselves
        if (!field.description && !named.description && !named.title && !self) bare.push(`${at}/${name}`);
      }
      for (const [name, inner] of Object.entries(s)) visit(inner, `${at}/${name}`);
    };
    visit(schema, '');
    expect(open).toEqual([]);
    expect(bare).toEqual([]);
  });

  it('is what readSoloJson asks, whatever the data', () => {
    fc.assert(
      fc.property(changed, (data) => {
        const text = JSON.stringify(data);
        const asked = readSoloJson(text).diagnostics.some(
          (d) =>
            ['bad-value', 'missing-field', 'unknown-field', 'not-a-solo', 'newer-version'].includes(d.code) &&
            !/ is not a | is no MIDI key/.test(d.message),
        );
        expect(asked, text).toBe(!fits(JSON.parse(text)));
      }),
      { numRuns: 600 },
    );
  });
});
