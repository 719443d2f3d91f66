import type { ColumnTable } from 'arquero';
import type { Study } from '../../capture/recording.ts';
import { allPredictors, checkedComparison } from './checked-comparison.ts';
import { curveComparisons } from './curve-comparison.ts';
import { cohortCurvesTable, cohortCurveTestsTable, cohortGroupCurvesTable } from './curve-tables.ts';
import { effectsTable } from './effects-table.ts';
import { meansTable } from './means-table.ts';
import { modelsTable } from './models-table.ts';
import { outcomeResult } from './outcome-result.ts';
import { predictorValues } from './predictor-values.ts';
import { type CohortRecording, type RecordingFacts, recordingFacts } from './recording-facts.ts';
import { rowsTable } from './rows-table.ts';

export interface CohortTables {
  /** `cohort-effects.csv`, `cohort-means.csv`, `cohort-models.csv`, `cohort-rows.csv`. */
  readonly effects: ColumnTable;
  readonly means: ColumnTable;
  readonly models: ColumnTable;
  readonly rows: ColumnTable;
  /** `cohort-curves.csv`, `cohort-group-curves.csv`, `cohort-curve-tests.csv`; null where the study file wants none. */
  readonly curves: ColumnTable | null;
  readonly groupCurves: ColumnTable | null;
  readonly curveTests: ColumnTable | null;
}

/**
 * Compares a whole study by mixed models, one an outcome, and by whole curves across depth: docs/method/cohort.md. null where the study file asks for none.
 *
 * `recordings` may be read one by one, in any order: of each only a few numbers are kept. The tables do not depend on the order.
 * Names in the study file that are not known are a DataError; a model that the data do not bear is a row with a reason.
 */
export function cohortComparison(
  study: Pick<Study, 'file' | 'comparison'> & Partial<Pick<Study, 'seed'>>,
  recordings: Iterable<CohortRecording>,
): CohortTables | null {
  const comparison = checkedComparison(study);
  if (comparison === null) return null;
  const facts: RecordingFacts[] = [];
  for (const one of recordings) facts.push(recordingFacts(one, comparison));
  facts.sort((a, b) => (a.card.id < b.card.id ? -1 : 1));
  const predictors = predictorValues(facts, allPredictors(comparison));
  const results = comparison.outcomes.map((_, i) => outcomeResult(facts, predictors, comparison, i));
  const curves = curveComparisons(facts, predictors, comparison, study.seed ?? 0);
  const wanted = curves.length > 0;
  return {
    effects: effectsTable(results, comparison),
    means: meansTable(results),
    models: modelsTable(results),
    rows: rowsTable(results, predictors, comparison),
    curves: wanted ? cohortCurvesTable(curves) : null,
    groupCurves: wanted ? cohortGroupCurvesTable(curves) : null,
    curveTests: wanted ? cohortCurveTestsTable(curves) : null,
  };
}
