import type { ColumnTable } from 'arquero';
import { FILE_PREDICTORS } from '../../study/cohort/file-predictors.ts';
import type { PhaseName } from '../words.ts';
import { rowsOf, said } from './publication.ts';

/* The columns of the tables of a study's curves that figures read. */

export interface CurveTestRow {
  readonly quantity: string;
  readonly side: string | null;
  readonly by: string | null;
  readonly level: string | null;
  readonly reference: string | null;
  readonly design: string | null;
  readonly scale: string;
  readonly unit: string | null;
  readonly per: string | null;
  readonly athletes: number;
  readonly n_reference: number | null;
  readonly n_level: number | null;
  readonly recordings: number;
  readonly repetitions: number;
  readonly missing: number;
  readonly recordings_missing: number;
  readonly depths_tested: number;
  readonly depths_not_tested: number;
  readonly rearrangements: number;
  readonly exact: boolean | null;
  readonly seed: number | null;
  readonly level_asked: number;
  readonly level_kept: number;
  readonly p: number;
  readonly verdict: string;
  readonly ranges: string | null;
  readonly notes: string | null;
  readonly reason: string | null;
}

export interface CohortCurveRow {
  readonly quantity: string;
  readonly by: string | null;
  readonly level: string | null;
  readonly reference: string | null;
  readonly phase: PhaseName;
  readonly depth: number;
  readonly n: number;
  readonly estimate: number;
  readonly band_lower: number;
  readonly band_upper: number;
  readonly widened_band_lower: number;
  readonly widened_band_upper: number;
  readonly verdict: string;
}

export interface GroupCurveRow {
  readonly quantity: string;
  readonly by: string | null;
  readonly level: string | null;
  readonly against: string | null;
  readonly phase: PhaseName;
  readonly depth: number;
  readonly unit: string | null;
  readonly n: number;
  readonly recordings: number;
  readonly repetitions: number;
  readonly missing: number;
  readonly mean: number;
  readonly band_lower: number;
  readonly band_upper: number;
  readonly widened_band_lower: number;
  readonly widened_band_upper: number;
}

export interface DepthTables {
  /** cohort-curve-tests.csv, cohort-curves.csv, cohort-group-curves.csv. */
  readonly curveTests: ColumnTable;
  readonly curves: ColumnTable;
  readonly groupCurves: ColumnTable;
}

/** One comparison across depth with all of its rows. */
export interface ComparedDepths {
  readonly test: CurveTestRow;
  readonly curves: readonly CohortCurveRow[];
  /** Reference first; one group along a covariate. */
  readonly groups: readonly (readonly GroupCurveRow[])[];
}

/** The comparisons across depth of a study that have curves to show, in the order of the study file. */
export function comparedDepths({ curveTests, curves, groupCurves }: DepthTables): ComparedDepths[] {
  const points = rowsOf<CohortCurveRow>(curves);
  const means = rowsOf<GroupCurveRow>(groupCurves);
  return rowsOf<CurveTestRow>(curveTests).flatMap((test): ComparedDepths[] => {
    const same = (row: { readonly quantity: string; readonly by: string | null }) =>
      row.quantity === test.quantity && said(row.by) === said(test.by);
    const group = (level: string, against: string) =>
      means.filter((row) => same(row) && said(row.level) === level && said(row.against) === against);
    const [level, reference] = [said(test.level), said(test.reference)];
    const groups = level === '' ? [group('', '')] : [group(reference, level), group(level, reference)];
    if (groups.every((rows) => rows.every(({ mean }) => !Number.isFinite(mean)))) return [];
    const own = points.filter((row) => same(row) && said(row.level) === level && said(row.reference) === reference);
    return [{ test, curves: own, groups }];
  });
}

/** A level with its unit: '20 mm'. */
export function levelName(by: string | null, level: string | null): string {
  const unit = Object.hasOwn(FILE_PREDICTORS, said(by)) ? FILE_PREDICTORS[said(by)].unit : '';
  return unit === '' || unit === '1' ? said(level).replaceAll('_', ' ') : `${said(level)} ${unit}`;
}
