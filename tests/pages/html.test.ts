// Markup: nothing that is put in can become a tag or an attribute, and no two paths get one id.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { anchors, html, joined, listed, tableHtml } from '../../lib/pages/html.js';
import { readMarkup, wordsIn } from './markup.js';

describe('html', () => {
  it('text comes out as it went in, whatever it holds, between tags and in attributes', () => {
    const plain = fc.string({ unit: fc.constantFrom('<', '>', '"', "'", '&', 'a', ' ', ';', '#', '/', '=') });
    fc.assert(
      fc.property(plain, (text) => {
        const root = readMarkup(html`<p title="${text}">${text}</p>`.markup);
        const [p] = root.children;
        if (typeof p !== 'object') throw new Error('no paragraph');
        expect(p.attributes.get('title')).toBe(text);
        expect(wordsIn(p)).toBe(text);
        expect(p.children.filter((child) => typeof child !== 'string')).toEqual([]);
      }),
    );
  });

  it('characters that turn the direction of writing or are no text become dots', () => {
    expect(html`${'a\u202eb\u0007c'}`.markup).toBe('a.b.c');
  });

  it('lists stand one after the other, undefined is nothing, markup is not escaped twice', () => {
    expect(html`<i>${[html`<b>${'&'}</b>`, undefined, 2]}</i>`.markup).toBe('<i><b>&amp;</b>2</i>');
    expect(html`${joined(['a', 'b', 'c'], '-')}`.markup).toBe('a-b-c');
    expect(html`${listed(['a'])} ${listed(['a', 'b'])}`.markup).toBe('a a and b');
  });

  it('a table has a heading for each column and row', () => {
    const table = tableHtml(
      'A <table>',
      [{ head: 'x' }, { head: 'n', figures: true }],
      [{ cells: ['one', 1], id: 'r' }],
    );
    expect(table.markup).toContain('<caption>A &lt;table&gt;</caption>');
    expect(table.markup).toContain('<tr id="r"><th scope="row">one</th><td class="f">1</td></tr>');
  });
});

describe('anchors', () => {
  it('one path has one id, two paths have two, and an id can stand in a link as it is', () => {
    const part = fc.oneof(
      fc.string(),
      fc.constantFrom('IV', 'iv', '#iv', 'iiø', 'ii°', 'I+', 'b3', 'b3+', 'Tide Table', 'tide-table'),
    );
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.array(part, { minLength: 1, maxLength: 3 }), { selector: (path) => path.join('\u0000') }),
        (paths) => {
          const ids = anchors();
          const first = paths.map((path) => ids.of(...path));
          expect(new Set(first).size).toBe(paths.length);
          expect(paths.map((path) => ids.of(...path))).toEqual(first);
          for (const id of first) expect(id).toMatch(/^[A-Za-z0-9.-]+$/);
        },
      ),
    );
  });

  it('a function of a major chord is not that of a minor one', () => {
    const ids = anchors();
    expect(['IV', 'iv', '#ivø', 'bVII', 'I+', 'vii°'].map((f) => ids.of('over', f))).toEqual(
      ['IV', 'iv', 'sharp-ivhalf', 'bVII', 'Iaug', 'viidim'].map((f) => `over.${f}`),
    );
  });
});
