import { CAUSE_GROUPS } from '../../uncertainty/causes/cause.ts';

/** Columns with a closed set of values, in whatever table they stand. Empty is allowed beside them (see keys.ts). */
const EVERYWHERE: Readonly<Record<string, readonly string[]>> = {
  side: ['both', 'left', 'right'],
  phase: ['descent', 'ascent'],
  grid: ['thigh_elevation_deg', 'drop_pct'],
  order: ['descent first', 'ascent first'],
  completeness: ['full', 'partial', 'failed'],
  sex: ['female', 'male', 'unknown'],
  outcome: ['made', 'failed'],
  grade: ['good', 'usable', 'poor'],
  joint: ['hip', 'knee', 'ankle', 'lumbosacral', 'shoulder', 'elbow'],
  axes: ['joint', 'segment', 'lab'],
  over: ['all', 'repetition', 'lean'],
  shape: ['at once', 'little by little'],
  scale: ['difference', 'ratio'],
  word: ['shown', 'suggested', 'not there', 'open', 'unknown'],
  basis: ['citation', 'common practice, no source', 'contested'],
  kind: ['measure', 'curve'],
  cause: CAUSE_GROUPS,
  mdc_basis: ['days pooled', 'days own', 'days stated', 'measurement only'],
  day_to_day_basis: ['pooled', 'own', 'stated'],
};

const TWO_SETS = ['different', 'cannot tell'];
const OVER_A_SET = ['changed', 'different', 'cannot tell'];

const OF_A_STUDY = ['differs', 'cannot tell', 'cannot be significant', 'not tested'];
const DESIGNS = ['paired', 'groups', 'covariate'];
const OF_CURVES = ['difference', 'factor'];

const OF_A_MEASURE = ['as it is', 'logarithm', 'share', 'reciprocal'];

/** Columns whose set depends on the table. */
const BY_TABLE: Readonly<Record<string, readonly string[]>> = {
  'comparisons.csv/verdict': TWO_SETS,
  'measure-differences.csv/verdict': TWO_SETS,
  'curve-differences.csv/verdict': TWO_SETS,
  'set-changes.csv/verdict': OVER_A_SET,
  'load-changes.csv/verdict': OVER_A_SET,
  'week-changes.csv/verdict': ['changed', 'different', 'cannot tell yet', 'one session only'],
  'cohort-effects.csv/scale': OF_A_MEASURE,
  'cohort-means.csv/scale': OF_A_MEASURE,
  'cohort-models.csv/scale': OF_A_MEASURE,
  'cohort-rows.csv/scale': OF_A_MEASURE,
  'curve-tests.csv/scale': OF_CURVES,
  'curve-tests.csv/design': DESIGNS,
  'curve-tests.csv/verdict': ['different', 'cannot tell', 'not tested'],
  'cohort-curves.csv/scale': OF_CURVES,
  'cohort-curves.csv/design': DESIGNS,
  'cohort-curves.csv/verdict': OF_A_STUDY,
  'cohort-curve-tests.csv/scale': OF_CURVES,
  'cohort-curve-tests.csv/design': DESIGNS,
  'cohort-curve-tests.csv/design_from': ['data', 'stated'],
  'cohort-curve-tests.csv/verdict': OF_A_STUDY,
  'findings.csv/comparison': ['above', 'below'],
  'week-changes.csv/comparison': ['last less first', 'last less baseline', 'last less previous', 'per week'],
};

/** All values a column can have beside empty; undefined where the set is open. */
export function closedValues(file: string, column: string): readonly string[] | undefined {
  return BY_TABLE[`${file}/${column}`] ?? EVERYWHERE[column];
}
