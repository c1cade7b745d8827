// The rules by which notes become tones, one by one: the words of a phrase, and its tones worked out by hand. A tone is written
// onset + length in quarters, fret@string^bend, how it starts and how its pitch is reached, and what else is true of it.

export interface Rule {
  readonly rule: string;
  readonly words: string;
  readonly tones: readonly string[];
}

export const BENDS: readonly Rule[] = [
  { rule: 'a picked note is one tone', words: 'q 8@2', tones: ['0+1 8@2 picked straight struck'] },
  { rule: '(0>2) is one tone at the target', words: 'q 8@2(0>2)', tones: ['0+1 8@2^2 picked bent struck'] },
  {
    rule: '(0>0.5), a curl, is one tone at the target',
    words: 'q 8@2(0>0.5)',
    tones: ['0+1 8@2^0.5 picked bent struck'],
  },
  {
    rule: '(0>2>0) is two halves: bent, then released and not started',
    words: 'q 8@2(0>2>0)',
    tones: ['0+0.5 8@2^2 picked bent struck', '0.5+0.5 8@2 none released'],
  },
  { rule: '(2) is prebent', words: 'q 8@2(2)', tones: ['0+1 8@2^2 picked prebent struck'] },
  {
    rule: '(2>0) is prebent, then released, half and half',
    words: 'q 8@2(2>0)',
    tones: ['0+0.5 8@2^2 picked prebent struck', '0.5+0.5 8@2 none released'],
  },
  {
    rule: '(0>1>2) goes up in two steps',
    words: 'q 8@2(0>1>2)',
    tones: ['0+0.5 8@2^1 picked bent struck', '0.5+0.5 8@2^2 none bent'],
  },
  {
    rule: 'written times hold',
    words: 'h 9@3(0>2 q.>0 e)',
    tones: ['0+1.5 9@3^2 picked bent struck', '1.5+0.5 9@3 none released'],
  },
  {
    rule: 'a lead-in whose time is written is a tone',
    words: 'h 9@3(0 e>2)',
    tones: ['0+0.5 9@3 picked straight struck', '0.5+1.5 9@3^2 none bent'],
  },
  {
    rule: 'untimed levels share what the written times leave',
    words: 'w 9@3(0>2 q>1>0>2 q)',
    tones: ['0+1 9@3^2 picked bent struck', '1+1 9@3^1 none released', '2+1 9@3 none released', '3+1 9@3^2 none bent'],
  },
  {
    rule: 'a level written twice is one tone',
    words: 'h 9@3(0>2 q>2>0 e)',
    tones: ['0+1.5 9@3^2 picked bent struck', '1.5+0.5 9@3 none released'],
  },
  {
    rule: 'a hammered bend starts hammered and is not struck',
    words: 'q 7@3 h9@3(0>2)',
    tones: ['0+1 7@3 picked straight struck', '1+1 9@3^2 hammered bent'],
  },
];

export const HELD: readonly Rule[] = [
  {
    rule: 'picking a string that is held bent is held, not prebent',
    words: 'q 8@2(0>2) 8@2(2)',
    tones: ['0+1 8@2^2 picked bent struck', '1+1 8@2^2 picked held struck'],
  },
  {
    rule: 'held, then released',
    words: 'q 8@2(0>2)= 5@1 8@2(2>0)',
    tones: [
      '0+2 8@2^2 picked bent struck',
      '1+1 5@1 picked straight struck',
      '2+0.5 8@2^2 picked held struck',
      '2.5+0.5 8@2 none released',
    ],
  },
  {
    rule: 'behind a rest it is prebent again',
    words: 'q 8@2(0>2) - 8@2(2)',
    tones: ['0+1 8@2^2 picked bent struck', '2+1 8@2^2 picked prebent struck'],
  },
  {
    rule: 'behind a damp it is prebent again',
    words: 'q 8@2(0>2)= damp 8@2(2)',
    tones: ['0+1 8@2^2 picked bent struck', '1+1 8@2^2 picked prebent struck'],
  },
  {
    rule: 'at another fret or another level it is prebent',
    words: 'q 8@2(0>2) 7@2(2) 7@2(1)',
    tones: ['0+1 8@2^2 picked bent struck', '1+1 7@2^2 picked prebent struck', '2+1 7@2^1 picked prebent struck'],
  },
  {
    rule: '(0>2) on a string that was held bent is a new bend',
    words: 'q 8@2(0>2) 8@2(0>2)',
    tones: ['0+1 8@2^2 picked bent struck', '1+1 8@2^2 picked bent struck'],
  },
];

export const ON: readonly Rule[] = [
  {
    rule: '@3(>0) releases at its written onset',
    words: 'q 8@3(0>2)= e 8@1= 10@1 q @3(>0)',
    tones: [
      '0+2 8@3^2 picked bent struck',
      '1+0.5 8@1 picked straight struck',
      '1.5+0.5 10@1 picked straight struck',
      '2+1 8@3 none released',
    ],
  },
  {
    rule: '@3 alone makes no tone: the one that sounds goes on',
    words: 'q 8@3= 5@1 @3',
    tones: ['0+3 8@3 picked straight struck', '1+1 5@1 picked straight struck'],
  },
  {
    rule: 'a held level with a time of its own is held on, then let down',
    words: 'q 8@3(0>2) h @3(2 q>0)',
    tones: ['0+2 8@3^2 picked bent struck', '2+1 8@3 none released'],
  },
  {
    rule: 'a string that goes on can be bent further, and down again',
    words: 'q 8@3(0>1) @3(>2>0)',
    tones: ['0+1 8@3^1 picked bent struck', '1+0.5 8@3^2 none bent', '1.5+0.5 8@3 none released'],
  },
  {
    rule: 'it goes on through two words, with the level that it has',
    words: 'q 8@3(0>2)= 5@1 @3= 5@1 | @3(>0)',
    tones: [
      '0+4 8@3^2 picked bent struck',
      '1+1 5@1 picked straight struck',
      '3+1 5@1 picked straight struck',
      '4+1 8@3 none released',
    ],
  },
];

export const GRACES: readonly Rule[] = [
  {
    rule: 'a grace has no time of its own; the main tone keeps its onset and is struck if the grace is picked',
    words: 'q 5@1 g7@3 h9@3',
    tones: [
      '0+1 5@1 picked straight struck',
      '1+0 7@3 picked straight struck ornament',
      '1+1 9@3 hammered straight struck',
    ],
  },
  {
    rule: 'graces stand in the order they are played',
    words: 'q g5@3 gh7@3 p5@3',
    tones: [
      '0+0 5@3 picked straight struck ornament',
      '0+0 7@3 hammered straight ornament',
      '0+1 5@3 pulled straight struck',
    ],
  },
  {
    rule: 'a grace that is not picked strikes nothing',
    words: 'q 5@3 gh7@3 p5@3',
    tones: ['0+1 5@3 picked straight struck', '1+0 7@3 hammered straight ornament', '1+1 5@3 pulled straight'],
  },
  {
    rule: 'a grace on another string strikes nothing here',
    words: 'q g5@2 h7@3',
    tones: ['0+0 5@2 picked straight struck ornament', '0+1 7@3 hammered straight'],
  },
  {
    rule: 'a string that goes on from a grace has the pitch of the grace',
    words: 'q 8@3 g5@3= 7@1 @3',
    tones: [
      '0+1 8@3 picked straight struck',
      '1+0 5@3 picked straight struck ornament',
      '1+1 7@1 picked straight struck',
      '2+1 5@3 none straight',
    ],
  },
  {
    rule: 'a grace can be bent',
    words: 'q g8@2(0>1) 5@1 g8@2(2) 5@1',
    tones: [
      '0+0 8@2^1 picked bent struck ornament',
      '0+1 5@1 picked straight struck',
      '1+0 8@2^2 picked prebent struck ornament',
      '1+1 5@1 picked straight struck',
    ],
  },
];

export const ORNAMENTS: readonly Rule[] = [
  {
    rule: 'untimed levels shorter than a thirty-second are ornaments',
    words: 's 8@2(0>2>0>2)',
    tones: ['0 8@2^2 picked bent struck ornament', '1 8@2 none released ornament', '2 8@2^2 none bent ornament'],
  },
  {
    rule: 'of a thirty-second each they are none',
    words: 'e 8@2(0>2>0>2>0)',
    tones: ['0 8@2^2 picked bent struck', '1 8@2 none released', '2 8@2^2 none bent', '3 8@2 none released'],
  },
  {
    rule: 'a short level with a written time is none',
    words: 'e 8@2(0>2 t:2>0)',
    tones: ['0 8@2^2 picked bent struck', '1 8@2 none released'],
  },
  {
    rule: 'a short note that is not split is none',
    words: 't:3 8@2(0>2) 8@2 8@2',
    tones: ['0 8@2^2 picked bent struck', '1 8@2 picked straight struck', '2 8@2 picked straight struck'],
  },
  {
    rule: 'the last level is none if it rings on',
    words: 's 8@2(0>2>0>2)= q 5@1',
    tones: [
      '0 8@2^2 picked bent struck ornament',
      '1 8@2 none released ornament',
      '2 8@2^2 none bent',
      '3 5@1 picked straight struck',
    ],
  },
  {
    rule: 'nor if its string goes on',
    words: 's 8@2(0>2>0>2) q @2',
    tones: ['0 8@2^2 picked bent struck ornament', '1 8@2 none released ornament', '2 8@2^2 none bent'],
  },
];

export const SOUNDING: readonly Rule[] = [
  { rule: 'dead notes are no tones', words: 'q x@2 5@2 x@3', tones: ['1+1 5@2 picked straight struck'] },
  {
    rule: 'a tie is one tone, across the bar as well',
    words: 'h. 5@3 q 8@2_ | h _ 5@3',
    tones: ['0+3 5@3 picked straight struck', '3+3 8@2 picked straight struck', '6+2 5@3 picked straight struck'],
  },
  {
    rule: 'of two notes one can be tied',
    words: 'q 5@2_+7@3 _',
    tones: ['0+2 5@2 picked straight struck', '0+1 7@3 picked straight struck'],
  },
  {
    rule: 'without = a note sounds as long as it is written',
    words: 'q 5@2 - 5@1',
    tones: ['0+1 5@2 picked straight struck', '2+1 5@1 picked straight struck'],
  },
  {
    rule: '= rings on to the next event on its string',
    words: 'q 5@2= 5@1 7@2',
    tones: ['0+2 5@2 picked straight struck', '1+1 5@1 picked straight struck', '2+1 7@2 picked straight struck'],
  },
  {
    rule: 'a dead note stops the string too',
    words: 'q 5@2= 5@1 x@2 -',
    tones: ['0+2 5@2 picked straight struck', '1+1 5@1 picked straight struck'],
  },
  { rule: '= rings on to the next damp', words: 'q 5@2= - - damp -', tones: ['0+3 5@2 picked straight struck'] },
  {
    rule: 'a damp while a note is still held stops the others only',
    words: 'e 5@2= h 5@1_ damp q _',
    tones: ['0+2.5 5@2 picked straight struck', '0.5+3 5@1 picked straight struck'],
  },
  {
    rule: '= rings on to the end of the phrase, its rests included',
    words: 'q 5@2= 5@1 - -',
    tones: ['0+4 5@2 picked straight struck', '1+1 5@1 picked straight struck'],
  },
  {
    rule: 'but not into the next phrase',
    words: 'q 5@2= - - -\nphrase 2\nat 0 3\nq 5@1',
    tones: ['0+2 5@2 picked straight struck', '2+1 5@1 picked straight struck'],
  },
  {
    rule: 'from ring to damp all of them ring',
    words: 'ring q 5@3 5@2 5@1 damp q 7@1',
    tones: [
      '0+3 5@3 picked straight struck',
      '1+2 5@2 picked straight struck',
      '2+1 5@1 picked straight struck',
      '3+1 7@1 picked straight struck',
    ],
  },
];

export const STARTS: readonly Rule[] = [
  {
    rule: 'struck is picked or tapped; slides say no more which side they come from',
    words: 'e 5@3 h7@3 p5@3 t12@3 /7@3 \\5@3',
    tones: [
      '0+0.5 5@3 picked straight struck',
      '0.5+0.5 7@3 hammered straight',
      '1+0.5 5@3 pulled straight',
      '1.5+0.5 12@3 tapped straight struck',
      '2+0.5 7@3 slid straight',
      '2.5+0.5 5@3 slid straight',
    ],
  },
  {
    rule: 'notes at once stand with string 1 first; a start on the first holds for the others',
    words: 'q 5@4+6@2+7@3 h7@4+8@2',
    tones: [
      '0+1 6@2 picked straight struck',
      '0+1 7@3 picked straight struck',
      '0+1 5@4 picked straight struck',
      '1+1 8@2 hammered straight',
      '1+1 7@4 hammered straight',
    ],
  },
];
