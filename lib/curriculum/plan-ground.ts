// The steps before the phrases as they come in a plan: with the items that each teaches.
import type { Solo } from '../solo/solo.js';
import type { NamedSolo } from '../solo/tone-table.js';
import { groundItems } from './ground-items.js';
import { type GroundStep, groundSteps } from './ground-steps.js';
import type { Student } from './student.js';

/** A step before the phrases, and the solo it is of. */
export interface QueuedGround {
  readonly solo: Solo;
  readonly id: string;
  readonly ground: GroundStep;
}

/** The steps before the phrases of a solo, near a position if one is given. */
export const groundsOf = ({ id, solo }: NamedSolo, student: Student, position?: number): readonly QueuedGround[] =>
  groundSteps({ id, solo }, { avoid: student.avoidPositions, ...(position !== undefined && { position }) }).map(
    (ground) => ({ solo, id, ground }),
  );

/** Ids of the items that a step teaches. */
export const groundIds = ({ solo, ground }: QueuedGround): readonly string[] => groundItems(solo, ground);

/** Steps by what comes in one go between two phrases: the scale with the root of its key; then each of the others. */
export function inGroups(queue: readonly QueuedGround[]): readonly (readonly QueuedGround[])[] {
  const first = queue.filter(({ ground: { kind } }) => kind === 'scale' || kind === 'root of the key');
  const rest = queue.filter(({ ground: { kind } }) => kind !== 'scale' && kind !== 'root of the key');
  return [...(first.length > 0 ? [first] : []), ...rest.map((one) => [one])];
}
