import type { ColumnTable } from 'arquero';
import { fromScale } from '../../numerics/scale.ts';
import { tableOf } from '../csv.ts';
import type { OutcomeResult } from './outcome-result.ts';

export const COHORT_MEAN_COLUMNS = [
  'measure',
  'side',
  'at',
  'factor',
  'level',
  'mean',
  'lower',
  'upper',
  'lower_with_shared',
  'upper_with_shared',
  'unit',
  'scale',
  'mean_on_scale',
  'se_on_scale',
  'df',
  'n',
  'repetitions',
  'athletes',
  'recordings',
  'held',
] as const;

/** `cohort-means.csv`: what the model says at each level of each factor, back in the unit of the measure. */
export function meansTable(results: readonly OutcomeResult[]): ColumnTable {
  const rows = results.flatMap((result) => {
    const { outcome, unit, scale, fit } = result;
    const back = (place: number | undefined) =>
      place === undefined || scale === null ? place : fromScale(scale, place);
    return result.means.map(({ factor, level, without, with: shared }) => {
      const codes = fit!.inner.rows.predictors.get(factor)!;
      const at =
        codes.kind === 'factor' ? result.used.filter((_, row) => codes.levels[codes.codes[row]] === level) : [];
      return {
        ...outcome,
        factor,
        level,
        mean: back(without.estimate),
        lower: back(without.lower),
        upper: back(without.upper),
        lower_with_shared: back(shared?.lower),
        upper_with_shared: back(shared?.upper),
        unit,
        scale: scale ?? 'as it is',
        mean_on_scale: without.estimate,
        se_on_scale: without.se,
        df: without.freedom,
        n: at.length,
        repetitions: at.reduce((sum, { repetitions }) => sum + repetitions, 0),
        athletes: new Set(at.map(({ athleteId }) => athleteId)).size,
        recordings: new Set(at.map(({ recordingId }) => recordingId)).size,
        held: fit!.covariates.map(({ name, mean }) => `${name} ${Number(mean.toPrecision(6))}`).join('; '),
      };
    });
  });
  return tableOf(COHORT_MEAN_COLUMNS, rows);
}
