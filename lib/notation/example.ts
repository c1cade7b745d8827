// A small solo for trying things out, used in the examples of the documentation.

/** The text of a small invented solo: four bars in A minor, two phrases. */
export const EXAMPLE_SOLO = `---
title: Two Doors Down
player: Ada Fenwick
key: A minor
tempo: 96
---

changes
  1 Am7 | D7 | Am7 | E7

phrase 1 "ask"
at 0 4&
  e 5@3 |
  q 7@3(0>2)~ e 5@2 h7@2 h 5@1 |

phrase 2 "answer"
at 3 1
  e 5@1 8@2 q 5@2 7@3(2>0) 5@3 |
  h 9@3~ - |
`;
