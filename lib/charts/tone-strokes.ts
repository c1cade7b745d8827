// What the ear gets as strokes of a pen: a thin line for each tone, curves for bends, slants for slides, and what joins them.
import { QUARTER } from '../foundation/time.js';
import { cents, ticks } from '../foundation/units.js';
import type { BarGrid } from '../solo/changes.js';
import { type ChordSpan, hear, spanAt } from '../solo/harmony.js';
import type { Note, Phrase, Solo } from '../solo/solo.js';
import type { Tone } from '../solo/timeline.js';
import { rowAt, type SoloRow, type SoloRows, xIn } from './solo-rows.js';
import { kindOfRole, type ToneKind } from './tone-kinds.js';

/** A steady stretch of one tone in one row under one chord. */
export interface Stroke {
  /** Index of the tone. */
  readonly tone: number;
  readonly row: number;
  readonly x: number;
  readonly x2: number;
  readonly cents: number;
  readonly kind: ToneKind;
}

/** How a line that is no steady tone looks: a bend's way to its level; vibrato; a slide; a hammer or pull, or a grace, and what it leads to; a pre-bend. */
export type CurveLook = 'bend' | 'vibrato' | 'slide' | 'join' | 'grace' | 'prebend';

/** Such a line; `y` is offset px below the pitch. */
export interface Curve {
  readonly look: CurveLook;
  readonly row: number;
  readonly kind: ToneKind;
  readonly points: readonly { readonly x: number; readonly cents: number; readonly y?: number }[];
}

/** A moment in a row: where a tone is struck, a dead note, or from where to where a double-stop reaches. */
export interface Mark {
  readonly row: number;
  readonly x: number;
  readonly cents: number;
  readonly to?: number;
  readonly kind?: ToneKind;
}

/** All that is drawn of a solo's notes. */
export interface Strokes {
  readonly strokes: readonly Stroke[];
  readonly curves: readonly Curve[];
  readonly struck: readonly Mark[];
  readonly dead: readonly Mark[];
  readonly stems: readonly Mark[];
}

/** Px that a bend takes to its level, at the most; half as long for a short tone. */
const BEND = 13;
/** Px of a slide, of a grace note's line, and from one grace to the next. */
const SLIDE = 8;
const GRACE = { line: 5, step: 8 } as const;
/** Vibrato: px from crest to crest, and to either side. */
const WAVE = { length: 7, height: 1.8, before: 5 } as const;
/** Px left open between tones. */
const GAP = 1.5;

/** The strokes of all tones that the rows show. A tone that sounds through a change of chord or to another row is drawn in pieces. */
export function strokesOf(
  solo: Solo,
  tones: readonly Tone[],
  rows: SoloRows,
  spans: readonly ChordSpan[],
  grid: BarGrid,
): Strokes {
  const strokes: Stroke[] = [];
  const curves: Curve[] = [];
  const struck: Mark[] = [];
  const kindAt = (tone: Tone, at: number): ToneKind => {
    const span = spans[spanAt(spans, at)] as ChordSpan;
    return kindOfRole(hear(tone.pitch, span.chord, grid.place(ticks(at)).bar.key, false).role);
  };
  const before = new Map<number, Tone>(); // by string, within the phrase
  let phrase = -1;
  tones.forEach((tone, i) => {
    if (tone.phrase !== phrase) {
      before.clear();
      phrase = tone.phrase;
    }
    const previous = before.get(tone.string);
    before.set(tone.string, tone);
    const index = rowAt(rows, tone.onset);
    if (index < 0) return;
    const row = rows.rows[index] as SoloRow;
    const x = xIn(rows, row, tone.onset);
    const note = noteOf(solo, tone);
    const kind = kindAt(tone, tone.onset);
    const add = (look: CurveLook, points: Curve['points']) => curves.push({ look, row: index, kind, points });
    if (tone.grace > 0) {
      const from = x - GRACE.step * tone.grace - 1;
      add('grace', [
        { x: from, cents: tone.pitch },
        { x: from + GRACE.line, cents: tone.pitch },
      ]);
      return;
    }
    const touching = previous !== undefined && previous.onset + previous.length >= tone.onset;
    if (previous && previous.grace > 0)
      add('join', [
        { x: x - GRACE.step - 1 + GRACE.line, cents: previous.pitch },
        { x, cents: tone.pitch },
      ]);
    else if (touching && (tone.start === 'hammered' || tone.start === 'pulled'))
      add('join', [
        { x, cents: previous.pitch },
        { x, cents: tone.pitch },
      ]);
    if (tone.start === 'slid' && !(previous && previous.grace > 0)) {
      const near =
        previous !== undefined &&
        previous.pitch !== tone.pitch &&
        tone.onset - previous.onset - previous.length < QUARTER / 2;
      const from = near ? previous.pitch : tone.pitch + (note.start === 'slid down' ? 200 : -200);
      add('slide', [
        { x: x - SLIDE, cents: from },
        { x: x + 1, cents: tone.pitch },
      ]);
    }
    const from =
      tone.start === 'none' ? previous?.pitch : tone.reached === 'bent' ? tone.pitch - tone.level : undefined;
    if (tone.reached === 'prebent')
      add('prebend', [
        { x, cents: tone.pitch - tone.level },
        { x, cents: tone.pitch },
      ]);
    const length = tone.length * rows.scale;
    const bend = from === undefined || from === tone.pitch ? 0 : Math.min(BEND, length * 0.6);
    if (bend > 0 && from !== undefined) add('bend', ease(x, from, x + bend, tone.pitch));
    if (tone.struck) struck.push({ row: index, x, cents: bend > 0 ? (from as number) : tone.pitch, kind });
    const pieces = piecesOf(tone, i, tone.onset + bend / rows.scale, rows, spans, kindAt);
    const last = pieces[pieces.length - 1];
    const final = tones[i + 1]?.note !== tone.note || tones[i + 1]?.phrase !== tone.phrase;
    for (const piece of pieces) {
      if (!note.vibrato || !final || piece !== last || piece.x2 - piece.x < WAVE.before + WAVE.length)
        strokes.push(piece);
      else {
        strokes.push({ ...piece, x2: piece.x + WAVE.before });
        curves.push({ look: 'vibrato', row: piece.row, kind: piece.kind, points: wave(piece) });
      }
    }
    if (last && final && note.slideAway) {
      const end = { x: last.x2 + SLIDE, cents: tone.pitch - 200 };
      curves.push({ look: 'slide', row: last.row, kind: last.kind, points: [{ x: last.x2, cents: tone.pitch }, end] });
    }
  });
  return { strokes, curves, struck, dead: deadNotes(solo, tones, rows), stems: stemsOf(tones, rows) };
}

const noteOf = (solo: Solo, tone: Tone): Note => (solo.phrases[tone.phrase] as Phrase).notes[tone.note] as Note;

/** Cuts a tone where its row ends and where the chord changes under it. */
function piecesOf(
  tone: Tone,
  index: number,
  begin: number,
  rows: SoloRows,
  spans: readonly ChordSpan[],
  kindAt: (tone: Tone, at: number) => ToneKind,
): readonly Stroke[] {
  const pieces: Stroke[] = [];
  const end = tone.onset + tone.length;
  rows.rows.forEach((row, r) => {
    let from = Math.max(begin, row.from);
    const stop = Math.min(end, row.to);
    while (from < stop) {
      const to = Math.min(stop, (spans[spanAt(spans, from)] as ChordSpan).end);
      const kind = kindAt(tone, Math.floor(from));
      const known = pieces[pieces.length - 1];
      const x2 = xIn(rows, row, to) - (to === end || to === row.to ? GAP : 0);
      if (known && known.row === r && known.kind === kind) pieces[pieces.length - 1] = { ...known, x2 };
      else
        pieces.push({
          tone: index,
          row: r,
          x: xIn(rows, row, from),
          x2: Math.max(x2, xIn(rows, row, from) + 0.5),
          cents: tone.pitch,
          kind,
        });
      from = to;
    }
  });
  return pieces;
}

/** From one level to another as a hand bends: slow, fast, slow. */
function ease(x: number, from: number, x2: number, to: number): Curve['points'] {
  return Array.from({ length: 9 }, (_, i) => {
    const part = i / 8;
    return { x: x + (x2 - x) * part, cents: from + ((to - from) * (1 - Math.cos(Math.PI * part))) / 2 };
  });
}

function wave({ x, x2, cents }: Stroke): Curve['points'] {
  const start = x + WAVE.before;
  const waves = Math.max(1, Math.round((x2 - start) / WAVE.length));
  return Array.from({ length: waves * 6 + 1 }, (_, i) => {
    const turn = i / 6;
    return {
      x: start + ((x2 - start) * turn) / waves,
      cents,
      y: -Math.sin(turn * 2 * Math.PI) * WAVE.height * Math.min(1, turn + 0.3),
    };
  });
}

/** Dead notes have no pitch: each stands at that of the tone struck last before it in its phrase, else at the next; several at once one under the other. */
function deadNotes(solo: Solo, tones: readonly Tone[], rows: SoloRows): readonly Mark[] {
  return solo.phrases.flatMap((phrase, p) => {
    const own = tones.filter((tone) => tone.phrase === p && tone.grace === 0);
    let onset = -1;
    let under = 0;
    return phrase.notes.flatMap((note): readonly Mark[] => {
      if (note.kind !== 'dead') return [];
      under = note.onset === onset ? under + 1 : 0;
      onset = note.onset;
      const index = rowAt(rows, note.onset);
      if (index < 0) return [];
      const together = own.filter((tone) => tone.onset === note.onset).map((tone) => tone.pitch - 200);
      const earlier = own.filter((tone) => tone.onset < note.onset);
      const near = together.length > 0 ? Math.min(...together) : (earlier[earlier.length - 1] ?? own[0])?.pitch;
      return [
        {
          row: index,
          x: xIn(rows, rows.rows[index] as SoloRow, note.onset) + 3,
          cents: cents((near ?? 6000) - under * 200),
        },
      ];
    });
  });
}

/** Tones that begin together, from the lowest to the highest. */
function stemsOf(tones: readonly Tone[], rows: SoloRows): readonly Mark[] {
  const events = new Map<string, Tone[]>();
  for (const tone of tones) {
    if (tone.grace > 0 || tone.ornament) continue;
    const key = `${tone.phrase} ${tone.onset}`;
    events.set(key, [...(events.get(key) ?? []), tone]);
  }
  return [...events.values()].flatMap((event): readonly Mark[] => {
    const [first] = event;
    const index = first === undefined || event.length < 2 ? -1 : rowAt(rows, first.onset);
    if (first === undefined || index < 0) return [];
    const starts = event.map((tone) =>
      tone.start !== 'none' && tone.reached === 'bent' ? tone.pitch - tone.level : tone.pitch,
    );
    return [
      {
        row: index,
        x: xIn(rows, rows.rows[index] as SoloRow, first.onset),
        cents: Math.min(...starts),
        to: Math.max(...starts),
      },
    ];
  });
}
