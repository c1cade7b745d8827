// The pictures that README shows are those that the code draws today. UPDATE_GOLDEN=1 draws them anew.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { intervalUse } from '../lib/analysis/interval-use.js';
import { heldToWidth } from '../lib/charts/held-words.js';
import { intervalHeatmap } from '../lib/charts/interval-heatmap.js';
import { chartToSvg } from '../lib/charts/render.js';
import { readCorpus } from '../lib/intake/read-corpus.js';
import { toneTable } from '../lib/solo/tone-table.js';

const path = 'data/pictures/interval-use.svg';

it('the picture of interval use in README is fresh', async () => {
  const player = 'Marla Quillfeather';
  const use = intervalUse(toneTable(readCorpus(['data/solos']).solos), { where: { player } });
  const svg = `${heldToWidth(await chartToSvg(intervalHeatmap(use, { who: player })))}\n`;
  if (process.env.UPDATE_GOLDEN) {
    mkdirSync('data/pictures', { recursive: true });
    writeFileSync(path, svg);
  }
  expect(svg).toBe(readFileSync(path, 'utf8'));
});
