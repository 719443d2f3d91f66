import { digitsText } from './numbers.ts';
import type { Task } from './task.ts';

/* What else differs between two lifts of one lifter. */

interface Difference {
  readonly what: string;
  readonly before: string;
  readonly now: string;
}

const NOT_STATED = 'not stated';

/** In the order in which it matters; empty where the two lifts are of one task and load. */
function differencesOf(then: Task, now: Task): Difference[] {
  const all: readonly [what: string, of: (task: Task) => string][] = [
    ['load', ({ loadKg }) => `${digitsText(loadKg, 4)} kg`],
    ['condition', ({ condition }) => condition || NOT_STATED],
    ['place of the bar', ({ barPosition }) => barPosition],
    [
      'heel of the shoe',
      ({ heelHeightM }) => (heelHeightM === null ? NOT_STATED : `${digitsText(1000 * heelHeightM, 3)} mm`),
    ],
  ];
  return all
    .map(([what, of]) => ({ what, before: of(then), now: of(now) }))
    .filter((difference) => difference.before !== difference.now);
}

/** 'the load (80 kg then; 60 kg now)' and the like. */
export const whatDiffers = (then: Task, now: Task): string[] =>
  differencesOf(then, now).map(({ what, before, now: after }) => `the ${what} (${before} then; ${after} now)`);

/** 'load: 60 kg against 80 kg' and the like. */
export const differsBriefly = (now: Task, against: Task): string[] =>
  differencesOf(against, now).map(({ what, before, now: after }) => `${what}: ${after} against ${before}`);
