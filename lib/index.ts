// The front door: every name that a notebook imports, grouped by what it is for.

// units and chance
export { type BarNumber, barNumber, type Cents, cents, type Fret, fret, type MidiKey, midiKey, type PitchClass, pitchClass, type Semitones, type StringNumber, semitones, stringNumber, type Ticks, ticks } from './foundation/units.js';
export { lengthInWords, QUARTER } from './foundation/time.js';
export { createRandom, type Random } from './foundation/random.js';
export { type Diagnostic, diagnosticText, FaultError, hasFaults, type Place as TextPlace, type Reading } from './foundation/diagnostic.js';

// pitch, chords, keys, meters
export { frequency, keyOfNote, noteOfKey, type PitchName, pitchName } from './theory/pitch.js';
export { DEGREE_NAMES, type Degree, degreeAbove, degreeName, parseDegree } from './theory/interval.js';
export { type Chord, type ChordMember, isChord, isTension, parseChord, QUALITIES, type Quality, type UnknownChord } from './theory/chord.js';
export { type Key, keyText, MODES, parseKey, romanNumeral } from './theory/scale.js';
export { countText, type Meter, parseCount, parseMeter } from './theory/meter.js';
export { FAMILIAR_SCALES, type FamiliarScale } from './theory/familiar-scale.js';
export { rootAmbiguity, rootSupport, supportedRoots } from './theory/root-support.js';

// the guitar
export { type BendPath, type BendPoint, bendInWords, layBend } from './guitar/bend.js';
export { type Fingering, type FingeringOptions, type FingeringStep, fingerLine, type PitchEvent, type PlacingOptions, placeLine } from './guitar/fingering.js';
export { FINGERING_COSTS, type FingeringCosts, type HandEvent, type HandNote } from './guitar/fingering-hand.js';
export { type ShapeTone, scaleShape } from './guitar/scale-shape.js';
export { fretSpanMm, type Guitar, nutToFret, type Position, parseTuning, pitchAt, positionsOf, STANDARD_GUITAR } from './guitar/fretboard.js';

// solos: from text to what the ear gets
export { parseSolo, parseSoloOrThrow } from './notation/parser.js';
export { EXAMPLE_SOLO } from './notation/example.js';
export { printSolo } from './notation/printer.js';
export { printSoloJson, readSoloJson, type SoloJson, soloToJson } from './exchange/json.js';
export { type MidiReading, type MidiReadOptions, parseMidi } from './exchange/midi-read.js';
export { type MidiOptions, type MidiWritten, printMidi } from './exchange/midi-write.js';
export { parseMusicXml, type ScoreOptions, type ScoreReading } from './exchange/musicxml-read.js';
export { type ScoreReport, scoreReportText } from './exchange/musicxml-report.js';
export { printMusicXml, type ScoreWriteOptions, type ScoreWritten } from './exchange/musicxml-write.js';
export { packScore } from './exchange/musicxml-zip.js';
export { type Corpus, readCorpus } from './intake/read-corpus.js';
export { lineOfMelody, type Proposals, proposeSolo, type ProposalOptions } from './intake/proposals.js';
export { type ReadFile, readSoloFile } from './intake/read-file.js';
export { type WithChanges, withChanges } from './intake/side-changes.js';
export { type Melody, type MelodyNote, onTheNeck } from './solo/melody.js';
export { EMPTY_SOLO, gridOf, type Note, type Phrase, type Solo } from './solo/solo.js';
export { fingeringOf, type PhraseFingering } from './solo/phrase-fingering.js';
export { type Unplayable, unplayable } from './solo/playability.js';
export { lineOf, type Tone, tonesOf } from './solo/timeline.js';
export { type ChordSpan, chordSpans, type Hearing, hear, ROLES, type Role } from './solo/harmony.js';
export { FIGURES, type Figure, figuresOf } from './solo/figure.js';

// the table of tones, and tables out
export { bytesPerTone, COLUMNS, type NamedSolo, type Place, placeOfTone, type ToneTable, toneName, toneTable } from './solo/tone-table.js';
export { type Cell, columnsOf, csvOf, type DataFrameLike, jsonOf, type PlainTable, toDataFrame, toneColumns } from './exchange/table-export.js';
export { intervalUseSql, tableBytes } from './exchange/table-files.js';
export { frameColumns, htmlOf, rowsOf, type TableHtmlOptions, type TableRow } from './exchange/table-forms.js';

// answers
export { type AddedNote, addedNotes } from './analysis/added-notes.js';
export { type AttackOptions, type Attacks, attacks } from './analysis/attacks.js';
export { type Entry, type EntryUse, entriesOf, entryUse } from './analysis/entry.js';
export { type Family, type FamilyMember, type FamilyNode, type FamilyOptions, families } from './analysis/family.js';
export { GROUPINGS, type Grouping, type ToneFilter } from './analysis/grouping.js';
export { CHORD_VERDICTS, type ChordVerdict, type ImpliedChord, type ImpliedChordUse, impliedChords, impliedChordUse } from './analysis/implied-chord.js';
export { HELD_BEND_ENDS, type HeldBend, type HeldBendCount, heldBendCounts, heldBends } from './analysis/held-bends.js';
export { type IntervalUse, type IntervalUseOptions, type IntervalUseRow, intervalUse } from './analysis/interval-use.js';
export { type Landing, type LandingUse, landingsOf, landingUse, type PhraseEnding, type PhraseEndingUse, phraseEndingsOf, phraseEndingUse } from './analysis/landing.js';
export { handPosition, type NeckUse, neckUse } from './analysis/neck-use.js';
export { type RelationOptions, relate, relationsOf } from './analysis/phrase-relation.js';
export { RELATION_KINDS, type Relation, type RelationKind } from './analysis/phrase-relation-kinds.js';
export type { PhraseRef } from './analysis/phrase-relation-lines.js';
export { all, any, contour, degrees, durations, endsOn, entersOn, gesture, holding, lasts, not, onString, type Pattern, patternOf, type Query, rhythm, steps } from './analysis/phrase-query.js';
export { findPhrases, type PhraseMatch, type PhraseSearch } from './analysis/phrase-search.js';
export { queryText } from './analysis/query-print.js';
export { parseQuery, parseQueryOrThrow } from './analysis/query-text.js';
export { expandGroups } from './analysis/relation-expand.js';
export { type RelationGroup, type RelationGroups, relationGroups } from './analysis/relation-groups.js';
export { type Boundary, boundariesOf, type BoundaryWeights, fitBoundaries } from './analysis/segmentation.js';
export { localBoundaries } from './analysis/boundary-cues.js';
export { findKey, KRUMHANSL_PROFILE, type KeyFinding, ROCK_PROFILE } from './analysis/key-finding.js';
export type { ScaleChoice } from './analysis/scale-choice.js';
export { type ScaleFit, type ScaleFitGroup, type ScaleFitOptions, scaleFit, scaleFits } from './analysis/scale-fit.js';
export type { Share, ShareRow, ShareTable } from './analysis/shares.js';
export { type LineEvent, type LineSegment, linesOf } from './analysis/line.js';
export { compose, type Reading as ViewpointReading, readLines, VIEWPOINTS, type Viewpoint, viewpoint } from './analysis/viewpoint.js';
export { findMotifs } from './analysis/motif.js';
export type { Distinctiveness, Motif, MotifOptions, MotifPlace, MotifReport } from './analysis/motif-kinds.js';
export { type NearPlace, nearPlaces } from './analysis/motif-near.js';
export { type PointMotifOptions, pointSetMotifs } from './analysis/motif-points.js';
export { motifDegrees, motifInWords, whoseInWords } from './analysis/motif-words.js';
export { type PhraseSentence, phraseSentences } from './analysis/phrase-sentence.js';
export { type TimeUse, timeUse } from './analysis/time-use.js';
export { type Estimate, wilson } from './math/counting.js';

// lessons
export { type Drill, drillsOf } from './curriculum/drills.js';
export type { Exercise } from './curriculum/exercise.js';
export { type GroundStep, groundSteps } from './curriculum/ground-steps.js';
export { knowledgeOf, type PhraseNeeds } from './curriculum/knowledge.js';
export { type LessonOrder, lessonOrder } from './curriculum/lesson-order.js';
export { type MovedPhrase, movesOf } from './curriculum/phrase-moves.js';
export { type LessonPlan, lessonPlan, type PlanOptions } from './curriculum/plan.js';
export { NEW_REVIEW, nextReview, type ReviewState, tempoLadder } from './curriculum/practice.js';
export { readStudent, type Student } from './curriculum/student.js';
export { type Difficulty, type DifficultyFeature, type DifficultyOptions, difficultyOf, knownFigures, type RankedPhrase, rankByDifficulty } from './curriculum/difficulty.js';
export { type FitOptions, fitWeights, type Grading, type WeightFit } from './curriculum/difficulty-fit.js';
export { FEATURES, type FeatureName, WEIGHTS, type Weights, weightsOf } from './curriculum/difficulty-table.js';

// pictures, pages, sound
export { motifTab } from './engraving/motif-tab.js';
export { tabText } from './engraving/tab-text.js';
export { attackBars } from './charts/attack-bars.js';
export { entryBeats } from './charts/entry-beats.js';
export { familyTree } from './charts/family-tree.js';
export { fretboardMap } from './charts/fretboard-map.js';
export { chartToHtml } from './charts/inline-image.js';
export { intervalHeatmap } from './charts/interval-heatmap.js';
export { landingBars } from './charts/landing-bars.js';
export { motifStrip } from './charts/motif-strip.js';
export { noteChoices } from './charts/note-choices.js';
export { relationMatrix } from './charts/relation-matrix.js';
export { chartToPng, chartToSvg } from './charts/render.js';
export { soloLine } from './charts/solo-line.js';
export { lessonLadder } from './charts/lesson-ladder.js';
export { planMarkdown } from './pages/plan-markdown.js';
export { planPage } from './pages/plan-page.js';
export { type StudyReportOptions, studyReport } from './pages/study-report.js';
export { type Performance, type PerformanceOptions, performanceOf, type Sound, soundPitch } from './solo/performance.js';
export { type SampleOptions, samplesOf } from './sound/string-synth.js';
export { type WavOptions, wavBytes } from './sound/wav.js';
