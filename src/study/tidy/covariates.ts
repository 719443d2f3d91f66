import type { ColumnTable } from 'arquero';
import { tidyCovariateUnknown } from '../../messages/tidy.ts';
import type { Cell } from './read-cell.ts';
import { type TidyTables, theTable } from './tidy-study.ts';

/** What a recording or its lifter is described by, for statistics. Left out: those of these that are there. */
export const USUAL_COVARIATES = [
  'date',
  'load_total_kg',
  'effort_rpe',
  'shoe_heel_height_m',
  'sex',
  'mass_kg',
  'stature_m',
] as const;

export interface Covariates {
  /** Names, in the order wanted. */
  readonly names: readonly string[];
  /** Values of a recording in that order, and why those of its lifter are not known ('' where they are). */
  of(recordingId: string): { readonly values: readonly Cell[]; readonly reason: string };
}

/**
 * Covariates of recordings, from recordings.csv and athletes.csv. A lifter described differently in two recordings has two rows
 * in athletes.csv, and no table says which is whose: what differs between them is unknown, with a reason.
 *
 * @param names columns of recordings.csv or athletes.csv; the usual ones and every `condition_…` when left out
 * @throws tidy-covariate-unknown
 */
export function covariatesOf(tables: TidyTables, names?: readonly string[]): Covariates {
  const recordings = theTable(tables, 'recordings');
  const athletes = theTable(tables, 'athletes');
  const ofRecording = recordings.columnNames().filter((name) => name !== 'recording_id' && name !== 'athlete_id');
  const ofAthlete = athletes.columnNames().filter((name) => name !== 'athlete_id' && name !== 'recordings');
  const all = [...ofRecording, ...ofAthlete];
  const usual = [...USUAL_COVARIATES.filter((name) => all.includes(name)), ...all.filter(isCondition)];
  const wanted = names ?? usual;
  for (const name of wanted) if (!all.includes(name)) throw tidyCovariateUnknown(name, all);
  const rowOf = rowsBy(recordings, 'recording_id');
  const rowsOfAthlete = rowsBy(athletes, 'athlete_id');
  return {
    names: wanted,
    of(recordingId) {
      const row = rowOf.get(recordingId)?.[0];
      if (row === undefined) return { values: wanted.map(() => null), reason: 'not in recordings.csv' };
      const described = rowsOfAthlete.get(String(recordings.get('athlete_id', row))) ?? [];
      const unclear: string[] = [];
      const values = wanted.map((name): Cell => {
        if (ofRecording.includes(name)) return cellAt(recordings, name, row);
        const [first, ...others] = described.map((at) => cellAt(athletes, name, at));
        if (others.every((other) => Object.is(other, first))) return first ?? null;
        unclear.push(name);
        return typeof first === 'number' ? Number.NaN : null;
      });
      const reason =
        unclear.length === 0
          ? ''
          : `${unclear.join(', ')}: athletes.csv has ${described.length} descriptions of the lifter`;
      return { values, reason };
    },
  };
}

const isCondition = (name: string): boolean => name.startsWith('condition_');

/** Rows of a table by the text in a column. */
export function rowsBy(from: ColumnTable, column: string): ReadonlyMap<string, readonly number[]> {
  const rows = new Map<string, number[]>();
  for (let row = 0; row < from.numRows(); row++) {
    const key = String(from.get(column, row));
    const there = rows.get(key);
    if (there) there.push(row);
    else rows.set(key, [row]);
  }
  return rows;
}

const cellAt = (from: ColumnTable, name: string, row: number): Cell => from.get(name, row) as Cell;
