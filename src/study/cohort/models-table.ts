import type { ColumnTable } from 'arquero';
import { tableOf } from '../csv.ts';
import { sevenDigits } from '../seven-digits.ts';
import { whyMissing } from './cohort-rows.ts';
import { explained, varianceParts } from './explained-variance.ts';
import type { OutcomeResult } from './outcome-result.ts';
import { formula, joinedNotes, OUTCOME_COLUMNS, outcomeCells } from './table-cells.ts';

export const COHORT_MODEL_COLUMNS = [
  ...OUTCOME_COLUMNS,
  'model',
  'references',
  'centres',
  'reml_criterion',
  'athlete_sd',
  'slope_sds',
  'correlations',
  'residual_sd',
  'icc_athlete',
  'r2_marginal',
  'r2_conditional',
  'singular',
  'converged',
  'n',
  'repetitions',
  'athletes',
  'recordings',
  'missing',
  'recordings_missing',
  'missing_why',
  'notes',
  'reason',
] as const;

/** `cohort-models.csv`: a row an outcome, how well its model describes it. */
export function modelsTable(results: readonly OutcomeResult[]): ColumnTable {
  return tableOf(COHORT_MODEL_COLUMNS, results.map(modelRow));
}

function modelRow(result: OutcomeResult) {
  const { fit, counts } = result;
  const common = {
    ...outcomeCells(result),
    model: formula(result),
    n: counts.n,
    repetitions: counts.repetitions,
    athletes: counts.athletes,
    recordings: counts.recordings,
    missing: counts.missing,
    recordings_missing: counts.recordingsMissing,
    missing_why: whyMissing(result.rows),
    notes: joinedNotes(result.notes),
    reason: result.reason,
  };
  if (fit === null) return common;
  const { marginal, conditional, athleteShare } = explained(varianceParts(fit));
  const [level, ...slopes] = fit.randomSds;
  return {
    ...common,
    references: fit.factors.map(({ name, levels }) => `${name} ${levels[0]}`).join('; '),
    centres: fit.covariates.map(({ name, centre }) => `${name} ${sevenDigits(centre)}`).join('; '),
    reml_criterion: fit.deviance,
    athlete_sd: level.sd,
    slope_sds: slopes.map(({ name, sd }) => `${name} ${sevenDigits(sd)}`).join('; '),
    correlations: fit.randomCorrelations
      .filter(({ correlation }) => !Number.isNaN(correlation))
      .map(({ first, second, correlation }) => `${first} and ${second} ${sevenDigits(correlation)}`)
      .join('; '),
    residual_sd: fit.residualSd,
    icc_athlete: athleteShare,
    r2_marginal: marginal,
    r2_conditional: conditional,
    singular: fit.singular,
    converged: fit.converged,
  };
}
