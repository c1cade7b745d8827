// Everything that is asked of each player, once, so that answers, tables and pictures say the same.
import { type AddedNote, addedNotes, FEWEST_TONES, memberIn } from '../analysis/added-notes.js';
import { type Attacks, attacks } from '../analysis/attacks.js';
import { type EntryUse, entryUse } from '../analysis/entry.js';
import { heldBends, type HeldBend as KeptBend } from '../analysis/held-bends.js';
import { type ImpliedChord, impliedChords } from '../analysis/implied-chord.js';
import { type IntervalUse, intervalUse } from '../analysis/interval-use.js';
import { type LandingUse, landingUse, type PhraseEndingUse, phraseEndingUse } from '../analysis/landing.js';
import { findMotifs } from '../analysis/motif.js';
import type { MotifReport } from '../analysis/motif-kinds.js';
import { type ScaleFit, scaleFit, scaleFits } from '../analysis/scale-fit.js';
import { type ShareTable, shareElsewhere } from '../analysis/shares.js';
import type { ToneTable } from '../solo/tone-table.js';
import { type Html, html } from './html.js';
import type { Scene, ShownPlayer } from './scene.js';
import { percent } from './share-words.js';

/** A bend that is held up while other strings sound: one tone, and the stretches in which it sounds with others. */
export interface HeldBend {
  /** The bent tone, as a row of the tone table. */
  readonly row: number;
  readonly under: readonly ImpliedChord[];
  /** Functions of the chords that it is held over. */
  readonly functions: readonly string[];
}

/** A note that the scale of one solo or more has beside its own, as a member of the chord that it serves. */
export interface AddedInSolos {
  readonly degree: string;
  readonly function: string;
  /** What it is there: `third`. */
  readonly role: string;
  /** The tones over that chord, as rows of the tone table; all tones of the note in these solos; the solos. */
  readonly rows: readonly number[];
  readonly of: number;
  readonly solos: number;
}

/** What is known of one player. */
export interface PlayerFacts {
  readonly shown: ShownPlayer;
  readonly use: IntervalUse;
  /** The same with pushed tones under the chord they push into. */
  readonly pushed: IntervalUse;
  readonly landings: LandingUse;
  readonly endings: PhraseEndingUse;
  readonly entries: EntryUse;
  readonly attacks: Attacks;
  readonly scale: ScaleFit;
  /** The scale of each solo, without its tonic: `minor pentatonic + 6`. */
  readonly soloScales: readonly { readonly solo: string; readonly fit: ScaleFit; readonly said: string }[];
  readonly added: readonly AddedNote[];
  /** Notes added to the scales of single solos, and the chord that each serves. */
  readonly addedInSolos: readonly AddedInSolos[];
  readonly together: readonly ImpliedChord[];
  readonly heldBends: readonly HeldBend[];
  /** Of whole phrases, whatever the tones are narrowed to. */
  readonly motifs: MotifReport;
  /** Bends that are held for any reason: under other strings, picked again, up to a change. */
  readonly keptBends: readonly KeptBend[];
}

/** What is known of all players together, to hold one against the others. */
export interface SharedFacts {
  readonly roles: ShareTable;
  readonly entries: ShareTable;
  readonly starts: ShareTable;
}

/** Asks everything about a player. */
export function factsOf({ table }: Scene, shown: ShownPlayer): PlayerFacts {
  const { where } = shown;
  const scale = scaleFit(table, { where });
  const together = impliedChords(table, { where });
  const ownScales = scaleFits(table, ['solo'], { where });
  return {
    shown,
    use: intervalUse(table, { where }),
    pushed: intervalUse(table, { where, anticipation: true }),
    landings: landingUse(table, { where }),
    endings: phraseEndingUse(table, { where }),
    entries: entryUse(table, { where }),
    attacks: attacks(table, { where }),
    scale,
    soloScales: ownScales.map(({ group, fit }) => ({
      solo: group[0] as string,
      fit,
      said: withoutTonic(fit),
    })),
    added: addedNotes(table, scale),
    addedInSolos: addedInSolos(
      table,
      scale,
      ownScales.map(({ fit }) => fit),
    ),
    together,
    heldBends: heldBendsOf(together),
    motifs: motifsOf(table, shown),
    keptBends: heldBends(table, { where }),
  };
}

/** The notes that single solos add, solos together: over a chord of which they are a member, five times or more, and more than tones are there at large. */
function addedInSolos(table: ToneTable, whole: ScaleFit, fits: readonly ScaleFit[]): readonly AddedInSolos[] {
  const notes = fits.flatMap((fit) => addedNotes(table, fit));
  return [...new Set(notes.map((n) => n.degree))].flatMap((degree) => {
    // A note that is rare or outside in all solos together is looked at in all of them: one solo alone has it too seldom.
    const spare = whole.notes.filter((n) => n.degree === degree && (n.place === 'rare' || n.place === 'outside'));
    const own =
      spare.length > 0
        ? addedNotes(table, {
            ...whole,
            notes: whole.notes.map((n) => (spare.includes(n) ? { ...n, place: 'added' } : n)),
          }).filter((n) => n.degree === degree)
        : notes.filter((n) => n.degree === degree);
    const solos = new Set(own.flatMap((n) => n.chords.flatMap((c) => c.rows.map((row) => table.columns.solo[row]))))
      .size;
    const of = own.reduce((sum, n) => sum + n.tones, 0);
    const chords = own.flatMap((n) =>
      n.chords.filter((c) => c.isMember).map((c) => ({ ...c, usual: c.usual * n.tones })),
    );
    const keys = [...new Set(chords.map((c) => `${c.function} ${c.role}`))];
    return keys.flatMap((key): readonly AddedInSolos[] => {
      const here = chords.filter((c) => `${c.function} ${c.role}` === key);
      const rows = here.flatMap((c) => c.rows).sort((a, b) => a - b);
      const usual = here.reduce((sum, c) => sum + c.usual, 0);
      const [first] = here;
      return !first?.role || rows.length < FEWEST_TONES || rows.length <= usual
        ? []
        : [
            {
              degree,
              function: first.function,
              role: memberIn(first),
              rows,
              of,
              solos,
            },
          ];
    });
  });
}

/** Null corpora, and the symbols that a search of all of them may read: with more tones there are fewer corpora, at least 20. */
const NULL_RUNS = { usual: 200, least: 20, symbols: 2_000_000 } as const;

function motifsOf(table: ToneTable, { solos }: ShownPlayer): MotifReport {
  const numbers = new Set(solos.map(({ index }) => index));
  const tones = table.columns.solo.reduce((sum, solo) => sum + (numbers.has(solo) ? 1 : 0), 0);
  const fit = Math.floor(NULL_RUNS.symbols / Math.max(1, tones));
  const nullRuns = Math.max(NULL_RUNS.least, Math.min(NULL_RUNS.usual, fit));
  return findMotifs(table, { where: { solo: solos.map(({ id }) => id) }, nullRuns });
}

/** Asks of all players what one is held against. */
export function sharedFactsOf({ table, where }: Scene): SharedFacts {
  return {
    roles: landingUse(table, { where }).roles,
    entries: entryUse(table, { where }).counts,
    starts: attacks(table, { where }).starts,
  };
}

/** A fit in one key names its tonic first. */
const withoutTonic = ({ said, best, keys }: ScaleFit): string =>
  best && keys.length === 1 ? said.slice(said.indexOf(best.scale)) : said;

function heldBendsOf(together: readonly ImpliedChord[]): readonly HeldBend[] {
  const under = new Map<number, ImpliedChord[]>();
  for (const stretch of together)
    for (const row of stretch.heldBends) under.set(row, [...(under.get(row) ?? []), stretch]);
  return [...under]
    .sort(([a], [b]) => a - b)
    .map(([row, stretches]) => ({ row, under: stretches, functions: [...new Set(stretches.map((s) => s.function))] }));
}

/** What the other players do: `; the others 12 % of 277`; nothing where there are none. */
export function others(table: ShareTable, player: ShownPlayer, value: string): Html {
  const elsewhere = shareElsewhere(table, [player.player], value);
  return elsewhere ? html`; the other players ${percent(elsewhere.share.share)} of ${elsewhere.of}` : html``;
}
