import { createRequire } from 'node:module';
import { Resvg } from '@resvg/resvg-js';
import { describe, expect, it } from 'vitest';
import { intervalUse } from '../../lib/analysis/interval-use.js';
import { intervalHeatmap } from '../../lib/charts/interval-heatmap.js';
import { chartToPng, chartToSvg } from '../../lib/charts/render.js';
import { type ChartSpec, chart, MARGIN } from '../../lib/charts/spec.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { SOLOS, tableOf } from './corpus.js';
import { wordsOf } from './words.js';

const spec = intervalHeatmap(intervalUse(toneTable(SOLOS)), { who: 'Ada Fenwick' });

const plain = (
  title: string,
  layers: readonly object[] = [{ data: { values: [{}] }, mark: 'point' }],
  more: object = {},
): ChartSpec => ({
  ...chart({
    title,
    question: 'What is there?',
    notes: [],
    width: 200,
    height: 40,
    left: 0,
    above: 0,
    below: 0,
    datasets: {},
    layers: layers as never,
  }),
  ...more,
});

const pictureSize = (svg: string): readonly [number, number] => {
  const size = /<svg [^>]*width="(\d+)" height="(\d+)"/.exec(svg);
  return [Number(size?.[1]), Number(size?.[2])];
};

describe('chartToSvg', () => {
  it('draws the same SVG each time, whatever was drawn between', async () => {
    const first = await chartToSvg(spec);
    await chartToSvg(intervalHeatmap(tableOf(['chord'], [[['C7'], { 1: 30 }]])));
    expect(await chartToSvg(spec)).toBe(first);
  });

  it('gives two charts ids of their own, and finds what it refers to', async () => {
    const other = intervalHeatmap(tableOf(['chord'], [[['C7'], { 1: 30 }]]));
    const svgs = await Promise.all([chartToSvg(spec), chartToSvg(other)]);
    const [a, b] = svgs.map((svg) => [...svg.matchAll(/ id="([^"]+)"/g)].map((m) => m[1])) as [string[], string[]];
    expect(a).toHaveLength(1);
    expect(b).toHaveLength(1);
    expect(a[0]).not.toBe(b[0]);
    expect(svgs[0]).toContain(`url(#${a[0]})`);
    expect(svgs[1]).toContain(`url(#${b[0]})`);
  });

  it('escapes what a file may have put into titles, names and groups', async () => {
    const bad = `</text><script>alert("1")</script>&amp; ' id="gradient_0"`;
    const use = tableOf(['solo'], [[[bad], { 1: 30 }]]);
    const svg = await chartToSvg(intervalHeatmap(use, { who: bad }));
    expect(svg).not.toMatch(/<script/i);
    const texts = wordsOf(svg).map((w) => w.text);
    expect(texts.join(' ').replaceAll(' ', '')).toContain(`In${bad}the1comes`.replaceAll(' ', ''));
    // A reader of XML takes it: text that breaks out of its element would not be well formed.
    expect(() => new Resvg(svg, { font: { loadSystemFonts: false } })).not.toThrow();
  });

  it('tells a screen reader what the chart says, and what each cell says', async () => {
    const svg = await chartToSvg(spec);
    expect(svg).toContain(`aria-label="${spec.description}"`);
    expect(svg).toMatch(/aria-label="6 over IV: 38 % \(\d+ to \d+ %\), 18 of 48 tones, in 6 solos"/);
  });

  it.each([
    ['an unknown mark', plain('Bad mark', [{ mark: 'blob' }]), /"Bad mark" cannot be drawn/],
    [
      'an unknown scheme',
      plain('Bad scheme', [
        {
          data: { values: [{ a: 1 }] },
          mark: 'point',
          encoding: { color: { field: 'a', type: 'quantitative', scale: { scheme: 'nosuch' } } },
        },
      ]),
      /"Bad scheme".*nosuch/s,
    ],
    [
      'an endless extent',
      plain('No extent', [
        { data: { values: [{ a: 'x' }] }, mark: 'point', encoding: { x: { field: 'b', type: 'quantitative' } } },
      ]),
      /"No extent".*warn.*extent/is,
    ],
    [
      'a warning of Vega-Lite',
      plain('Odd channel', [{ mark: 'bar', encoding: { shape: { field: 'a', type: 'nominal' } } }]),
      /"Odd channel".*shape/s,
    ],
    [
      'data from outside',
      plain('Fetched', [{ data: { url: 'data.json' }, mark: 'point' }]),
      /"Fetched".*loads nothing from outside/s,
    ],
  ])('throws at %s, with the chart and the reason', async (_, bad, message) => {
    await expect(chartToSvg(bad)).rejects.toThrow(message);
  });
});

describe('chartToPng', () => {
  const sizeOf = (png: Uint8Array): readonly [number, number] => {
    const view = new DataView(png.buffer, png.byteOffset);
    return [view.getUint32(16), view.getUint32(20)];
  };

  // PNG (ISO/IEC 15948), 5.2 and 11.2.2: the signature, then IHDR with width and height.
  it('is a PNG of the size of the chart times the scale, twice the size if nothing is said', async () => {
    const svg = await chartToSvg(spec);
    const [width, height] = pictureSize(svg);
    const png = await chartToPng(spec);
    expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
    expect(sizeOf(png)).toEqual([2 * width, 2 * height]);
    expect(sizeOf(await chartToPng(svg, { scale: 1 }))).toEqual([width, height]);
  });

  it('leaves paper white all round: the ink ends at the margin', async () => {
    const svg = await chartToSvg(spec);
    const [width, height] = pictureSize(svg);
    const font = (path: string) => createRequire(import.meta.url).resolve(`@expo-google-fonts/arimo/${path}`);
    const fontFiles = [font('400Regular/Arimo_400Regular.ttf'), font('700Bold/Arimo_700Bold.ttf')];
    const ink = new Resvg(svg.replace(/<rect [^>]*fill="#ffffff"\/>/, ''), {
      font: { fontFiles, loadSystemFonts: false },
    }).getBBox();
    if (!ink) throw new Error('nothing is drawn');
    const margins = { left: ink.x, top: ink.y, right: width - ink.x - ink.width, bottom: height - ink.y - ink.height };
    for (const [side, margin] of Object.entries(margins)) {
      expect(margin, side).toBeGreaterThanOrEqual(MARGIN - 2);
      expect(margin, side).toBeLessThanOrEqual(MARGIN + 6);
    }
  });

  it('draws words: taking one away changes the picture', async () => {
    const svg = await chartToSvg(plain('Words'));
    const without = await chartToPng(svg.replace('>Words<', '><'), { scale: 1 });
    expect(Buffer.compare(await chartToPng(svg, { scale: 1 }), without)).not.toBe(0);
  });

  it('takes letters of other alphabets that the font has', async () => {
    const [boxes, letters] = await Promise.all(
      ['Ночь, Νύχτα, łódź … – ø', 'Ночь, Νύχτα, łódź … – o'].map((t) => chartToPng(plain(t))),
    );
    expect(Buffer.compare(boxes as Uint8Array, letters as Uint8Array)).not.toBe(0);
  });

  it('says which character no font has, rather than draw an empty box', async () => {
    await expect(chartToPng(plain('Sign \ue123 here'))).rejects.toThrow(
      /no font on this machine has \ue123 \(U\+E123\): install/,
    );
    const svg = await chartToSvg(plain('Sign here'));
    await expect(chartToPng(svg.replaceAll('Sign', '&#xE123;'))).rejects.toThrow(/U\+E123/);
  });

  it('says what is wrong with a scale, and with text that is no SVG', async () => {
    for (const scale of [0, -1, Number.NaN, 9])
      await expect(chartToPng(spec, { scale })).rejects.toThrow(/scale of .* out of range/);
    await expect(chartToPng('not a picture')).rejects.toThrow(/the SVG cannot be read/);
  });
});
