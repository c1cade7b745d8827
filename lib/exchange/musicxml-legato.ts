// The lines between notes (hammers, pulls, slides, slurs, vibrato, stretches that ring) made what they mean for the notes at their ends.

import type { PlacedMeasure, Raw } from './musicxml-line-note.js';
import type { LineEnd } from './musicxml-note.js';
import type { Reporter } from './musicxml-report.js';

/** Makes hammers, pulls, slides, slurs and vibrato lines what they mean for the notes at their ends. */
export function joinLines(notes: readonly Raw[], report: Reporter): void {
  const pending = { hammer: new Map<string, Raw>(), pull: new Map<string, Raw>(), slide: new Map<string, Raw>() };
  const slurs = new Map<string, Raw>();
  let wavy: Raw | undefined;
  for (const note of notes) {
    const { written } = note;
    if (written.tapped) note.start = 'tapped';
    for (const [what, ends] of [
      ['hammer', written.hammers],
      ['pull', written.pulls],
    ] as const)
      for (const end of stopsFirst(ends)) {
        const open = pending[what];
        if (end.type === 'stop') {
          note.start = what === 'hammer' ? 'hammered' : 'pulled';
          report.count(what === 'hammer' ? 'hammer-ons' : 'pull-offs');
          open.delete(end.number);
        } else open.set(end.number, note);
      }
    for (const end of stopsFirst(written.slides)) {
      if (end.type === 'start') {
        if (pending.slide.size > MOST_OPEN) pending.slide.clear();
        pending.slide.set(slideKey(end, note), note);
        continue;
      }
      const from =
        pending.slide.get(slideKey(end, note)) ??
        [...pending.slide].find(([key]) => key.startsWith(`${end.number}@`))?.[1];
      if (!from) report.say('approximated', 'slide', 'a slide from no note: read as a slide up', note.place);
      note.start = from && heightOf(from) > heightOf(note) ? 'slid down' : 'slid up';
      for (const [n, r] of pending.slide) if (r === from) pending.slide.delete(n);
      report.count('slides');
    }
    if (written.slideInto !== undefined) {
      note.start = written.slideInto === 'up' ? 'slid up' : 'slid down';
      report.count('slides');
    }
    for (const end of stopsFirst(written.slurs)) {
      const number = `${note.staff}/${end.number}`;
      const from = slurs.get(number);
      if (end.type === 'start') slurs.set(number, note);
      else if (from) {
        slurs.delete(number);
        report.count('slurs');
        slurred(notes, from, note, report);
      }
    }
    for (const type of written.wavy) {
      if (type === 'start') {
        wavy = note;
        note.vibrato = true;
      } else if (type === 'stop') {
        if (wavy && wavy !== note)
          for (const between of notes.slice(wavy.index + 1, note.index + 1))
            if (between.voice === note.voice) between.vibrato = true;
        wavy = undefined;
      } else note.vibrato = true;
    }
    if (note.vibrato) report.count('vibratos');
  }
  for (const [what, open] of [
    ['hammered', pending.hammer],
    ['pulled', pending.pull],
  ] as const)
    for (const from of open.values()) unclosed(notes, from, what, report);
  for (const from of pending.slide.values()) {
    const next = nextOn(notes, from);
    if (next && next.start === 'picked' && heightOf(next) !== heightOf(from)) {
      next.start = heightOf(from) > heightOf(next) ? 'slid down' : 'slid up';
      report.say('approximated', 'slide', 'a slide whose end is not written was led to the next note', from.place);
    } else {
      from.slideAway = true;
      report.say('approximated', 'slide', 'a slide to no note was read as a slide away', from.place);
    }
  }
}

/** Slides of one number can run on several strings at once. */
const slideKey = (end: LineEnd, note: Raw): string => `${end.number}@${note.string ?? ''}`;

/** More slides than this are not open at once. */
const MOST_OPEN = 64;

const stopsFirst = (ends: readonly LineEnd[]): readonly LineEnd[] =>
  [...ends].sort((a, b) => (a.type === b.type ? 0 : a.type === 'stop' ? -1 : 1));

/** Fret where both have one on the same string, else pitch. */
const heightOf = (note: Raw): number => note.key ?? note.fret ?? 0;

/** The note that follows another on its string (or in its voice, where there are no strings), right behind it. */
function nextOn(notes: readonly Raw[], from: Raw): Raw | undefined {
  for (let j = from.index + 1; j < notes.length && j < from.index + 12; j++) {
    const note = notes[j] as Raw;
    if (note.onset === from.onset && note.grace === from.grace) continue;
    if (from.string === undefined ? note.voice === from.voice : note.string === from.string) return note;
  }
  return undefined;
}

function unclosed(notes: readonly Raw[], from: Raw, what: 'hammered' | 'pulled', report: Reporter): void {
  const next = nextOn(notes, from);
  if (next?.start !== 'picked') return;
  next.start = what;
  report.say(
    'approximated',
    'legato',
    `a ${what === 'hammered' ? 'hammer-on' : 'pull-off'} whose end is not written was led to the next note`,
    from.place,
  );
}

/** A slur over more notes than this is no hammering and pulling. */
const LONGEST_LEGATO = 12;

/** A slur over notes of one string, each at another fret: the notes behind the first are hammered or pulled. */
function slurred(notes: readonly Raw[], from: Raw, to: Raw, report: Reporter): void {
  if (from.string === undefined || to.index - from.index > LONGEST_LEGATO) return;
  const within = notes.slice(from.index, to.index + 1).filter((n) => n.voice === from.voice);
  const touching = within.every((n, i) => {
    const before = within[i - 1];
    return !before || before.grace > 0 || before.onset + before.length === n.onset;
  });
  if (!touching || within.some((n) => n.string !== from.string || n.dead || n.goesOn)) return;
  within.forEach((note, i) => {
    const before = within[i - 1];
    if (!before || note.start !== 'picked' || note.fret === undefined || before.fret === undefined) return;
    if (note.fret === before.fret || note.pieces.some((p) => p.bends.length > 0)) return;
    note.start = note.fret > before.fret ? 'hammered' : 'pulled';
    report.say('approximated', 'slur', 'a slur on one string was read as hammered and pulled', note.place);
  });
}

/** Stretches marked "let ring" or "P.M.". */
export function stretches(measures: readonly PlacedMeasure[], notes: readonly Raw[]): void {
  const open = new Map<string, { readonly what: 'ring' | 'mute'; readonly from: number }>();
  const apply = (what: string, from: number, to: number): void => {
    for (let i = firstFrom(notes, from); i < notes.length; i++) {
      const note = notes[i] as Raw;
      if (note.onset >= to) break;
      if (what === 'ring') note.ring = true;
      else if (!note.marks.includes('mute')) note.marks.push('mute');
    }
  };
  for (const { measure, start } of measures)
    for (const { at, what, number } of measure.directions.stretches) {
      const here = Math.round(start + at);
      if (what === 'ring' || what === 'mute') open.set(number, { what, from: here });
      else if (what === 'end') {
        const begun = open.get(number);
        if (begun) apply(begun.what, begun.from, here + 1);
        open.delete(number);
      } else apply(what === 'ring here' ? 'ring' : 'mute', here, here + 1);
    }
}

/** Index of the first note that does not start before a tick. */
function firstFrom(notes: readonly Raw[], at: number): number {
  let low = 0;
  let high = notes.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((notes[middle] as Raw).onset < at) low = middle + 1;
    else high = middle;
  }
  return low;
}
