import type { ColumnTable } from 'arquero';
import { counted } from '../counted.ts';
import { tableOf } from '../csv.ts';
import type { CheckedComparison } from './checked-comparison.ts';
import type { OutcomeResult } from './outcome-result.ts';
import type { PredictorValues } from './predictor-values.ts';
import { OUTCOME_COLUMNS, outcomeCells } from './table-cells.ts';

export const COHORT_ROW_COLUMNS = [
  ...OUTCOME_COLUMNS,
  'athlete_id',
  'recording_id',
  'repetition',
  'repetitions',
  'missing',
  'missing_why',
  'value',
  'value_unit',
  'response',
  'used',
  'reason',
] as const;

/** `cohort-rows.csv`: the observations, those left out too; after the fixed columns one a predictor. */
export function rowsTable(
  results: readonly OutcomeResult[],
  predictors: PredictorValues,
  { predictors: named }: CheckedComparison,
): ColumnTable {
  const rows = results.flatMap((result) =>
    result.rows.map((row) => ({
      ...outcomeCells(result),
      athlete_id: row.athleteId,
      recording_id: row.recordingId,
      repetition: row.repetition,
      repetitions: row.repetitions,
      missing: row.missing,
      missing_why: counted(row.missingWhy),
      value: row.value,
      value_unit: result.unit,
      response: row.response,
      used: row.reason === '',
      reason: row.reason,
      ...Object.fromEntries(named.map(({ column }) => [column, predictors[row.from].get(column)!.value])),
    })),
  );
  return tableOf([...COHORT_ROW_COLUMNS, ...named.map(({ column }) => column)], rows);
}
