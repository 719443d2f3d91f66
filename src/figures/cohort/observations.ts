import type { ColumnTable } from 'arquero';
import { type OutcomeName, outcomeKey } from './names.ts';
import { groupsOf, known, rowsOf, said } from './publication.ts';
import type { ObservationRow } from './table-rows.ts';

/** Names of the predictors of cohort-rows.csv: the columns after its fixed ones. */
export function predictorsOf(rows: ColumnTable): string[] {
  const names = rows.columnNames();
  return names.slice(names.indexOf('reason') + 1);
}

/** An observation with its value; of several repetitions of a recording their mean. */
export interface Observation {
  readonly athlete: string;
  readonly recording: string;
  readonly repetitions: number;
  readonly value: number;
  readonly unit: string;
  readonly row: ObservationRow;
}

export interface Observations {
  /** One a recording that is in the model. */
  readonly used: readonly Observation[];
  readonly athletes: number;
  readonly recordings: number;
  readonly repetitions: number;
  /** Recordings of which nothing is in the model. */
  readonly recordingsMissing: number;
}

/** What cohort-rows.csv has of an outcome. */
export function observationsOf(rows: ColumnTable, outcome: OutcomeName): Observations {
  const own = rowsOf<ObservationRow>(rows).filter((row) => outcomeKey(row) === outcomeKey(outcome));
  const all = new Set(own.map(({ recording_id }) => recording_id));
  const used = groupsOf(
    own.filter((row) => row.used && known(row.value)),
    ({ recording_id }) => recording_id,
  ).map((group): Observation => {
    const repetitions = group.reduce((sum, one) => sum + one.repetitions, 0);
    return {
      athlete: group[0].athlete_id,
      recording: group[0].recording_id,
      repetitions,
      value: group.reduce((sum, one) => sum + one.value * one.repetitions, 0) / repetitions,
      unit: said(group[0].value_unit),
      row: group[0],
    };
  });
  return {
    used,
    athletes: new Set(used.map(({ athlete }) => athlete)).size,
    recordings: used.length,
    repetitions: used.reduce((sum, { repetitions }) => sum + repetitions, 0),
    recordingsMissing: all.size - used.length,
  };
}

/** The outcomes of a table, in its order. */
export const outcomesOf = (table: ColumnTable): OutcomeName[] =>
  groupsOf(rowsOf<OutcomeName>(table), outcomeKey).map(([{ measure, side, at }]) => ({ measure, side, at }));
