// What every chart spec is held to: the file it was written to before, plain JSON, the published schema; and words that stand free of one another.
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Ajv, type ValidateFunction } from 'ajv';
import { expect } from 'vitest';
import { chartToSvg } from '../../lib/charts/render.js';
import { type ChartSpec, type Json, MARGIN } from '../../lib/charts/spec.js';
import { misplaced, type Words, wordsOf } from './words.js';

const rounded = (value: Json): Json =>
  typeof value === 'number'
    ? Math.round(value * 1000) / 1000
    : Array.isArray(value)
      ? value.map(rounded)
      : typeof value === 'object' && value !== null
        ? Object.fromEntries(Object.entries(value).map(([k, v]) => [k, rounded(v)]))
        : value;

/**
 * Holds a spec to the one on file. After a change that is meant: UPDATE_GOLDEN=1 npx vitest run --config tests/vitest.config.ts tests/charts, then
 * read the difference.
 */
export function expectGolden(name: string, spec: ChartSpec): void {
  const file = new URL(`golden/${name}.vl.json`, import.meta.url);
  const now = rounded(spec as unknown as Json);
  if (process.env.UPDATE_GOLDEN) writeFileSync(file, `${JSON.stringify(now, null, 2)}\n`);
  expect(now).toEqual(JSON.parse(readFileSync(file, 'utf8')));
}

let schema: ValidateFunction | undefined;

/** The JSON schema that Vega-Lite 6 publishes at the address in $schema, as it comes with the package. */
function published(): ValidateFunction {
  schema ??= new Ajv({
    strict: false,
    validateFormats: false,
    inlineRefs: false,
    code: { optimize: false },
  }).compile(createRequire(import.meta.url)('vega-lite/vega-lite-schema.json') as object);
  return schema;
}

/** Plain JSON without a number that is none, and a spec by the published schema. */
export function expectSound(name: string, spec: ChartSpec): void {
  expect(JSON.parse(JSON.stringify(spec)), name).toEqual(spec);
  expect(JSON.stringify(spec), name).not.toMatch(/NaN|Infinity|undefined/);
  const valid = published();
  expect(valid(spec), `${name}: ${JSON.stringify(valid.errors?.slice(0, 3))}`).toBe(true);
}

/** Draws a spec: no warning, no words clipped or on one another, none smaller than 12 px. Gives its words. */
export async function expectReadable(name: string, spec: ChartSpec): Promise<readonly Words[]> {
  // The dark edge of a number in a disc is the same number once more.
  const svg = (await chartToSvg(spec)).replace(/<text [^>]*stroke="#[^>]*>.*?<\/text>/g, '');
  expect(misplaced(svg, MARGIN - 4), name).toEqual([]);
  const words = wordsOf(svg);
  expect(Math.min(...words.map((w) => w.size)), name).toBeGreaterThanOrEqual(12);
  return words;
}

/** The data of a spec under a name. */
export const rowsIn = <Row>(spec: ChartSpec, name: string): readonly Row[] =>
  (spec.datasets as unknown as Readonly<Record<string, readonly Row[]>>)[name] as readonly Row[];
