import type { LiftRecord } from '../lift/lift-record.ts';
import { type Unknown, unknownMeasures } from './unknowns.ts';
import { FILMING, type FilmingWords } from './wording-filming.ts';

/** Something the cameras did not give, what hangs on it, and how to film it next time. */
export interface FilmingAdvice extends FilmingWords {
  /** Titles of the measures that are unknown for it. */
  readonly titles: readonly string[];
}

/**
 * What could not be seen and would be with another film, those first on which most measures hang. What no film can give
 * (a depth not reached, a force plate, a second repetition) is not here: the list of unknowns names it.
 */
export function filmingAdvice(record: LiftRecord): readonly FilmingAdvice[] {
  const found = new Map<FilmingWords, Set<string>>();
  for (const { reason, titles } of unknownMeasures(record)) {
    for (const words of adviceFor(reason)) {
      const known = found.get(words) ?? new Set<string>();
      for (const title of titles) known.add(title);
      found.set(words, known);
    }
  }
  for (const repetition of record.repetitions) {
    for (const words of adviceFor(repetition.reason)) found.set(words, found.get(words) ?? new Set());
  }
  return [...found]
    .map(([words, titles]) => ({ ...words, titles: [...titles] }))
    .sort((a, b) => b.titles.length - a.titles.length);
}

/** A reason may name several points that were not seen: each has its own advice, said once. */
function adviceFor(reason: Unknown['reason']): FilmingWords[] {
  return FILMING.filter(({ when }) => when.test(reason)).map(({ words }) => words);
}
