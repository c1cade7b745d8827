// Scores for tests, put together from short words: the way notation programs write them, in the parts that matter.

/** An element with a text or other elements inside. */
export const el = (name: string, ...inside: readonly string[]): string =>
  `<${name}>${inside.join('')}</${name.split(' ')[0]}>`;

/** The pitch of a name such as `Bb3`. */
export function pitch(name: string): string {
  const [, step, sign, octave] = /^([A-G])(b{0,2}|#{0,2})(\d)$/.exec(name) as unknown as [
    string,
    string,
    string,
    string,
  ];
  const alter = sign.startsWith('b') ? -sign.length : sign.length;
  return el('pitch', el('step', step), alter === 0 ? '' : el('alter', String(alter)), el('octave', octave));
}

/** What may be said of a note. */
export interface NoteSaid {
  /** Elements before the pitch: `<chord/>`, `<grace/>`. */
  readonly before?: string;
  /** Elements right behind the duration: ties. */
  readonly ties?: string;
  readonly voice?: string;
  readonly staff?: number;
  readonly notehead?: string;
  readonly notations?: string;
  readonly technical?: string;
  readonly attributes?: string;
  /** String and fret, as `3/7`. */
  readonly at?: string;
}

/** A note of a name and a duration in divisions; `-` is a rest, no duration a grace note. */
export function note(name: string, duration: number | undefined, said: NoteSaid = {}): string {
  const place =
    said.at === undefined
      ? ''
      : el('string', said.at.split('/')[0] as string) + el('fret', said.at.split('/')[1] as string);
  const technical = place + (said.technical ?? '');
  const notations = (said.notations ?? '') + (technical === '' ? '' : el('technical', technical));
  return `<note${said.attributes ?? ''}>${[
    duration === undefined ? (said.before ?? '<grace/>') : (said.before ?? ''),
    name === '-' ? '<rest/>' : pitch(name),
    duration === undefined ? '' : el('duration', String(duration)),
    said.ties ?? '',
    said.voice === undefined ? '' : el('voice', said.voice),
    said.notehead === undefined ? '' : said.notehead,
    said.staff === undefined ? '' : el('staff', String(said.staff)),
    notations === '' ? '' : el('notations', notations),
  ].join('')}</note>`;
}

export const backup = (duration: number): string => el('backup', el('duration', String(duration)));
export const forward = (duration: number): string => el('forward', el('duration', String(duration)));

/** Attributes: divisions, fifths, meter, and more. */
export const attributes = (divisions: number, fifths = 0, meter = '4/4', more = ''): string =>
  el(
    'attributes',
    el('divisions', String(divisions)),
    el('key', el('fifths', String(fifths)), el('mode', 'major')),
    el('time', el('beats', meter.split('/')[0] as string), el('beat-type', meter.split('/')[1] as string)),
    more,
  );

/** A chord symbol: its root, kind, and more elements. */
export const harmony = (root: string, kind: string, more = ''): string =>
  el(
    'harmony',
    el(
      'root',
      el('root-step', root[0] as string),
      root.length > 1 ? el('root-alter', root[1] === 'b' ? '-1' : '1') : '',
    ),
    el('kind', kind),
    more,
  );

export const measure = (number: number | string, ...inside: readonly string[]): string =>
  `<measure number="${number}">${inside.join('')}</measure>`;

export const tempo = (bpm: number): string => `<sound tempo="${bpm}"/>`;

/** A part of a score: its name and its measures. */
export interface PartSaid {
  readonly name: string;
  readonly measures: readonly string[];
}

/** A whole score of one part or more. */
export function score(parts: readonly PartSaid[] | readonly string[], head = ''): string {
  const all =
    typeof parts[0] === 'string'
      ? [{ name: 'Lead', measures: parts as readonly string[] }]
      : (parts as readonly PartSaid[]);
  const list = all.map((p, i) => `<score-part id="P${i + 1}">${el('part-name', p.name)}</score-part>`).join('');
  const bodies = all.map((p, i) => `<part id="P${i + 1}">${p.measures.join('')}</part>`).join('');
  return `<?xml version="1.0" encoding="UTF-8"?>\n<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 3.1 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n<score-partwise version="3.1">${head}${el('part-list', list)}${bodies}</score-partwise>`;
}
