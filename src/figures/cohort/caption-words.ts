import { counted } from './names.ts';
import type { Observation } from './observations.ts';
import { groupsOf, said } from './publication.ts';
import type { ModelRow } from './table-rows.ts';

/* Sentences that captions of a whole study share. */

interface Counts {
  readonly athletes: number;
  readonly recordings: number;
  readonly repetitions: number;
}

/** 'n = 12 athletes, 48 recordings, 192 repetitions.' */
export const countsWords = ({ athletes, recordings, repetitions }: Counts): string =>
  `n = ${counted(athletes, 'athlete')}, ${counted(recordings, 'recording')}, ${counted(repetitions, 'repetition')}.`;

/** What takes no part; also where that is nothing. */
export const missingWords = (recordings: number, repetitions?: number): string =>
  `Missing: ${counted(recordings, 'recording')}${repetitions === undefined ? '' : `, ${counted(repetitions, 'repetition')}`}.`;

export const sharedWords = (withShared: boolean): string =>
  withShared
    ? 'the shared part of the measurement error is in it'
    : 'the shared part of the measurement error is not in it, since a recording has no interval';

export const modelWords = (model: ModelRow | undefined): string =>
  model === undefined || said(model.model) === ''
    ? 'Model: none.'
    : said(model.reason) === ''
      ? `Model: ${said(model.model)}, restricted maximum likelihood.`
      : `Model: ${said(model.reason)}.`;

/** Athletes without a recording at every level. */
export function athletesMissing(
  used: readonly Observation[],
  predictor: string,
  levels: readonly (number | string)[] | null,
): number {
  if (levels === null) return 0;
  return groupsOf(used, ({ athlete }) => athlete).filter(
    (own) => !levels.every((level) => own.some(({ row }) => row[predictor] === level)),
  ).length;
}
