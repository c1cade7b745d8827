// A solo in JSON that has everything the form has, and data near it.
import fc from 'fast-check';

/** Written by hand, with everything that the form has. */
export const FULL = `{
  "format": "phrasewright solo",
  "version": 1,
  "ticksPerQuarter": 20160,
  "title": "Lantern Row",
  "player": "Ada Fenwick",
  "key": "A minor",
  "meter": "4/4",
  "tempo": 96,
  "feel": "swing e 2:1",
  "tuning": ["D2", "A2", "D3", "G3", "Bb3", "E4"],
  "capo": 2,
  "frets": 22,
  "tone": "clean",
  "remarks": ["slow at first"],
  "changes": {
    "firstBar": 1,
    "bars": [
      [{ "symbol": "Am7" }, { "at": 40320, "symbol": "D7" }],
      [{ "symbol": "N.C." }],
      [{ "symbol": "Bb7#9/F" }]
    ],
    "settings": [
      { "bar": 2, "meter": "6/8", "tempo": 90.5 },
      { "bar": 3, "meter": "4/4", "key": "C mixolydian", "feel": "straight" }
    ],
    "sections": [{ "name": "verse", "from": 1, "to": 3 }],
    "strums": [{ "bar": 1, "pattern": "D - D U" }]
  },
  "phrases": [
    {
      "id": "1",
      "name": "first light",
      "at": 80640,
      "length": 80640,
      "heardSeconds": 12.5,
      "remarks": [{ "text": "softly" }, { "text": "let it ring", "at": 100800 }],
      "damps": [141120],
      "notes": [
        { "onset": 80640, "length": 0, "grace": 2, "string": 3, "fret": 5 },
        { "onset": 80640, "length": 0, "grace": 1, "string": 3, "fret": 7, "start": "hammered" },
        { "onset": 80640, "length": 20160, "string": 3, "fret": 9, "vibrato": true, "accent": true },
        { "onset": 100800, "length": 20160, "string": 2, "fret": 8, "bend": [{ "cents": 0 }, { "cents": 200, "ticks": 5040 }, { "cents": 150 }], "ring": true },
        { "onset": 120960, "length": 20160, "string": 2, "kind": "on", "bend": [{ "cents": null }, { "cents": 0 }] },
        { "onset": 141120, "length": 10080, "string": 1, "fret": 12, "harmonic": true, "marks": ["ghost", "1"] },
        { "onset": 141120, "length": 10080, "string": 4, "kind": "dead" },
        { "onset": 151200, "length": 10080, "string": 4, "fret": 2, "slideAway": true }
      ]
    },
    {
      "id": "b-2",
      "at": 241920,
      "length": 20160,
      "notes": [{ "onset": 241920, "length": 20160, "string": 6, "fret": 0 }]
    }
  ]
}
`;

/** Data of a solo with one value changed, dropped, doubled or put elsewhere. */
export const changed: fc.Arbitrary<unknown> = fc
  .record({
    path: fc.array(fc.nat(30), { minLength: 1, maxLength: 7 }),
    value: fc.oneof(
      fc.jsonValue({ maxDepth: 2 }),
      fc.constantFrom<unknown>(
        -1,
        0,
        1,
        2,
        9,
        99,
        1.5,
        1e9,
        1e300,
        '',
        'dead',
        'on',
        'x',
        '4/4',
        'H7',
        null,
        [],
        {},
        [[]],
        25804800000,
        80640,
        20160,
      ),
    ),
    how: fc.constantFrom('put', 'put', 'put', 'drop', 'add', 'double'),
  })
  .map(({ path, value, how }) => {
    const data: unknown = JSON.parse(FULL);
    let here = data as Record<string, unknown>;
    for (const [depth, step] of path.entries()) {
      const names = Object.keys(here);
      if (names.length === 0) break;
      const name = names[step % names.length] as string;
      const inner = here[name];
      if (depth < path.length - 1 && typeof inner === 'object' && inner !== null) {
        here = inner as Record<string, unknown>;
        continue;
      }
      if (how === 'put') here[name] = value;
      else if (how === 'add') here[`${name}x`] = value;
      else if (how === 'double' && Array.isArray(here)) here.push(inner);
      else if (Array.isArray(here)) here.splice(Number(name), 1);
      else delete here[name];
      break;
    }
    return data;
  });
