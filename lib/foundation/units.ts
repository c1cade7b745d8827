// Branded numbers: a plain number cannot stand where a unit is asked for, a unit can stand wherever a number can.

declare const brand: unique symbol;

/** A number of type `number` that carries the name of its unit in the type only. */
export type Unit<Name extends string> = number & { readonly [brand]: Name };

/** A distance in equal-tempered semitones, a whole number, signed. */
export type Semitones = Unit<'Semitones'>;
/** Pitch as 100 times the MIDI key (A4 = 6900), or a distance in hundredths of a semitone; a whole number. */
export type Cents = Unit<'Cents'>;
/** Musical time; 20160 ticks are a quarter note. A whole number. */
export type Ticks = Unit<'Ticks'>;
/** A MIDI key number, 0 to 127; 60 is middle C (C4), 69 is A4. */
export type MidiKey = Unit<'MidiKey'>;
/** A fret number; 0 is the open string (or the string at the capo). */
export type Fret = Unit<'Fret'>;
/** A string number; 1 is the highest. */
export type StringNumber = Unit<'StringNumber'>;
/** A pitch class, 0 to 11; 0 is C. */
export type PitchClass = Unit<'PitchClass'>;
/** A bar number; 0 is the pickup bar, 1 the first full bar. */
export type BarNumber = Unit<'BarNumber'>;

/**
 * Marks a number as {@link Semitones}.
 * @example
 * semitones(7) // => 7
 */
export const semitones = (n: number): Semitones => n as Semitones;
/**
 * Marks a number as {@link Cents}.
 * @example
 * cents(6900) // => 6900
 */
export const cents = (n: number): Cents => n as Cents;
/**
 * Marks a number as {@link Ticks}.
 * @example
 * ticks(20160) // => 20160
 */
export const ticks = (n: number): Ticks => n as Ticks;
/**
 * Marks a number as a {@link MidiKey}.
 * @example
 * midiKey(60) // => 60
 */
export const midiKey = (n: number): MidiKey => n as MidiKey;
/**
 * Marks a number as a {@link Fret}.
 * @example
 * fret(12) // => 12
 */
export const fret = (n: number): Fret => n as Fret;
/**
 * Marks a number as a {@link StringNumber}.
 * @example
 * stringNumber(1) // => 1
 */
export const stringNumber = (n: number): StringNumber => n as StringNumber;
/**
 * Marks a number as a {@link BarNumber}.
 * @example
 * barNumber(0) // => 0
 */
export const barNumber = (n: number): BarNumber => n as BarNumber;

/** The remainder that is never negative: `mod(-1, 12)` is 11. */
export const mod = (n: number, m: number): number => ((n % m) + m) % m;

/**
 * The {@link PitchClass} of a key number or of a sum of semitones; negative numbers wrap.
 * @example
 * pitchClass(-2) // => 10
 */
export const pitchClass = (n: number): PitchClass => mod(n, 12) as PitchClass;
