// Arbitrary solos, and every part of one, that keep what solo.ts promises: notes in order, no overlap in a phrase but by ringing,
// strings that go on sounding only where they sound, nothing that `unplayable` calls a fault. Wishes are drawn and then built up from
// left to right, each cut down to what can be played where it stands, so that fast-check can shrink them.
import fc from 'fast-check';
import { cents, fret, stringNumber, type Ticks, ticks } from '../lib/foundation/units.js';
import { type BendPath, type BendPoint, finalLevel } from '../lib/guitar/bend.js';
import type { Guitar } from '../lib/guitar/fretboard.js';
import { HARMONIC_FRETS, NOTE_STARTS, type NoteStart } from '../lib/guitar/technique.js';
import { barGrid, type Changes, FAR_PAST, type Opening } from '../lib/solo/changes.js';
import { compareNotes, type Note, type Phrase, phraseEnd, type Remark, type Solo } from '../lib/solo/solo.js';
import { changesOver, guitars, lengths, names, openings, texts } from './arbitrary-parts.js';

export * from './arbitrary-parts.js';

/** What is wished of a bend: levels in half frets, and for each a share of the time if it is to be written. */
type PathWish = readonly { readonly level: number; readonly share: number | null }[];
const pathWishes: fc.Arbitrary<PathWish> = fc.oneof(
  { weight: 5, arbitrary: fc.constant<PathWish>([]) },
  {
    weight: 3,
    arbitrary: fc
      .constantFrom([0, 4], [0, 4, 0], [4], [4, 0], [0, 1], [2, 0], [0])
      .map((w) => w.map((level) => ({ level, share: null }))),
  },
  {
    weight: 2,
    arbitrary: fc.array(
      fc.record({
        level: fc.oneof({ weight: 4, arbitrary: fc.nat(8) }, fc.nat(48)),
        share: fc.option(fc.constantFrom(1 / 2, 1 / 4, 1 / 3, 1, 0, 0.77)),
      }),
      { minLength: 1, maxLength: 4 },
    ),
  },
);

/**
 * The wished path over a length; `held` is the level of a string that goes on sounding, absent for a note played anew.
 * Times are cut so that they fit; the first level of a string that goes on is the level it has.
 */
function pathOf(wish: PathWish, length: number, held?: number): BendPath {
  if (wish.length === 0) return [];
  const levels = wish.map((w) => w.level * 50);
  const asHeld = held !== undefined && wish.length > 1 && wish[0]!.share === null;
  if (held !== undefined) levels[0] = held;
  const leadIn = wish.length > 1 && wish[0]!.share === null && (levels[0] === 0 || asHeld);
  const points: BendPoint[] = leadIn ? [{ level: asHeld ? null : cents(levels[0]!) }] : [];
  let left = length;
  const from = points.length;
  for (let i = from; i < wish.length; i++) {
    const after = wish.length - 1 - i; // each level still to come needs a tick
    if (left - after < 1) break;
    const { share } = wish[i]!;
    if (share === null) {
      points.push({ level: cents(levels[i]!) });
      left--; // at least one tick of what is left
      continue;
    }
    const time = Math.max(1, Math.min(left - after, Math.floor(length * share)));
    points.push({ level: cents(levels[i]!), time: ticks(time) });
    left -= time;
  }
  if (points.length === 0 || (points.length === 1 && points[0]!.level === null)) return [];
  const body = points.slice(from);
  if (body.length === 0) return length > 0 && points[0]!.level !== null ? points : [];
  // Where every level has its time, the last takes what is left.
  if (body.every((p) => p.time !== undefined) && left > 0) {
    const last = points.pop()!;
    points.push({ level: last.level, time: ticks((last.time ?? 0) + left) });
  }
  return points;
}

interface NoteWish {
  readonly string: number;
  readonly fret: number;
  readonly kind: 'fretted' | 'dead' | 'on' | 'harmonic';
  readonly start: NoteStart;
  readonly path: PathWish;
  readonly own: Ticks | null;
  readonly ring: boolean;
  readonly flags: number;
  readonly marks: readonly string[];
}
const KINDS = ['fretted', 'fretted', 'fretted', 'fretted', 'dead', 'on', 'on', 'harmonic'] as const;
const noteWishes: fc.Arbitrary<NoteWish> = fc.record({
  string: fc.nat(7),
  fret: fc.oneof({ weight: 6, arbitrary: fc.nat(12) }, fc.nat(36)),
  kind: fc.constantFrom(...KINDS),
  start: fc.oneof(
    { weight: 2, arbitrary: fc.constant<NoteStart>('picked') },
    fc.constantFrom(...NOTE_STARTS.filter((s) => s !== 'none')),
  ),
  path: pathWishes,
  own: fc.option(lengths, { freq: 6 }),
  ring: fc.constantFrom(false, false, true),
  flags: fc.oneof({ weight: 2, arbitrary: fc.constant(0) }, fc.nat(7)),
  marks: fc.oneof(
    { weight: 5, arbitrary: fc.constant([]) },
    fc.uniqueArray(fc.constantFrom('ghost', 'mute', 'trill', 'down', '1', '4', 'dip', 'x-9', 'A'), { maxLength: 3 }),
  ),
});

interface EventWish {
  readonly gap: Ticks | null;
  readonly length: Ticks;
  readonly notes: readonly NoteWish[];
  readonly graces: readonly (readonly NoteWish[])[];
  /** A damp before the event, at a share of the gap; a damp inside it, at a share of its length. */
  readonly dampBefore: number | null;
  readonly dampInside: number | null;
  readonly said: readonly string[];
}
const shares = fc.constantFrom(0, 1, 1 / 2, 1 / 3, 0.9);
const eventWishes: fc.Arbitrary<EventWish> = fc.record({
  gap: fc.oneof({ weight: 4, arbitrary: fc.constant(null) }, lengths),
  length: lengths,
  notes: fc.oneof(
    { weight: 3, arbitrary: fc.array(noteWishes, { minLength: 1, maxLength: 1 }) },
    fc.array(noteWishes, { minLength: 2, maxLength: 4 }),
  ),
  graces: fc.oneof(
    { weight: 5, arbitrary: fc.constant([]) },
    fc.array(fc.array(noteWishes, { minLength: 1, maxLength: 2 }), { minLength: 1, maxLength: 3 }),
  ),
  dampBefore: fc.option(shares, { freq: 6 }),
  dampInside: fc.option(shares, { freq: 8 }),
  said: fc.oneof({ weight: 5, arbitrary: fc.constant([]) }, fc.array(texts, { maxLength: 2 })),
});

export interface PhraseWish {
  readonly name: string;
  readonly before: Ticks | null;
  readonly events: readonly EventWish[];
  readonly tail: Ticks | null;
  readonly dampAfter: number | null;
  readonly said: readonly string[];
  readonly heard: number | null;
}
/** What is wished of a phrase: {@link phraseFrom} makes it one. */
export const phraseWishes: fc.Arbitrary<PhraseWish> = fc.record({
  name: texts,
  before: fc.oneof({ weight: 2, arbitrary: fc.constant(null) }, lengths),
  events: fc.array(eventWishes, { minLength: 1, maxLength: 8 }),
  tail: fc.oneof({ weight: 2, arbitrary: fc.constant(null) }, lengths),
  dampAfter: fc.option(shares, { freq: 4 }),
  said: fc.array(texts, { maxLength: 2 }),
  heard: fc.option(fc.integer({ min: 0, max: 59_999_999 }).map((ms) => ms / 1000)),
});

/** What the last note on a string leaves behind. */
interface Left {
  readonly onset: number;
  readonly until: number;
  readonly ring: boolean;
  readonly dead: boolean;
  readonly level: number;
}

/** A phrase as near to the wish as a guitar and a pair of hands allow, from a tick on. */
export function phraseFrom(wish: PhraseWish, id: string, guitar: Guitar, at: number): Phrase {
  const lastFret = guitar.frets - guitar.capo;
  const strings = new Map<number, Left>();
  const notes: Note[] = [];
  const remarks: Remark[] = wish.said.map((text) => ({ text }));
  const damps: number[] = [];
  const damp = (where: number) => {
    if (!damps.includes(where)) damps.push(where);
  };
  /** The level a string is held at where it still sounds. */
  const held = (string: number, onset: number): number | undefined => {
    const left = strings.get(string);
    if (!left || left.dead) return undefined;
    if (left.onset === onset) return left.level; // a grace just before
    const stopped = damps.some((d) => d >= left.until && d <= onset);
    return !stopped && (left.ring || left.until === onset) ? left.level : undefined;
  };
  const play = (w: NoteWish, onset: number, length: number, grace: number): void => {
    const sounding =
      w.kind === 'on' && grace === 0 ? [...strings.keys()].filter((s) => held(s, onset) !== undefined) : [];
    const string = sounding[w.string % sounding.length] ?? (w.string % guitar.tuning.length) + 1;
    if (notes.some((n) => n.onset === onset && n.grace === grace && n.string === string)) return;
    const level = sounding.length > 0 ? held(string, onset) : undefined;
    const kind = level !== undefined ? 'on' : w.kind === 'dead' ? 'dead' : 'fretted';
    const touched = w.kind === 'harmonic' ? HARMONIC_FRETS.filter((f) => f <= lastFret) : [];
    const harmonic = touched.length > 0;
    const place = harmonic ? touched[w.fret % touched.length]! : Math.min(w.fret, lastFret);
    const wished =
      kind === 'dead' || (grace > 0 && w.path.some((p) => p.share !== null))
        ? []
        : pathOf(w.path, grace > 0 ? 4 : length, level);
    // A path that moves nothing on a string that goes on is a fault.
    const path = wished.some((p) => kind !== 'on' || (p.level ?? level) !== level) ? wished : [];
    notes.push({
      onset: ticks(onset),
      length: ticks(length),
      kind,
      string: stringNumber(string),
      fret: fret(kind === 'fretted' ? place : 0),
      start: kind === 'on' ? 'none' : w.start,
      path,
      grace,
      ring: w.ring,
      vibrato: (w.flags & 1) > 0,
      accent: (w.flags & 2) > 0,
      harmonic: kind === 'fretted' && harmonic,
      slideAway: (w.flags & 4) > 0,
      marks: w.marks,
    });
    const now = finalLevel(path, cents(level ?? 0));
    strings.set(string, { onset, until: onset + length, ring: w.ring, dead: kind === 'dead', level: now });
  };
  let cursor = at;
  for (const event of wish.events) {
    const gap = event.gap ?? 0;
    if (event.dampBefore !== null) damp(cursor + Math.floor(gap * event.dampBefore));
    const onset = cursor + gap;
    event.graces.forEach((group, i) => {
      for (const w of group) play(w, onset, 0, event.graces.length - i);
    });
    for (const w of event.notes) play(w, onset, w.own ?? event.length, 0);
    cursor = Math.max(...notes.map((n) => n.onset + n.length));
    if (event.dampInside !== null) damp(onset + Math.max(1, Math.floor((cursor - onset) * event.dampInside)));
    for (const text of event.said) remarks.push({ text, at: ticks(onset) });
  }
  const end = cursor + (wish.tail ?? 0);
  if (wish.dampAfter !== null) damp(cursor + Math.floor((end - cursor) * wish.dampAfter));
  return {
    id,
    name: wish.name,
    at: ticks(at),
    length: ticks(end - at),
    notes: notes.sort(compareNotes),
    damps: damps.map(ticks).sort((a, b) => a - b),
    remarks,
    ...(wish.heard !== null && { heard: wish.heard }),
  };
}

const ids = fc.uniqueArray(fc.oneof(fc.nat(99).map(String), fc.constantFrom('a', 'B-2', '1.x', 'x_y')), {
  minLength: 4,
  maxLength: 4,
});

/** Changes that reach to the last phrase, or near it: one that comes in far past them is a fault. */
function reaching(changes: Changes, opening: Opening, phrases: readonly Phrase[]): Changes {
  const last = phrases[phrases.length - 1];
  const chord = changes.bars[changes.bars.length - 1]?.[0];
  if (!last || !chord) return changes;
  const bar = barGrid(opening, changes.settings).place(last.at).bar.number;
  const missing = Math.max(0, bar - FAR_PAST - (changes.firstBar + changes.bars.length - 1));
  return {
    ...changes,
    bars: [...changes.bars, ...Array.from({ length: missing }, () => [{ ...chord, at: ticks(0) }])],
  };
}

/** Solos over any changes, of up to four phrases. */
export const solos: fc.Arbitrary<Solo> = fc
  .record({ opening: openings, guitar: guitars, title: names, player: names, tone: fc.oneof(fc.constant(''), names) })
  .chain(({ opening, guitar, ...head }) =>
    fc
      .record({
        changes: changesOver(opening),
        remarks: fc.array(texts, { maxLength: 2 }),
        ids,
        wishes: fc.array(phraseWishes, { maxLength: 4 }),
      })
      .map(({ changes, remarks, ids, wishes }) => {
        const phrases: Phrase[] = [];
        for (const [i, wish] of wishes.entries()) {
          const last = phrases[i - 1];
          phrases.push(phraseFrom(wish, ids[i]!, guitar, (last ? phraseEnd(last) : 0) + (wish.before ?? 0)));
        }
        return { ...head, ...opening, guitar, remarks, changes: reaching(changes, opening, phrases), phrases };
      }),
  );
