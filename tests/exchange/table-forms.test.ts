import { describe, expect, it } from 'vitest';
import { columnsOf, toDataFrame } from '../../lib/exchange/table-export.js';
import { frameColumns, htmlOf, rowsOf } from '../../lib/exchange/table-forms.js';

const table = { degree: ['b3', '5', null], tones: [2, null, 9], bent: [true, false, null] };

describe('rows of a table', () => {
  it('are the table again when they are put back into columns', () => {
    expect(columnsOf(rowsOf(table))).toEqual(table);
    expect(rowsOf({})).toEqual([]);
    expect(rowsOf({ degree: [] })).toEqual([]);
  });
});

describe('a data frame', () => {
  it('gives the plain table that it was made from, also after sorting and sifting', async () => {
    const frame = await toDataFrame({ degree: ['b3', '5', '1'], tones: [2, 9, 4] });
    expect(frameColumns(frame)).toEqual({ degree: ['b3', '5', '1'], tones: [2, 9, 4] });
    expect(frameColumns(frame.sortValues('tones', { ascending: false }))).toEqual({
      degree: ['5', '1', 'b3'],
      tones: [9, 4, 2],
    });
    expect(frameColumns(frame.query(frame.column('degree').eq('5')))).toEqual({ degree: ['5'], tones: [9] });
  });
});

describe('a table as HTML', () => {
  it('has a row for each row, numbers to the right, and nothing where a value is missing', () => {
    const html = htmlOf(table);
    expect(html.match(/<tr>/g)).toHaveLength(4);
    expect(html).toContain('<th style="text-align: right">tones</th>');
    expect(html).toContain(
      '<td style="text-align: left">5</td><td style="text-align: right"></td><td style="text-align: left">no</td>',
    );
  });

  it('escapes names and values', () => {
    const html = htmlOf({ '<b>': ['"&\'<script>'] });
    expect(html).not.toMatch(/<b>|<script>/);
    expect(html).toContain('&quot;&amp;&#39;&lt;script&gt;');
  });

  it('shows the columns asked for, and as many rows, and counts the rest', () => {
    const html = htmlOf(table, { columns: ['tones'], rows: 1 });
    expect(html.match(/<t[dh] /g)).toHaveLength(2);
    expect(html).toMatch(/<p>and 2 more rows<\/p>$/);
    expect(htmlOf(table, { rows: 3 })).not.toContain('more');
  });

  it('refuses a column that is not there, and a number of rows that is none', () => {
    expect(() => htmlOf(table, { columns: ['degre'] })).toThrow(
      'there is no column degre; columns: degree, tones, bent',
    );
    for (const rows of [0, -1, 1.5, Number.NaN]) expect(() => htmlOf(table, { rows })).toThrow(RangeError);
  });
});
