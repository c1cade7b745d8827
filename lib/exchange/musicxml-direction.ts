// Directions in a measure: tempo, swing, rehearsal marks, words, jumps, and stretches that ring or are muted.

import type { Feel } from '../solo/changes.js';
import { NOTE_VALUES } from './musicxml-attributes.js';
import { LABEL_ID } from './musicxml-note.js';
import type { Reporter, ScorePlace } from './musicxml-report.js';
import { child, children, numberIn, numberOf, textOf, type XmlNode } from './musicxml-xml.js';

/** A text at a time of its measure. */
export interface TextAt {
  readonly at: number;
  readonly text: string;
  readonly place: ScorePlace;
}

/** The end of a stretch (dashes) at a time of its measure. */
export interface StretchEnd {
  readonly at: number;
  readonly what: 'ring' | 'mute' | 'end' | 'ring here' | 'mute here';
  readonly number: string;
}

/** Where a player jumps: back to the start, back to the sign, to the coda, or stops. */
export interface Jumps {
  segno: boolean;
  coda: boolean;
  fine: boolean;
  toCoda: boolean;
  back: 'start' | 'sign' | undefined;
  /** After the jump back: play to the coda, or to Fine. */
  until: 'coda' | 'fine' | undefined;
}

/** What the directions of a measure say. */
export interface Directions {
  readonly tempos: { readonly at: number; readonly tempo: number; readonly place?: ScorePlace }[];
  readonly rehearsals: TextAt[];
  readonly words: TextAt[];
  readonly stretches: StretchEnd[];
  readonly jumps: Jumps;
  feel: Feel | undefined;
}

export const directions = (): Directions => ({
  tempos: [],
  rehearsals: [],
  words: [],
  stretches: [],
  jumps: { segno: false, coda: false, fine: false, toCoda: false, back: undefined, until: undefined },
  feel: undefined,
});

/** Reads a direction element. A tempo in `sound` rules over a metronome mark beside it. */
export function readDirection(node: XmlNode, at: number, into: Directions, place: ScorePlace, report: Reporter): void {
  const sound = child(node, 'sound');
  const tempos = into.tempos.length;
  if (sound) readSound(sound, at, into);
  const heard = into.tempos.length > tempos;
  let pending: 'ring' | 'mute' | undefined;
  for (const type of children(node, 'direction-type'))
    for (const what of type.children) {
      switch (what.name) {
        case 'metronome': {
          const tempo = metronome(what);
          if (tempo !== undefined && !heard) into.tempos.push({ at, tempo, place });
          else if (tempo === undefined && !heard)
            report.say('dropped', 'metronome', 'a metronome mark without a number', place, { quiet: true });
          break;
        }
        case 'rehearsal':
          if (what.text.trim() !== '' && !what.attributes.id?.startsWith(LABEL_ID))
            into.rehearsals.push({ at, text: what.text.trim(), place });
          break;
        case 'words': {
          if (what.attributes.id?.startsWith(LABEL_ID)) break;
          const text = what.text.replace(/\s+/g, ' ').trim();
          const stretch = /^let\s*ring/i.test(text) ? 'ring' : /^(p\.?\s?m\b|palm)/i.test(text) ? 'mute' : undefined;
          if (stretch) pending = stretch;
          else if (!jumpWords(text, into.jumps) && text !== '') into.words.push({ at, text, place });
          break;
        }
        case 'dashes':
        case 'bracket': {
          const { type: end, number = '1' } = what.attributes;
          if (end === 'start' && pending) {
            into.stretches.push({ at, what: pending, number });
            pending = undefined;
          } else if (end === 'stop') into.stretches.push({ at, what: 'end', number });
          break;
        }
        case 'segno':
          into.jumps.segno = true;
          break;
        case 'coda':
          into.jumps.coda = true;
          break;
        default:
          report.say('dropped', 'direction', `"${what.name}" is not kept`, place, { quiet: true });
      }
    }
  if (pending) into.stretches.push({ at, what: pending === 'ring' ? 'ring here' : 'mute here', number: '' });
}

/** What the words of a jump mean; true if they mean one. */
function jumpWords(text: string, jumps: Jumps): boolean {
  const back = /^(d\.\s?[cs]\.|da capo|dal segno|d[cs]\b)/i.exec(text);
  if (back) {
    jumps.back ??= /^(d\.\s?s|dal|ds)/i.test(text) ? 'sign' : 'start';
    if (/al\s+fine/i.test(text)) jumps.until = 'fine';
    else if (/al(la)?\s+coda/i.test(text)) jumps.until = 'coda';
    return true;
  }
  if (/^fine$/i.test(text)) jumps.fine = true;
  else if (/^to coda/i.test(text)) jumps.toCoda = true;
  else return false;
  return true;
}

/** Reads a sound element: tempo, swing, jumps. */
export function readSound(node: XmlNode, at: number, into: Directions): void {
  const { tempo, dacapo, dalsegno, segno, coda, tocoda, fine } = node.attributes;
  const bpm = numberIn(tempo);
  if (bpm !== undefined && bpm > 0) into.tempos.push({ at, tempo: bpm });
  const { jumps } = into;
  if (dacapo === 'yes') jumps.back = 'start';
  if (dalsegno !== undefined) jumps.back = 'sign';
  if (segno !== undefined) jumps.segno = true;
  if (coda !== undefined) jumps.coda = true;
  if (tocoda !== undefined) jumps.toCoda = true;
  if (fine !== undefined) jumps.fine = true;
  const swing = child(node, 'swing');
  if (!swing) return;
  const long = numberOf(swing, 'first') ?? 1;
  const short = numberOf(swing, 'second') ?? 1;
  const value = textOf(swing, 'swing-type') === '16th' ? 's' : 'e';
  const ratio = Math.round((long / short) * 100) / 100;
  if (child(swing, 'straight') || !(ratio > 0 && ratio < 100)) into.feel = { kind: 'straight' };
  else if (long < 100 && short < 100) into.feel = { kind: 'swing', value, long, short };
  else into.feel = { kind: 'swing', value, long: ratio, short: 1 };
}

/** Quarter notes a minute of a metronome mark: "quarter. = 60", "c. 120", "100-108" (the first number). */
function metronome(node: XmlNode): number | undefined {
  const unit = NOTE_VALUES[textOf(node, 'beat-unit')];
  const number = /\d+(\.\d+)?/.exec(textOf(node, 'per-minute'))?.[0];
  if (unit === undefined || number === undefined || number.length > 8) return undefined;
  const tempo = Number(number) * unit * (2 - 2 ** -children(node, 'beat-unit-dot').length);
  return tempo > 0 ? tempo : undefined;
}
