// Demands on the hands: shifts, stretches, skips, muting, strings at once, upper frets, legato, slides.
import { FINGER_GAP_MM, leastShiftMm, REACH_MM, spanMm } from '../guitar/fingering-hand.js';
import type { Item } from './difficulty-items.js';
import { LEAST_SECONDS, type PlayedEvent, type PlayedLine, type Stroke, soundTogether } from './difficulty-line.js';

/** The longest time between two notes that a move of the hand is looked for in, in seconds: for more there is no haste. */
const UNHURRIED = 3;
/** A move in mm a second that is not worth a word where there is another. */
const SLOW_MOVE = 100;
/** Below this time from note to note the hand is spread rather than moved. Common practice, no source. */
const NO_TIME_TO_MOVE = 0.25;
/** Four fingers at ease. */
const EASE_MM = 3 * FINGER_GAP_MM;
/** The last fret that every guitar lets a hand reach. Common practice, no source. */
const EASY_FRETS = 14;

const isSlide = ({ note }: Stroke): boolean => note.start === 'slid up' || note.start === 'slid down';
const isLegato = ({ note }: Stroke): boolean => note.start === 'hammered' || note.start === 'pulled';
const string = (n: number): string => `string ${n}`;

/** The move that a hand has to make between two notes, for every two that are near in time: whatever path it takes. */
export function shifts({ strokes, neck }: PlayedLine): Item[] {
  const items: Item[] = [];
  const pressed = strokes.filter((s) => s.pressed && s.isNew && s.note.grace === 0);
  pressed.forEach((b, j) => {
    for (let i = j - 1; i >= 0; i--) {
      const a = pressed[i] as Stroke;
      if (b.at === a.at) continue;
      const time = Math.max(LEAST_SECONDS, b.at - a.at);
      if (time > UNHURRIED) break;
      const mm = leastShiftMm(neck, a.fret, b.fret);
      if (mm === 0) continue;
      const eased = isSlide(b) && i === j - 1 ? 0.6 : 1; // the string leads the hand
      items.push({
        onset: b.onset,
        at: b.at,
        amount: (eased * mm) / time,
        value: mm / time,
        plain: mm / time < SLOW_MOVE ? 1 : 0,
        words: () => `move from fret ${a.fret} to fret ${b.fret} in ${time.toFixed(time < 1 ? 2 : 1)} s`,
      });
    }
  });
  return items;
}

/** The spread of two fingers that sound at once, or follow each other with no time to move. */
export function stretches({ strokes, neck }: PlayedLine): Item[] {
  const items: Item[] = [];
  const pressed = strokes.filter((s) => s.pressed && s.isNew);
  pressed.forEach((b, j) => {
    for (let i = j - 1; i >= 0; i--) {
      const a = pressed[i] as Stroke;
      const together = a.string !== b.string && soundTogether(a, b);
      if (!together && b.at - a.at > NO_TIME_TO_MOVE) {
        if (b.at - a.at > UNHURRIED * 2) break;
        continue;
      }
      if (a.string === b.string && isSlide(b)) continue;
      // What is too far for the fingers is stretched for as far as they go; the rest is a shift.
      const mm = together ? spanMm(neck, a.fret, b.fret) : Math.min(REACH_MM, spanMm(neck, a.fret, b.fret));
      if (mm <= EASE_MM) continue;
      items.push({
        onset: b.onset,
        at: b.at,
        amount: mm - EASE_MM,
        value: mm,
        words: () =>
          leastShiftMm(neck, a.fret, b.fret) > 0 && !together
            ? `leap from fret ${a.fret} to fret ${b.fret}`
            : `stretch from fret ${Math.min(a.fret, b.fret)} to fret ${Math.max(a.fret, b.fret)}, ${Math.round(mm)} mm`,
      });
    }
  });
  return items;
}

/** Strings jumped over from one event to the next. */
export function skips({ events }: PlayedLine): Item[] {
  return events.slice(1).flatMap((event, i): Item[] => {
    let least = Number.POSITIVE_INFINITY;
    let from = 0;
    let to = 0;
    for (const a of (events[i] as PlayedEvent).strokes)
      for (const b of event.strokes)
        if (Math.abs(a.string - b.string) < least) {
          least = Math.abs(a.string - b.string);
          from = a.string;
          to = b.string;
        }
    if (least < 2) return [];
    return [
      { onset: event.onset, at: event.at, amount: least - 1, words: () => `skip from string ${from} to string ${to}` },
    ];
  });
}

/** Strings that must not sound. Strings between two that are struck count whether or not they ring from before. */
export function mutedStrings({ events, strokes }: PlayedLine): Item[] {
  const items: Item[] = [];
  events.forEach(({ onset, at, strokes: struck }, i) => {
    const played = struck.map((s) => s.string);
    const gaps: number[] = [];
    for (let s = Math.min(...played) + 1; s < Math.max(...played); s++) if (!played.includes(s)) gaps.push(s);
    if (gaps.length > 0)
      items.push({
        onset,
        at,
        amount: Math.min(2, gaps.length),
        words: () => `keep ${gaps.map(string).join(' and ')} silent between the two that sound`,
      });
    const next = events[i + 1];
    if (!next) return;
    for (const { string: open, fret, note } of struck)
      if (fret === 0 && note.kind === 'fretted' && !note.ring && !next.strokes.some((s) => s.string === open))
        items.push({ onset: next.onset, at: next.at, amount: 0.5, words: () => `stop open string ${open}` });
  });
  for (const { acts, string: bent } of strokes)
    for (const { onset, at, kind, to } of acts)
      if (kind !== 'down' && to >= 150)
        items.push({ onset, at, amount: to / 800, words: () => `keep the strings beside bent string ${bent} silent` });
  return items;
}

/** Events of two strings and more; a grip that differs from that of the last such event counts once more. */
export function gripChanges({ events }: PlayedLine): Item[] {
  const items: Item[] = [];
  let last: string | undefined;
  for (const { onset, at, strokes } of events) {
    const sounding = strokes.filter((s) => s.isNew);
    if (sounding.length < 2) continue;
    const low = Math.min(...sounding.map((s) => s.fret));
    const grip = sounding.map((s) => `${s.fret - low}@${s.string}`).join('+');
    const amount = (sounding.length - 1) * 0.5 + (last !== undefined && last !== grip ? 0.5 : 0);
    last = grip;
    items.push({
      onset,
      at,
      amount,
      value: 1,
      words: () =>
        `play strings ${sounding
          .map((s) => s.string)
          .join(', ')
          .replace(/, (\d)$/, ' and $1')} together`,
    });
  }
  return items;
}

/** Frets where the body is in the way. */
export const upperFrets = ({ strokes, solo }: PlayedLine): Item[] =>
  strokes.flatMap((s): Item[] => {
    const fret = s.fret + solo.guitar.capo;
    if (!s.pressed || fret <= EASY_FRETS) return [];
    return [
      { onset: s.onset, at: s.at, amount: fret - EASY_FRETS, value: s.fret, words: () => `reach up to fret ${s.fret}` },
    ];
  });

const legatoWords = ({ note: { start }, string, fret }: Stroke): string =>
  start === 'pulled'
    ? `pull off to ${fret}@${string}, as loud as the picked notes`
    : start === 'hammered'
      ? `hammer on to ${fret}@${string}, as loud as the picked notes`
      : `slide into ${fret}@${string}`;

/** Runs from one pick: at each note how many there have been. */
export function legatoRuns({ events }: PlayedLine): Item[] {
  let run = 0;
  return events.flatMap(({ onset, at, strokes }): Item[] => {
    const first = strokes.find((s) => isLegato(s) || isSlide(s));
    run = first ? run + 1 : 0;
    const n = run;
    if (n === 0) return [];
    return [
      {
        onset,
        at,
        amount: n,
        words: () => (n === 1 && first ? legatoWords(first) : `sound ${n} notes in a row without the pick`),
      },
    ];
  });
}

/** Slides into a note, by how far they go, and away from one. */
export function slides({ strokes, neck }: PlayedLine): Item[] {
  const items: Item[] = [];
  const last = new Map<number, Stroke>();
  for (const s of strokes) {
    const before = last.get(s.string);
    if (isSlide(s)) {
      const mm = before?.pressed && s.pressed ? spanMm(neck, before.fret, s.fret) : 0;
      items.push({
        onset: s.onset,
        at: s.at,
        amount: 0.5 + mm / 100,
        value: 1,
        words: () => (mm > 0 ? `slide from fret ${before?.fret} to fret ${s.fret}` : `slide into fret ${s.fret}`),
      });
    }
    if (s.note.slideAway)
      items.push({ onset: s.onset, at: s.at, amount: 0.3, value: 1, words: () => `slide away from fret ${s.fret}` });
    if (s.isNew) last.set(s.string, s);
  }
  return items;
}
