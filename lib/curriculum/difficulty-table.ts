// What makes a phrase hard: the features, what one full demand of each is, and how much it weighs. A plain table, to be replaced by a teacher's own.

/** How the demands of single moments become one number of a phrase. */
export type Gathering =
  /** The greatest of them. */
  | { readonly kind: 'most' }
  /** Their sum over the whole phrase. */
  | { readonly kind: 'sum' }
  /** The greatest sum within so many seconds, or so many quarter notes. */
  | { readonly kind: 'within'; readonly seconds: number }
  | { readonly kind: 'within'; readonly quarters: number };

/** One feature of difficulty. */
export interface FeatureRow {
  readonly name: string;
  /** What it is to a player. */
  readonly meaning: string;
  /** Unit of the value that is shown. */
  readonly unit: string;
  readonly gather: Gathering;
  /** What is gathered counts as one full demand at this much: about what a player of some years has to practise. */
  readonly full: number;
  /** What is gathered, over `full`, is raised to this: above 1 it hurts more the more there is, below 1 each further one adds less. */
  readonly power: number;
  /** Points of one full demand. */
  readonly weight: number;
  readonly why: string;
}

const most = { kind: 'most' } as const;
const sum = { kind: 'sum' } as const;
const seconds = (n: number) => ({ kind: 'within', seconds: n }) as const;
const quarters = (n: number) => ({ kind: 'within', quarters: n }) as const;

/**
 * The features in a fixed order. `full`, `power` and `weight` are this project's, set by hand as a guitar teacher might (common practice, no source): no published table
 * of weights for solo guitar was found. They claim an order, not a grade.
 */
export const FEATURES = [
  {
    name: 'speed',
    unit: 'notes a second',
    gather: seconds(1),
    full: 8,
    power: 1.6,
    weight: 2.8,
    meaning: 'the most notes in a second',
    why: 'sixteenths at 120 are 8 a second, where fingers have to be trained; below 100 ms from note to note it grows steeply',
  },
  {
    name: 'pace',
    unit: 'notes a second',
    gather: seconds(4),
    full: 5,
    power: 1.6,
    weight: 2,
    meaning: 'the most notes a second that are kept up for four seconds',
    why: 'a line of eighths at 150: no long note to recover on, or to think ahead in',
  },
  {
    name: 'shift',
    unit: 'mm a second',
    gather: most,
    full: 300,
    power: 1,
    weight: 1.8,
    meaning: 'the fastest move of the hand along the neck, beyond its reach',
    why: 'five frets up in the time of an eighth at 120',
  },
  {
    name: 'stretch',
    unit: 'mm',
    gather: most,
    full: 30,
    power: 1,
    weight: 1.2,
    meaning: 'the widest spread of the fingers that there is no time to move for',
    why: 'counted beyond a finger a fret around the fifth fret (78 mm); four frets at the nut (97 mm) are felt, five (126 mm) are much',
  },
  {
    name: 'skips',
    unit: 'strings skipped',
    gather: seconds(2),
    full: 3,
    power: 0.8,
    weight: 1,
    meaning: 'strings jumped over from note to note, in two seconds',
    why: 'the pick has to find a string that it does not lie at',
  },
  {
    name: 'bends',
    unit: 'whole steps',
    gather: seconds(4),
    full: 2,
    power: 0.8,
    weight: 2,
    meaning: 'bends by their size, in four seconds',
    why: 'a bend is checked by ear alone; two whole steps a bar are work for hand and ear; a curl is a colour',
  },
  {
    name: 'bending finger',
    unit: 'finger',
    gather: most,
    full: 1,
    power: 1,
    weight: 1,
    meaning: 'a bend for which the third finger is not free',
    why: 'the third is pushed by those behind it, the first has no help',
  },
  {
    name: 'bending place',
    unit: 'times the force at fret 12',
    gather: most,
    full: 1,
    power: 1,
    weight: 1,
    meaning: 'a bend near the nut, or on a low string',
    why: 'near the nut a string is stiff to push; low strings are heavy',
  },
  {
    name: 'exactness',
    unit: 'moments',
    gather: seconds(4),
    full: 1,
    power: 0.7,
    weight: 1.1,
    meaning:
      'bends whose pitch is set before it is heard, held, or beside the same pitch: pre-bends, bends picked again, unisons',
    why: 'nothing of the pitch can be mended on the way',
  },
  {
    name: 'held bend',
    unit: 'beats',
    gather: most,
    full: 2,
    power: 0.5,
    weight: 2.4,
    meaning: 'a bend held while other strings sound',
    why: 'one finger keeps its force and pitch while the others move',
  },
  {
    name: 'release',
    unit: 'moments',
    gather: seconds(4),
    full: 1,
    power: 0.7,
    weight: 0.8,
    meaning: 'bends let down, at a written moment above all',
    why: 'letting down in time and in tune is learned after bending up',
  },
  {
    name: 'vibrato on a bend',
    unit: 'whole steps',
    gather: seconds(4),
    full: 1,
    power: 0.7,
    weight: 0.9,
    meaning: 'vibrato on a bent string',
    why: 'the bend is let down and brought back to its pitch again and again',
  },
  {
    name: 'muting',
    unit: 'strings',
    gather: seconds(2),
    full: 2,
    power: 0.7,
    weight: 0.7,
    meaning: 'strings that must not sound: between two that are played, open ones left behind, beside a bend',
    why: 'both hands damp what the pick or the bend touches',
  },
  {
    name: 'strings at once',
    unit: 'grips',
    gather: seconds(2),
    full: 3,
    power: 0.8,
    weight: 1.3,
    meaning: 'double-stops and chords, and changes between them',
    why: 'two fingers land together',
  },
  {
    name: 'upper frets',
    unit: 'fret',
    gather: most,
    full: 6,
    power: 1,
    weight: 0.7,
    meaning: 'frets above the fourteenth',
    why: 'the body is in the way and the frets are narrow',
  },
  {
    name: 'picking across strings',
    unit: 'crossings a second',
    gather: seconds(1),
    full: 6,
    power: 1.4,
    weight: 1.4,
    meaning: 'picked notes in a row on different strings',
    why: 'the pick travels, and comes to the string from outside or inside',
  },
  {
    name: 'legato',
    unit: 'notes',
    gather: most,
    full: 4,
    power: 1.2,
    weight: 1,
    meaning: 'the longest run of hammers, pulls and slides from one pick',
    why: 'each has to be as loud and even as if it were picked',
  },
  {
    name: 'slides',
    unit: 'slides',
    gather: seconds(2),
    full: 2,
    power: 0.8,
    weight: 0.6,
    meaning: 'slides, by how far they go',
    why: 'the arm aims at a fret while the string sounds',
  },
  {
    name: 'syncopation',
    unit: 'steps of weight',
    gather: quarters(8),
    full: 6,
    power: 0.7,
    weight: 0.9,
    meaning: 'notes on weak places that are held through stronger ones, in eight quarters',
    why: 'the beat has to be felt where nothing is played (Longuet-Higgins and Lee 1984)',
  },
  {
    name: 'entry',
    unit: 'part of a beat',
    gather: most,
    full: 1,
    power: 1,
    weight: 0.6,
    meaning: 'coming in off the beat',
    why: 'the count goes on in silence up to a weak place',
  },
  {
    name: 'tuplets',
    unit: 'groups',
    gather: quarters(4),
    full: 2,
    power: 0.7,
    weight: 0.7,
    meaning: 'notes off the plain division of the beat, in four quarters',
    why: 'the beat is divided anew',
  },
  {
    name: 'length',
    unit: 'notes',
    gather: sum,
    full: 16,
    power: 0.8,
    weight: 2,
    meaning: 'notes to remember; of a shape that comes back in the same rhythm, a quarter',
    why: 'two bars of eighths are a mouthful; a figure played twice is learned once',
  },
] as const satisfies readonly FeatureRow[];

/** The name of a feature. */
export type FeatureName = (typeof FEATURES)[number]['name'];

/** Points of one full demand of each feature. */
export type Weights = Readonly<Record<FeatureName, number>>;

/** The weights of the table. */
export const WEIGHTS: Weights = Object.fromEntries(FEATURES.map(({ name, weight }) => [name, weight])) as Weights;

/**
 * The weights of the table with some of one's own.
 * @throws RangeError for a weight below 0 or not finite, or a feature that there is not
 * @example
 * weightsOf({ speed: 5 })['speed'] // => 5
 */
export function weightsOf(own: Partial<Weights> = {}): Weights {
  for (const [name, weight] of Object.entries(own)) {
    if (!(name in WEIGHTS))
      throw new RangeError(`there is no feature "${name}": the features are ${FEATURES.map((f) => f.name).join(', ')}`);
    if (!(weight >= 0 && weight < Number.POSITIVE_INFINITY))
      throw new RangeError(`the weight of "${name}" is ${weight}: give a number of points from 0 up`);
  }
  return { ...WEIGHTS, ...own };
}
