import type { ColumnTable } from 'arquero';
import { tableOf } from '../csv.ts';
import { codedColumns, INTERCEPT } from '../statistics/mixed-model/design.ts';
import { jointTest } from '../statistics/mixed-model/joint-test.ts';
import type { MixedFit } from '../statistics/mixed-model/mixed-fit.ts';
import { adjustedProbabilities } from '../statistics/multiplicity.ts';
import type { CheckedComparison } from './checked-comparison.ts';
import { whyMissing } from './cohort-rows.ts';
import { varianceParts } from './explained-variance.ts';
import type { OutcomeResult } from './outcome-result.ts';
import { formula, joinedNotes, OUTCOME_COLUMNS, outcomeCells } from './table-cells.ts';

export const COHORT_EFFECT_COLUMNS = [
  ...OUTCOME_COLUMNS,
  'athlete_id',
  'term',
  'level',
  'reference',
  'per',
  'estimate',
  'se',
  'lower',
  'upper',
  'lower_with_shared',
  'upper_with_shared',
  'df',
  'p',
  'p_with_shared',
  'p_holm',
  'standardised',
  'reliability',
  'n',
  'repetitions',
  'athletes',
  'recordings',
  'missing',
  'recordings_missing',
  'model',
  'notes',
  'reason',
] as const;

/** Level of the row that tests all levels of a factor at once. */
export const ANY_LEVEL = 'any';

interface Cells extends Readonly<Record<string, unknown>> {
  readonly term?: string;
  readonly level?: string;
  readonly p?: number;
  readonly p_with_shared?: number;
}

/**
 * `cohort-effects.csv`: a row an outcome and effect; p_holm counts all outcomes with the same effect as one family, each by
 * its probability with the shared part of the measurement error where that is known.
 */
export function effectsTable(results: readonly OutcomeResult[], comparison: CheckedComparison): ColumnTable {
  const rows = results.flatMap((result) =>
    result.fit ? effectRows(result, result.fit, comparison) : unfittedRows(result),
  );
  const families = new Map<string, number[]>();
  rows.forEach(({ term, level, p }, row) => {
    if (p === undefined) return;
    const family = JSON.stringify([term, level]);
    families.set(family, [...(families.get(family) ?? []), row]);
  });
  const holm = new Map<number, number>();
  for (const own of families.values()) {
    const { probabilities } = adjustedProbabilities(
      own.map((row) => rows[row].p_with_shared ?? rows[row].p!),
      'holm',
    );
    own.forEach((row, i) => {
      holm.set(row, probabilities[i]);
    });
  }
  return tableOf(
    COHORT_EFFECT_COLUMNS,
    rows.map((row, i) => ({ ...row, p_holm: holm.get(i) })),
  );
}

function effectRows(result: OutcomeResult, fit: MixedFit, comparison: CheckedComparison): Cells[] {
  const { predictors } = fit.inner.rows;
  const coded = codedColumns(fit.inner.model.fixed, predictors);
  const { athletes, residual } = varianceParts(fit);
  const sd = Math.sqrt(athletes + residual);
  const common = {
    ...outcomeCells(result),
    ...countCells(result),
    model: formula(result),
    notes: joinedNotes(result.notes),
    reason: '',
  };
  const of = new Map<string, number[]>();
  const rows = coded.map(({ name, parts }, j): Cells => {
    const { without, with: shared } = result.effects[j];
    const own = parts.map(({ column, level }) => ({ predictor: predictors.get(column)!, level }));
    const factors = own.flatMap(({ predictor, level }) =>
      predictor.kind === 'factor' ? [{ level: predictor.levels[level], reference: predictor.levels[0] }] : [],
    );
    const covariates = own.flatMap(({ predictor }) => (predictor.kind === 'covariate' ? [predictor.name] : []));
    const term = name === INTERCEPT ? INTERCEPT : parts.map(({ column }) => column).join(':');
    of.set(term, [...(of.get(term) ?? []), j]);
    // Of a covariate per standard deviation of its column in the model, so that all can be set beside each other.
    const size = covariates.length > 0 ? columnSd(fit, j) : 1;
    return {
      ...common,
      term,
      level: factors.map(({ level }) => level).join(':'),
      reference: factors.map(({ reference }) => reference).join(':'),
      per: covariates.map((column) => unitOf(column, result, comparison)).join(' · '),
      estimate: without.estimate,
      se: without.se,
      lower: without.lower,
      upper: without.upper,
      lower_with_shared: shared?.lower,
      upper_with_shared: shared?.upper,
      df: without.freedom,
      // Whether the mean is 0 was not asked.
      ...(term !== INTERCEPT && {
        p: without.p,
        p_with_shared: shared?.p,
        standardised: (without.estimate * size) / sd,
      }),
      ...(parts.length === 1 && { reliability: result.reliability.get(parts[0].column) }),
    };
  });
  const joint = [...of].filter(([term, members]) => term !== INTERCEPT && members.length > 1);
  const jointRows = joint.map(([term, members]): Cells => {
    const all = members.map((j) => ({ [coded[j].name]: 1 }));
    const { freedom2, p } = jointTest(fit, all);
    return {
      ...common,
      term,
      level: ANY_LEVEL,
      reference: rows[members[0]].reference,
      df: freedom2,
      p,
      p_with_shared: result.causes ? jointTest(fit, all, result.causes).p : undefined,
    };
  });
  return [...rows, ...jointRows];
}

/** One row that says why, and one a contrast within an athlete. */
function unfittedRows(result: OutcomeResult): Cells[] {
  const missing = whyMissing(result.rows);
  const whole = {
    ...outcomeCells(result),
    ...countCells(result),
    model: formula(result),
    notes: joinedNotes([...result.notes, ...(missing === '' ? [] : [missing])]),
    reason: result.reason,
  };
  const own = result.within.map((one): Cells => {
    const { difference } = one;
    return {
      ...outcomeCells(result),
      athlete_id: one.athleteId,
      term: one.factor,
      level: one.level,
      reference: one.reference,
      estimate: difference.value,
      lower_with_shared: difference.lower,
      upper_with_shared: difference.upper,
      n: one.recordings,
      repetitions: one.repetitions,
      athletes: 1,
      recordings: one.recordings,
      notes: one.notes,
      reason: one.reason,
    };
  });
  return [whole, ...own];
}

const countCells = ({ counts }: OutcomeResult) => ({
  n: counts.n,
  repetitions: counts.repetitions,
  athletes: counts.athletes,
  recordings: counts.recordings,
  missing: counts.missing,
  recordings_missing: counts.recordingsMissing,
});

function columnSd({ inner: { design } }: MixedFit, j: number): number {
  const { x, rows: n, effects } = design;
  const p = effects.length;
  let mean = 0;
  for (let row = 0; row < n; row++) mean += x[row * p + j] / n;
  let squares = 0;
  for (let row = 0; row < n; row++) squares += (x[row * p + j] - mean) ** 2;
  return Math.sqrt(squares / (n - 1));
}

/** Unit of a covariate: the effect is for one of it. */
function unitOf(column: string, { predictorUnits }: OutcomeResult, { predictors }: CheckedComparison): string {
  const predictor = predictors.find((one) => one.column === column)!;
  if (predictor.kind === 'measure') return predictorUnits.get(column) ?? '';
  return predictor.kind === 'condition' ? '1' : predictor.unit;
}
