// The house: which file may import which. Imports go down only; rooms on one floor never meet; in a room a file imports only
// files listed before it. Edit `HOUSE` when a file of lib/ comes, goes or moves, and the table in DEVELOPERS.md with it:
//   npx tsx -e "import('./tests/floors.ts').then((f) => console.log(f.floorTable(f.HOUSE)))"
import ts from 'typescript';

/** A room is a folder of lib/ (or one file beside the folders); its files stand in the order in which they may import. */
export interface Room {
  readonly name: string;
  readonly files: readonly string[];
}

/** One floor: what it holds, and why it knows nothing of what is above it or beside it. */
export interface Floor {
  readonly floor: number;
  readonly holds: string;
  readonly notAbove: string;
  readonly notBeside?: string;
  readonly rooms: readonly Room[];
}

/** The floors from the top down, as a reader meets them. */
export const HOUSE: readonly Floor[] = [
  {
    floor: 10,
    holds: 'the command line: arguments and exit codes',
    notAbove: 'nothing is above it',
    rooms: [{ name: 'main.ts', files: ['main.ts'] }],
  },
  {
    floor: 9,
    holds: 'the front door: every name that a notebook imports',
    notAbove: 'a notebook that imports the library must not start the command line',
    rooms: [{ name: 'index.ts', files: ['index.ts'] }],
  },
  {
    floor: 8,
    holds: 'one file for each command: reads, calls, writes, shows progress',
    notAbove: 'a command uses parts by their own names, so that the front door can also offer the command',
    rooms: [
      {
        name: 'jobs',
        files: [
          'terminal.ts',
          'check.ts',
          'tab.ts',
          'sound.ts',
          'convert.ts',
          'study-summary.ts',
          'study.ts',
          'export.ts',
          'motifs.ts',
          'plan.ts',
          'relations.ts',
          'find.ts',
        ],
      },
    ],
  },
  {
    floor: 7,
    holds: 'whole pages made of charts, engraving and sound',
    notAbove: 'a page is made from values in memory; which files they came from is the business of a command',
    rooms: [
      {
        name: 'pages',
        files: [
          'html.ts',
          'page.ts',
          'figure.ts',
          'scene.ts',
          'share-words.ts',
          'use-tables.ts',
          'attack-tables.ts',
          'player-facts.ts',
          'together-part.ts',
          'held-bend-part.ts',
          'scale-part.ts',
          'motif-part.ts',
          'kin-part.ts',
          'answers.ts',
          'player-section.ts',
          'corpus-section.ts',
          'form-part.ts',
          'solo-section.ts',
          'contents-part.ts',
          'definitions.ts',
          'study-report.ts',
          'plan-words.ts',
          'plan-markdown.ts',
          'plan-page.ts',
        ],
      },
    ],
  },
  {
    floor: 6,
    holds: 'pictures and sounds of answers that are already there',
    notAbove: 'a chart, a staff or a tone must be of use alone, in a notebook, without a page around it',
    notBeside: 'a picture must be drawn without loading the synthesiser, and the other way round; a page joins them',
    rooms: [
      {
        name: 'charts',
        files: [
          'spec.ts',
          'amount.ts',
          'interval-finding.ts',
          'mixed-keys.ts',
          'interval-heatmap.ts',
          'share-finding.ts',
          'bar-panels.ts',
          'landing-bars.ts',
          'entry-beats.ts',
          'attack-bars.ts',
          'tone-kinds.ts',
          'note-choices.ts',
          'solo-rows.ts',
          'tone-strokes.ts',
          'placed-rows.ts',
          'solo-line.ts',
          'neck-discs.ts',
          'fretboard-map.ts',
          'motif-strip.ts',
          'relation-words.ts',
          'relation-matrix.ts',
          'family-tree.ts',
          'render.ts',
          'held-words.ts',
          'inline-image.ts',
          'lesson-ladder.ts',
        ],
      },
      { name: 'engraving', files: ['tab-text.ts', 'motif-tab.ts'] },
      {
        name: 'sound',
        files: ['string-synth.ts', 'wav.ts'],
      },
    ],
  },
  {
    floor: 5,
    holds: 'lessons out of answers; files into solos',
    notAbove: 'an order of lessons and a corpus are values; how they look is decided above',
    notBeside: 'a lesson order needs solos, not the files they were read from',
    rooms: [
      {
        name: 'curriculum',
        files: [
          'difficulty-table.ts',
          'difficulty-items.ts',
          'difficulty-line.ts',
          'difficulty-hands.ts',
          'difficulty-bends.ts',
          'difficulty-time.ts',
          'difficulty.ts',
          'difficulty-fit.ts',
          'lesson-problem.ts',
          'lesson-exact.ts',
          'lesson-search.ts',
          'lesson-order.ts',
          'technique-items.ts',
          'difficulty-student.ts',
          'knowledge.ts',
          'exercise.ts',
          'first-notes.ts',
          'ground-steps.ts',
          'ground-items.ts',
          'drills.ts',
          'phrase-moves.ts',
          'practice.ts',
          'student.ts',
          'plan-ground.ts',
          'plan-problem.ts',
          'plan-steps.ts',
          'bridge.ts',
          'plan-reuse.ts',
          'plan-summary.ts',
          'preparation.ts',
          'plan-walk.ts',
          'plan-weeks.ts',
          'tasks.ts',
          'plan.ts',
        ],
      },
      { name: 'intake', files: ['proposals.ts', 'side-changes.ts', 'read-file.ts', 'read-corpus.ts'] },
    ],
  },
  {
    floor: 4,
    holds: 'questions asked of a solo; the text and the exchange formats of a solo',
    notAbove: 'an answer and a parsed solo must be of use alone, whatever is drawn, taught or read in bulk',
    notBeside: 'an answer must not depend on the format that a solo was written in',
    rooms: [
      {
        name: 'analysis',
        files: [
          'grouping.ts',
          'exposure.ts',
          'shares.ts',
          'interval-use.ts',
          'time-use.ts',
          'landing.ts',
          'entry.ts',
          'held-bends.ts',
          'attacks.ts',
          'neck-use.ts',
          'scale-choice.ts',
          'scale-fit.ts',
          'added-notes.ts',
          'together.ts',
          'chord-reading.ts',
          'implied-words.ts',
          'implied-chord.ts',
          'line.ts',
          'boundary-cues.ts',
          'segmentation.ts',
          'key-finding.ts',
          'viewpoint.ts',
          'motif-kinds.ts',
          'motif-rank.ts',
          'motif-search.ts',
          'motif-theirs.ts',
          'motif.ts',
          'motif-points.ts',
          'motif-words.ts',
          'motif-near-words.ts',
          'motif-near.ts',
          'spoken.ts',
          'phrase-relation-lines.ts',
          'phrase-relation-kinds.ts',
          'phrase-relation-exact.ts',
          'phrase-relation-pair.ts',
          'phrase-relation-costs.ts',
          'phrase-relation-bars.ts',
          'phrase-relation-ornamented.ts',
          'phrase-relation-delayed.ts',
          'phrase-relation-varied.ts',
          'phrase-relation-within.ts',
          'phrase-relation-words.ts',
          'phrase-relation.ts',
          'relation-seeds.ts',
          'relation-groups.ts',
          'relation-expand.ts',
          'family.ts',
          'phrase-facts.ts',
          'phrase-source-words.ts',
          'tone-set-names.ts',
          'phrase-tonality.ts',
          'phrase-notes-words.ts',
          'phrase-bend-words.ts',
          'phrase-technique-words.ts',
          'phrase-together-words.ts',
          'phrase-change-words.ts',
          'phrase-ending-words.ts',
          'phrase-sentence.ts',
          'query-elements.ts',
          'phrase-query.ts',
          'phrase-search-runs.ts',
          'phrase-search.ts',
          'query-print.ts',
          'query-cursor.ts',
          'query-text.ts',
        ],
      },
      {
        name: 'notation',
        files: [
          'lexer.ts',
          'note-word.ts',
          'front-matter.ts',
          'changes-reader.ts',
          'phrase-reader.ts',
          'parser.ts',
          'printer.ts',
          'example.ts',
        ],
      },
      {
        name: 'exchange',
        files: [
          'json-place.ts',
          'json-check.ts',
          'json-form.ts',
          'json-changes.ts',
          'json-phrase.ts',
          'json.ts',
          'table-export.ts',
          'table-forms.ts',
          'table-files.ts',
          'musicxml-xml.ts',
          'musicxml-zip.ts',
          'musicxml-report.ts',
          'musicxml-harmony.ts',
          'musicxml-note.ts',
          'musicxml-attributes.ts',
          'musicxml-direction.ts',
          'musicxml-repeats.ts',
          'musicxml-measure.ts',
          'musicxml-bend.ts',
          'musicxml-line-note.ts',
          'musicxml-legato.ts',
          'musicxml-line.ts',
          'musicxml-layout.ts',
          'musicxml-changes.ts',
          'musicxml-own.ts',
          'musicxml-parts.ts',
          'musicxml-neck.ts',
          'musicxml-phrases.ts',
          'musicxml-solo.ts',
          'musicxml-read.ts',
          'musicxml-tags.ts',
          'musicxml-cells.ts',
          'musicxml-losses.ts',
          'musicxml-write-note.ts',
          'musicxml-write-phrases.ts',
          'musicxml-write.ts',
          'midi-events.ts',
          'midi-file.ts',
          'midi-own.ts',
          'midi-write.ts',
          'midi-notes.ts',
          'midi-parts.ts',
          'midi-time.ts',
          'midi-bends.ts',
          'midi-head.ts',
          'midi-line.ts',
          'midi-read.ts',
        ],
      },
    ],
  },
  {
    floor: 3,
    holds: 'a solo as data: what the hand does, what the ear gets, the changes under it',
    notAbove: 'every question and every format meets in this data, so it can favour none of them',
    rooms: [
      {
        name: 'solo',
        files: [
          'changes.ts',
          'solo.ts',
          'melody.ts',
          'sounding.ts',
          'playability.ts',
          'clock.ts',
          'grace-time.ts',
          'pitch-curve.ts',
          'performance.ts',
          'phrase-fingering.ts',
          'timeline.ts',
          'harmony.ts',
          'figure.ts',
          'tone-columns.ts',
          'tone-table.ts',
        ],
      },
    ],
  },
  {
    floor: 2,
    holds: 'the instrument: strings, frets, bends, shapes, fingering',
    notAbove: 'a neck is the same whatever solo is played on it',
    rooms: [
      {
        name: 'guitar',
        files: [
          'technique.ts',
          'bend.ts',
          'fretboard.ts',
          'scale-shape.ts',
          'fingering-hand.ts',
          'fingering-grips.ts',
          'fingering.ts',
        ],
      },
    ],
  },
  {
    floor: 1,
    holds: 'music without an instrument; algorithms without music',
    notAbove: 'a chord is the same on any instrument, an alignment the same for any sequence',
    notBeside: 'an algorithm that knows no music can be checked against naive code on random symbols',
    rooms: [
      {
        name: 'theory',
        files: [
          'tonal.ts',
          'pitch.ts',
          'interval.ts',
          'chord.ts',
          'scale.ts',
          'meter.ts',
          'syncopation.ts',
          'familiar-scale.ts',
          'root-support.ts',
        ],
      },
      {
        name: 'math',
        files: [
          'lexicographic.ts',
          'hash-slots.ts',
          'tally.ts',
          'counting.ts',
          'resampling.ts',
          'phrases.ts',
          'suffix-array.ts',
          'repeats.ts',
          'sequence-null.ts',
          'chance.ts',
          'contrast.ts',
          'relabelling.ts',
          'alignment.ts',
          'transformation.ts',
          'point-set.ts',
          'preference.ts',
        ],
      },
    ],
  },
  {
    floor: 0,
    holds: 'units, time, faults as data, seeded random numbers, escaping, writing files, colours',
    notAbove: 'everything stands on it: one import upward would tie the whole house into a knot',
    rooms: [
      {
        name: 'foundation',
        files: [
          'units.ts',
          'time.ts',
          'diagnostic.ts',
          'source-text.ts',
          'random.ts',
          'escape.ts',
          'write-beside.ts',
          'palette.ts',
          'nearest.ts',
        ],
      },
    ],
  },
];

/** Packages that are slow to load, or that a notebook cell cannot load at all, and why they are imported only on call. */
export const ONLY_ON_CALL: Readonly<Record<string, string>> = {
  vega: 'it waits at its top level, so a notebook cell that loads the library would fail',
  'vega-lite': 'it waits at its top level, so a notebook cell that loads the library would fail',
  danfojs: 'it is optional, and takes about half a second to load',
  yaml: 'it takes tens of milliseconds that most callers do not need',
  saxes: 'it takes tens of milliseconds that most callers do not need',
  ajv: 'it takes tens of milliseconds that most callers do not need',
  tonal: 'it takes about as long to load as all of this package',
  '@resvg/resvg-js': 'it is a native binary that only PNG output needs',
};

/** What a file of lib/ asks for. `type` is an import that leaves nothing in the built code; `call` is `import(...)` inside a function. */
export interface Need {
  readonly specifier: string;
  readonly line: number;
  readonly kind: 'load' | 'type' | 'call';
}

const MOST_LINES = 400;

/** Path of a file below lib/ as the house lists it: `theory/pitch.ts`, or `main.ts`. */
const pathOf = (room: Room, file: string): string => (room.name === file ? file : `${room.name}/${file}`);

/** Every import, re-export, import type and dynamic import of a file, found by TypeScript's own parser. */
export function needsOf(path: string, text: string): readonly Need[] {
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.ES2022, true);
  const needs: Need[] = [];
  const add = (node: ts.Node, name: ts.Node | undefined, kind: Need['kind']): void => {
    const line = source.getLineAndCharacterOfPosition(node.getStart(source)).line + 1;
    needs.push({ specifier: name && ts.isStringLiteralLike(name) ? name.text : '', line, kind });
  };
  const allTypes = (names: ts.NamedImports | ts.NamedExports): boolean =>
    names.elements.length > 0 && names.elements.every((element) => element.isTypeOnly);
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node)) {
      const clause = node.importClause;
      const bindings = clause?.namedBindings;
      const typeOnly =
        clause !== undefined &&
        (clause.isTypeOnly ||
          (clause.name === undefined && bindings !== undefined && ts.isNamedImports(bindings) && allTypes(bindings)));
      add(node, node.moduleSpecifier, typeOnly ? 'type' : 'load');
    } else if (ts.isExportDeclaration(node) && node.moduleSpecifier) {
      const names = node.exportClause;
      const typeOnly = node.isTypeOnly || (names !== undefined && ts.isNamedExports(names) && allTypes(names));
      add(node, node.moduleSpecifier, typeOnly ? 'type' : 'load');
    } else if (ts.isImportTypeNode(node)) {
      add(node, ts.isLiteralTypeNode(node.argument) ? node.argument.literal : undefined, 'type');
    } else if (ts.isImportEqualsDeclaration(node) && ts.isExternalModuleReference(node.moduleReference)) {
      add(node, node.moduleReference.expression, 'load');
    } else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      add(node, node.arguments[0], 'call');
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return needs;
}

/** Line of the first `await` that stands outside every function, or `undefined`. */
export function topLevelAwait(path: string, text: string): number | undefined {
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.ES2022, true);
  const find = (node: ts.Node): number | undefined => {
    if (ts.isFunctionLike(node)) return undefined;
    if (ts.isAwaitExpression(node) || (ts.isForOfStatement(node) && node.awaitModifier))
      return source.getLineAndCharacterOfPosition(node.getStart(source)).line + 1;
    return ts.forEachChild(node, find);
  };
  return find(source);
}

interface Spot {
  readonly floor: Floor;
  readonly room: Room;
  readonly order: number;
}

/** Folds `..` and `.` out of a path below lib/; `undefined` when it leads out of lib/. */
function join(folder: readonly string[], specifier: string): string | undefined {
  const parts = [...folder];
  for (const part of specifier.split('/')) {
    if (part === '..') {
      if (parts.pop() === undefined) return undefined;
    } else if (part !== '.') parts.push(part);
  }
  return parts.join('/').replace(/\.js$/, '.ts');
}

/**
 * Everything in which a tree of files breaks the rules of a house, as sentences: what needs what, and why not.
 * @param house - The floors.
 * @param files - Text of every file by its path below lib/.
 * @param packages - Names of the packages that may be imported (dependencies and optional peers).
 */
export function faultsOf(
  house: readonly Floor[],
  files: ReadonlyMap<string, string>,
  packages: readonly string[],
): readonly string[] {
  const faults: string[] = [];
  const spots = new Map<string, Spot>();
  for (const floor of house)
    for (const room of floor.rooms)
      room.files.forEach((file, order) => {
        const path = pathOf(room, file);
        if (spots.has(path)) faults.push(`${path} is listed twice in tests/floors.ts`);
        spots.set(path, { floor, room, order });
        if (!files.has(path)) faults.push(`${path} is listed in tests/floors.ts, but lib/${path} does not exist`);
      });

  const loads = new Map<string, string[]>();
  for (const [path, text] of files) {
    const here = spots.get(path);
    if (!here)
      faults.push(`lib/${path} has no place in tests/floors.ts: list it in its room, after the files it imports`);
    const lines = text.split('\n').length - (text.endsWith('\n') ? 1 : 0);
    if (lines > MOST_LINES)
      faults.push(`lib/${path} has ${lines} lines, ${MOST_LINES} at most: a long file hides what needs what`);
    const waits = topLevelAwait(path, text);
    if (waits !== undefined)
      faults.push(`lib/${path}:${waits} waits outside a function: a notebook cell cannot load a library that does`);

    const targets: string[] = [];
    loads.set(path, targets);
    for (const need of needsOf(path, text)) {
      const at = `lib/${path}:${need.line}`;
      if (need.specifier === '') {
        faults.push(
          `${at} imports a name that is only known when it runs: write the name out, so that it can be checked`,
        );
      } else if (need.specifier.startsWith('.')) {
        const target = join(path.split('/').slice(0, -1), need.specifier);
        if (target === undefined || !files.has(target)) {
          faults.push(`${at} needs '${need.specifier}', which is no file of lib/`);
          continue;
        }
        targets.push(target);
        const there = spots.get(target);
        if (here && there) {
          const why = whyNot(here, there, path === target);
          if (why) faults.push(`${at} needs ${target}: ${why}`);
        }
      } else if (!need.specifier.startsWith('node:')) {
        const name = need.specifier
          .split('/')
          .slice(0, need.specifier.startsWith('@') ? 2 : 1)
          .join('/');
        if (!packages.includes(name))
          faults.push(`${at} needs the package '${name}', which package.json does not promise`);
        const slow = ONLY_ON_CALL[name];
        if (slow !== undefined && need.kind === 'load')
          faults.push(
            `${at} loads '${name}' at once: ${slow}; use await import('${name}') inside the function that needs it`,
          );
      }
    }
  }
  const cycle = cycleIn(loads);
  if (cycle) faults.push(`files need each other in a ring: ${cycle.join(' -> ')}`);
  return faults;
}

/** Why one file may not import another, or `undefined` if it may. */
function whyNot(here: Spot, there: Spot, itself: boolean): string | undefined {
  if (itself) return 'a file cannot import itself';
  if (there.floor.floor > here.floor.floor)
    return `floor ${here.floor.floor} (${here.room.name}) may not look up to floor ${there.floor.floor} (${there.room.name}): ${here.floor.notAbove}`;
  if (there.floor.floor < here.floor.floor) return undefined;
  if (there.room !== here.room)
    return `${here.room.name} and ${there.room.name} are on floor ${here.floor.floor} and may not meet: ${here.floor.notBeside}`;
  if (there.order > here.order)
    return `in ${here.room.name} it is listed later: a room reads from its simplest file to its last, so that no two files need each other`;
  return undefined;
}

/** One ring of files that need each other, found without looking at the floors; `undefined` if there is none. */
function cycleIn(loads: ReadonlyMap<string, readonly string[]>): readonly string[] | undefined {
  const done = new Set<string>();
  const walk = (path: string, trail: readonly string[]): readonly string[] | undefined => {
    const start = trail.indexOf(path);
    if (start >= 0) return [...trail.slice(start), path];
    if (done.has(path)) return undefined;
    for (const target of loads.get(path) ?? []) {
      const ring = walk(target, [...trail, path]);
      if (ring) return ring;
    }
    done.add(path);
    return undefined;
  };
  for (const path of loads.keys()) {
    const ring = walk(path, []);
    if (ring) return ring;
  }
  return undefined;
}

/** The house as the Markdown table that stands in DEVELOPERS.md between `<!-- floors -->` and `<!-- /floors -->`; rooms that are still empty are left out. */
export function floorTable(house: readonly Floor[]): string {
  const rows = house.flatMap((floor) => {
    const rooms = floor.rooms.filter((room) => room.files.length > 0);
    return rooms.map((room, i) => {
      const name = room.name.endsWith('.ts') ? room.name : `${room.name}/`;
      const files = room.files.map((file) => file.replace(/\.ts$/, '')).join(', ');
      const why = floor.notBeside && rooms.length > 1 ? `${floor.notAbove}; ${floor.notBeside}` : floor.notAbove;
      return `| ${floor.floor} | ${name} | ${files} | ${i === 0 ? `${floor.holds} | ${why}` : '|'} |`;
    });
  });
  return [
    '| floor | room | files, in order | holds | why it knows nothing above or beside it |',
    '|---|---|---|---|---|',
    ...rows,
  ].join('\n');
}
