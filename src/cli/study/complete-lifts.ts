import type { Recording } from '../../capture/recording.ts';
import type { Grade } from '../../lift/grade.ts';
import type { SummaryRow } from '../../study/summary.ts';
import type { CompleteLift } from './completion.ts';

/** A lift whose result is there, as it is held in memory for the whole study: a few lines each. */
export interface ThereLift {
  readonly recording: Recording;
  readonly key: string;
  readonly grade: Grade | null;
  readonly row: SummaryRow;
  /** SHA-256 of the files that the study's own are put together of, by name. */
  readonly digests: Readonly<Record<string, string>>;
}

export function thereLift(recording: Recording, { key, grade, row, files }: CompleteLift): ThereLift {
  const flat = files.filter(({ name }) => /^[^/]+\.(csv|json)$/.test(name));
  return { recording, key, grade, row, digests: Object.fromEntries(flat.map(({ name, sha256 }) => [name, sha256])) };
}

/** A recording that could not be analysed, as the tables name it. */
export interface Failure {
  /** Path from the study's folder. */
  readonly recording: string;
  readonly message: string;
}
