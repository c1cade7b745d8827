// Melody -> Solo: where its notes lie on a neck, where its phrases begin and what key it is in, as far as the melody does not say. All of it is proposed, and said.

import type { LineNote } from '../analysis/boundary-cues.js';
import { findKey } from '../analysis/key-finding.js';
import { type Boundary, boundariesOf } from '../analysis/segmentation.js';
import { fret, midiKey, stringNumber, ticks } from '../foundation/units.js';
import { peakLevel } from '../guitar/bend.js';
import { type PitchEvent, type PlacingOptions, placeLine } from '../guitar/fingering.js';
import { type Guitar, openKey, type Position, pitchAt, STANDARD_GUITAR } from '../guitar/fretboard.js';
import { countAt, secondsOf } from '../solo/changes.js';
import { type Melody, type MelodyNote, type MelodyPhrase, onTheNeck } from '../solo/melody.js';
import { unplayable } from '../solo/playability.js';
import { EMPTY_SOLO, gridOf, type Phrase, type Solo } from '../solo/solo.js';
import { isChord, parseChord } from '../theory/chord.js';
import { type Key, keyText, parseKey } from '../theory/scale.js';

/** How a melody becomes a solo. */
export interface ProposalOptions extends Pick<PlacingOptions, 'position' | 'openStrings'> {
  /** The guitar to place it on. Default: six strings in standard tuning. */
  readonly guitar?: Guitar;
  /** False if the source names no key, so that one is proposed. Default true. */
  readonly hasKey?: boolean;
}

/**
 * Unless a position is wished for, a gentle pull down the neck, where frets are wider but hands are at home: else the cheapest path lies high up, where all is near. Of these and 27 other settings
 * these put most notes of the demo solos where they are written (66 of 100).
 */
const LOW_NECK = { position: 3, positionCost: 0.06 } as const;

/** What was proposed of a solo, so that nobody takes it for the player's own. */
export interface Proposals {
  /** Strings and frets are proposed. */
  readonly positions: boolean;
  /** The beginnings of phrases that are proposed; `undefined` if the source marks its phrases. */
  readonly phrases: readonly Boundary[] | undefined;
  /** The key is proposed. */
  readonly key: boolean;
  /** Everything that was proposed, moved or left out, in words. */
  readonly said: readonly string[];
}

/** A solo made of a melody. */
export interface Proposed {
  readonly solo: Solo;
  readonly proposals: Proposals;
}

/**
 * Makes a solo of a melody: strings and frets by the cheapest path of the hand ({@link placeLine}), the beginnings of phrases ({@link boundariesOf}) where the melody is all one phrase,
 * a key ({@link findKey}) where the source names none. Out of the guitar's range it is moved by octaves as a whole; what no hand can play at once keeps its top notes. `undefined` if no note
 * of it lies on the guitar. Correct it by writing it out as solo text.
 * @example
 * const note = (onset, key) => ({ ...parseSoloOrThrow(EXAMPLE_SOLO).phrases[0].notes[0], onset: ticks(onset), length: ticks(20160), key: midiKey(key) })
 * const { guitar, phrases, ...head } = parseSoloOrThrow(EXAMPLE_SOLO)
 * const notes = [60, 64, 67].map((key, i) => note(80640 + i * 20160, key))
 * const melody = { ...head, phrases: [{ ...phrases[0], at: ticks(80640), length: ticks(60480), notes }] }
 * proposeSolo(melody)?.solo.phrases[0].notes.map((n) => `${n.fret}@${n.string}`) // => ['5@3', '0@1', '3@1']
 */
export function proposeSolo(melody: Melody, options: ProposalOptions = {}): Proposed | undefined {
  const { guitar = STANDARD_GUITAR, hasKey = true, openStrings = 'allow' } = options;
  const pull = options.position === undefined ? LOW_NECK : { position: options.position };
  const said: string[] = [];
  const inReach = reached(melody, guitar, said);
  if (!inReach) return undefined;
  const key = hasKey ? undefined : proposedKey(inReach, said);
  const { phrases: parts, found } = phrased({ ...inReach, ...(key && { key }) }, said);
  const grid = gridOf({ ...EMPTY_SOLO, ...inReach, guitar, phrases: [] });
  const counts = { dropped: 0, unbent: 0, picked: 0 };
  const placed: MelodyPhrase[] = [];
  const places: (readonly Position[])[] = [];
  const low = { fret: Number.POSITIVE_INFINITY, most: 0 };
  for (const part of parts) {
    const { phrase, positions } = place(
      part,
      guitar,
      (at) => grid.place(ticks(at)).bar.tempo,
      { ...pull, openStrings },
      counts,
    );
    placed.push(phrase);
    places.push(positions);
    for (const p of positions)
      if (p.fret > 0) {
        low.fret = Math.min(low.fret, p.fret);
        low.most = Math.max(low.most, p.fret);
      }
  }
  const solo = onTheNeck({ ...inReach, ...(key && { key }), phrases: placed }, guitar, places);
  if (!solo) return undefined;
  const range = low.fret === Number.POSITIVE_INFINITY ? 'on open strings' : `at frets ${low.fret} to ${low.most}`;
  said.unshift(`strings and frets are proposed (${range}): the source says pitches only`);
  const { solo: mended, mends } = playable(solo);
  if (counts.dropped > 0)
    said.push(
      `${many(counts.dropped, 'note')} that no hand can play with the others ${counts.dropped === 1 ? 'was' : 'were'} left out`,
    );
  if (counts.unbent > 0)
    said.push(
      `${many(counts.unbent, 'bend')} on what is an open string only ${counts.unbent === 1 ? 'was' : 'were'} left out`,
    );
  if (mends > 0)
    said.push(
      `${many(mends, 'hammer-on, pull-off or slide', 'hammer-ons, pull-offs and slides')} from another string ${mends === 1 ? 'was' : 'were'} made picked`,
    );
  return { solo: mended, proposals: { positions: true, phrases: found, key: key !== undefined, said } };
}

const many = (n: number, one: string, more = `${one}s`): string => `${n} ${n === 1 ? one : more}`;

/** The melody within the range of a guitar, moved by octaves as a whole if need be, without what still lies outside. */
function reached(melody: Melody, guitar: Guitar, said: string[]): Melody | undefined {
  const keys = melody.phrases.flatMap((p) => p.notes.map((n) => n.key as number));
  if (keys.length === 0) return undefined;
  const opens = guitar.tuning.map((key) => key + guitar.capo);
  const lowest = Math.min(...opens);
  const highest = Math.max(...opens) + guitar.frets - guitar.capo;
  const outside = (by: number): number =>
    keys.reduce((n, key) => n + (key + by < lowest || key + by > highest ? 1 : 0), 0);
  const moves = [0, -12, 12, -24, 24, -36, 36, -48, 48];
  const by = moves.reduce((best, move) => (outside(move) < outside(best) ? move : best), 0);
  if (outside(by) === keys.length) return undefined;
  if (by !== 0)
    said.push(`moved ${by > 0 ? 'up' : 'down'} ${many(Math.abs(by) / 12, 'octave')}, into the range of the guitar`);
  if (outside(by) > 0)
    said.push(
      `${many(outside(by), 'note')} outside the range of the guitar ${outside(by) === 1 ? 'was' : 'were'} left out`,
    );
  const phrases = melody.phrases.flatMap((p): MelodyPhrase[] => {
    const notes = p.notes.flatMap((n): MelodyNote[] =>
      n.key + by < lowest || n.key + by > highest ? [] : [{ ...n, key: midiKey(n.key + by) }],
    );
    const mains = new Set(notes.filter((n) => n.grace === 0).map((n) => n.onset));
    const kept = notes.filter((n) => n.grace === 0 || mains.has(n.onset));
    return kept.length === 0 ? [] : [{ ...p, notes: kept }];
  });
  return phrases.length === 0 ? undefined : { ...melody, phrases };
}

/** The key by profiles; its mode by the chord on its tonic where there are chords. */
function proposedKey(melody: Melody, said: string[]): Key | undefined {
  const tones = melody.phrases.flatMap((p) =>
    p.notes
      .filter((n) => n.grace === 0)
      .map((n) => ({ pitch: n.key * 100 + peakLevel(n.path), weight: n.length as number })),
  );
  const found = findKey(tones);
  if (!found.isClear) {
    said.push(`no key is named, and none is proposed (${found.reason}): it stands as ${keyText(melody.key)}`);
    return undefined;
  }
  const key = withMode(found.key, melody);
  said.push(
    `the key is proposed: ${keyText(key)} (fit ${found.fit.toFixed(2)}; next ${keyText(found.next.key)}, ${found.next.fit.toFixed(2)})`,
  );
  return key;
}

/** A minor melody over a major chord on its tonic is in no minor key: with a seventh on that chord it is mixolydian, as a blues. */
function withMode(key: Key, { changes }: Melody): Key {
  const qualities = new Map<string, number>();
  for (const { symbol } of changes.bars.flat()) {
    const chord = parseChord(symbol);
    if (isChord(chord) && chord.root === key.tonic)
      qualities.set(chord.quality, (qualities.get(chord.quality) ?? 0) + 1);
  }
  const [most] = [...qualities].sort((a, b) => b[1] - a[1]);
  const mode =
    most === undefined
      ? undefined
      : most[0] === 'dominant'
        ? 'mixolydian'
        : most[0] === 'minor'
          ? 'minor'
          : most[0] === 'major'
            ? 'major'
            : undefined;
  if (mode === undefined || (mode === 'minor' && key.mode === 'minor') || (mode === 'major' && key.mode === 'major'))
    return key;
  const better = parseKey(`${key.tonicName} ${mode}`);
  return 'names' in better ? better : key;
}

/** The phrases of a melody: as its source marks them, else proposed. */
function phrased(
  melody: Melody,
  said: string[],
): { readonly phrases: readonly MelodyPhrase[]; readonly found: readonly Boundary[] | undefined } {
  const [only] = melody.phrases;
  if (!only || melody.phrases.length > 1) return { phrases: melody.phrases, found: undefined };
  const found = boundariesOf(lineOfMelody(only.notes));
  if (found.length === 0) {
    said.push('no beginnings of phrases were found: it is all one phrase');
    return { phrases: [only], found };
  }
  const grid = gridOf({ ...EMPTY_SOLO, ...melody, guitar: STANDARD_GUITAR, phrases: [] });
  const weakest = found.reduce((low, b) => (b.strength < low.strength ? b : low));
  const place = grid.place(ticks(weakest.onset));
  said.push(
    `${many(found.length + 1, 'phrase')} are proposed; the least sure begins at bar ${place.bar.number} beat ${countAt(place)} (${Math.min(0.99, weakest.strength).toFixed(2)}${weakest.reasons[0] ? `: ${weakest.reasons[0]}` : ''})`,
  );
  const starts = [only.at as number, ...found.map((b) => b.onset)];
  const end = only.at + only.length;
  const phrases = starts.map((at, i): MelodyPhrase => {
    const until = starts[i + 1] ?? end;
    const notes = only.notes.filter((n) => n.onset >= at && n.onset < until);
    const last = notes.reduce((most, n) => Math.max(most, n.onset + n.length), at + 1);
    return {
      id: String(i + 1),
      name: '',
      at: ticks(at),
      length: ticks(Math.min(i + 1 < starts.length ? Math.min(last, until) : end, until) - at),
      notes,
      damps: only.damps.filter((d) => d >= at && d < Math.min(last, until)),
      remarks: only.remarks.filter((r) => (r.at === undefined ? i === 0 : r.at >= at && r.at < until)),
    };
  });
  return { phrases, found };
}

/**
 * The top notes of a melody as a line, for {@link boundariesOf}: each ends where the next begins, at the latest.
 * @example
 * const [note] = parseSoloOrThrow(EXAMPLE_SOLO).phrases[0].notes
 * const notes = [60, 64].map((key) => ({ ...note, key: midiKey(key) }))
 * lineOfMelody(notes).map((n) => n.pitch) // => [6400]
 */
export function lineOfMelody(notes: readonly MelodyNote[]): readonly LineNote[] {
  const top = new Map<number, LineNote>();
  for (const { onset, length, key, grace } of notes) {
    if (grace > 0) continue;
    const known = top.get(onset);
    if (!known || known.pitch < key * 100) top.set(onset, { onset, end: onset + length, pitch: key * 100 });
  }
  const line = [...top.values()].sort((a, b) => a.onset - b.onset);
  return line.map((n, i) => ({ ...n, end: Math.min(n.end, line[i + 1]?.onset ?? n.end) }));
}

/** Places the notes of a phrase; notes that cannot be played with the others at their onset are dropped from the lowest up. */
function place(
  phrase: MelodyPhrase,
  guitar: Guitar,
  tempoAt: (at: number) => number,
  options: PlacingOptions,
  counts: { dropped: number; unbent: number },
): { readonly phrase: MelodyPhrase; readonly positions: readonly Position[] } {
  const groups: { readonly at: number; readonly notes: MelodyNote[] }[] = [];
  let seconds = 0;
  let since: number = phrase.at;
  for (const note of phrase.notes) {
    const last = groups[groups.length - 1];
    const before = last?.notes[0];
    if (last && before && before.onset === note.onset && before.grace === note.grace) last.notes.push(note);
    else {
      seconds +=
        secondsOf(note.onset - since, tempoAt(note.onset)) + (before && before.onset === note.onset ? 0.07 : 0);
      since = note.onset;
      groups.push({ at: seconds, notes: [note] });
    }
  }
  const kept = groups.map(({ at, notes }) => ({ at, notes: playableTogether(notes, guitar, counts) }));
  const line = kept.map(
    ({ at, notes }): PitchEvent => ({
      at,
      pitches: notes.map((n) => ({ key: n.key, ...(peakLevel(n.path) > 0 && { bend: peakLevel(n.path) }) })),
    }),
  );
  const { steps } = placeLine(line, { ...options, guitar });
  const notes: MelodyNote[] = [];
  const positions: Position[] = [];
  kept.forEach((group, g) => {
    const free = [...(steps[g]?.notes ?? [])];
    for (const note of group.notes) {
      const i = free.findIndex((p) => (openKey(guitar, p.string) as number) + p.fret === note.key);
      const [at] = i < 0 ? [] : free.splice(i, 1);
      if (!at) continue;
      notes.push(note);
      positions.push({ string: at.string, fret: at.fret });
    }
  });
  return { phrase: { ...phrase, notes }, positions };
}

/** Of notes at once as many as there are strings for, from the top down; a bend that could only be on an open string is left out. */
function playableTogether(
  notes: readonly MelodyNote[],
  guitar: Guitar,
  counts: { dropped: number; unbent: number },
): readonly MelodyNote[] {
  const bendable = notes.map((note) => {
    if (peakLevel(note.path) === 0 || stringsFor(note, guitar, true).length > 0) return note;
    counts.unbent++;
    return { ...note, path: [] };
  });
  const chosen: MelodyNote[] = [];
  for (const note of [...bendable].sort((a, b) => b.key - a.key)) {
    if (chosen.length < guitar.tuning.length && fits([...chosen, note], guitar)) chosen.push(note);
    else counts.dropped++;
  }
  return chosen;
}

/** Frets that one hand spans at most with notes at once, open strings left out. */
const WIDEST = 5;

const stringsFor = (note: MelodyNote, guitar: Guitar, fretted: boolean): readonly Position[] =>
  guitar.tuning.flatMap((_, i): Position[] => {
    const string = stringNumber(i + 1);
    const at = note.key - (openKey(guitar, string) as number);
    return at >= (fretted ? 1 : 0) && pitchAt(guitar, string, fret(Math.max(0, at))) === note.key
      ? [{ string, fret: fret(at) }]
      : [];
  });

/** True if the notes can lie on strings of their own within one hand. */
function fits(notes: readonly MelodyNote[], guitar: Guitar): boolean {
  const ways = notes.map((n) => stringsFor(n, guitar, peakLevel(n.path) > 0));
  const choose = (k: number, used: ReadonlySet<number>, low: number, high: number): boolean => {
    if (k === ways.length) return true;
    return (ways[k] as readonly Position[]).some((p) => {
      if (used.has(p.string)) return false;
      const [from, to] = p.fret === 0 ? [low, high] : [Math.min(low, p.fret), Math.max(high, p.fret)];
      return to - from < WIDEST && choose(k + 1, new Set([...used, p.string]), from, to);
    });
  };
  return choose(0, new Set(), Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
}

/** A solo without what no hand can play as it was placed: what is slurred from another string is picked. */
function playable(solo: Solo): { readonly solo: Solo; readonly mends: number } {
  let mends = 0;
  const phrases: Phrase[] = [];
  for (const phrase of solo.phrases) {
    let now = phrase;
    for (let round = 0; round < 3; round++) {
      const faults = unplayable(now, solo.guitar, phrases[phrases.length - 1]).filter((u) => u.severity === 'fault');
      if (faults.length === 0) break;
      const wrong = new Set(faults.map((f) => f.note));
      now = {
        ...now,
        notes: now.notes.flatMap((note, i) => {
          if (!wrong.has(i)) return [note];
          mends++;
          return round < 2 ? [{ ...note, start: 'picked' as const, path: round === 1 ? [] : note.path }] : [];
        }),
      };
    }
    if (now.notes.length > 0) phrases.push(now);
  }
  return { solo: { ...solo, phrases }, mends };
}
