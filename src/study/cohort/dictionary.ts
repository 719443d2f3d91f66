import { athleteId, number, recordingId, side, type TableEntry, text, whole } from '../dictionary-columns.ts';
import { COHORT_CURVE_TABLES } from './curve-dictionary.ts';

/* The tables of the comparison of a whole study. */

const truth = (column: string, definition: string) => ({ column, type: 'truth' as const, unit: '', definition });

const measure = text('measure', 'Outcome: name of the measure; defined in docs/method/measures.md.');
const at = text('at', 'Place in the repetition, as in measures.csv.');
const scale = text(
  'scale',
  '`as it is`; `logarithm`: of a ratio of lengths, its natural logarithm; `share`: of a ratio a / b, a / (a + b); `reciprocal`: −1 / ratio. Which one is said by the measure.',
);
const onScaleUnit = text(
  'unit',
  'Unit of the outcome on its scale, which effects and standard deviations are in; `1` = dimensionless.',
);
const outcome = [measure, side, at, scale, onScaleUnit];

const n = whole('n', 'Observations in the model: recordings, or repetitions where the study file says so.');
const repetitions = whole('repetitions', 'Full repetitions in them; a measure of the whole set counts as one.');
const athletes = whole('athletes', 'Athletes in the model.');
const recordings = whole('recordings', 'Recordings in the model.');
const missing = whole(
  'missing',
  'Full repetitions that take no part: they do not know the outcome, or their recording lacks a predictor.',
);
const recordingsMissing = whole('recordings_missing', 'Recordings that take no part.');
const model = text('model', 'The model in the notation of lme4; its columns are those of cohort-rows.csv.');
const notes = text('notes', 'What to know about the model or the numbers, parted by semicolons.');
const reason = text('reason', 'Why there is no number: `cannot be fitted: …`; empty where there is one.');

export const cohortEffects: TableEntry = {
  file: 'cohort-effects.csv',
  row: 'an outcome and an effect of its model; where no model could be fitted one row that says why, and one an athlete and pair of levels',
  columns: [
    ...outcome,
    text('athlete_id', 'Empty: all athletes. Else the row is a contrast within this athlete alone.'),
    text(
      'term',
      'Predictor, or predictors of an interaction joined by `:`; `(intercept)`: all covariates at their centre, all factors at their reference.',
    ),
    text('level', 'Of a factor: the level (joined by `:` in an interaction). `any`: all levels tested at once.'),
    text('reference', 'The level it is compared with.'),
    text('per', 'Of a covariate: its unit; the effect is for one of it. `1` for pure numbers.'),
    number('estimate', 'as in unit', 'Effect on the outcome on its scale; of a logarithm about the relative change.'),
    number('se', 'as in unit', 'Standard error, without the shared part of the measurement error.'),
    number('lower', 'as in unit', 'Lower end of the 95 % interval, without the shared part of the measurement error.'),
    number('upper', 'as in unit', 'Upper end of that interval.'),
    number(
      'lower_with_shared',
      'as in unit',
      'Lower end with what measurement errors common to several recordings do; this is the interval to go by. Empty where a recording has no interval. Within one athlete: doubt of the measurement only.',
    ),
    number('upper_with_shared', 'as in unit', 'Upper end of that interval.'),
    number('df', '1', 'Degrees of freedom of se (Satterthwaite); of `any`, of the denominator.'),
    number(
      'p',
      '1',
      'Probability of so large an effect were there none, without the shared part; empty for the intercept.',
    ),
    number(
      'p_with_shared',
      '1',
      'The same with the shared part of the measurement error; empty where a recording has no interval.',
    ),
    number(
      'p_holm',
      '1',
      'With this effect looked at in all outcomes, by Holm’s rule; of p_with_shared where it is known, else of p.',
    ),
    number(
      'standardised',
      '1',
      'Effect of a level, or of one standard deviation of a covariate over the observations, divided by √(variance between athletes + residual variance).',
    ),
    number(
      'reliability',
      '1',
      'Of a measured covariate: the part of its variance between recordings (of a body proportion, athletes) that is not measurement error. Its effect comes out too small by about this factor and is not corrected. Empty for what is taken as exact, or not known.',
    ),
    n,
    repetitions,
    athletes,
    recordings,
    missing,
    recordingsMissing,
    model,
    notes,
    reason,
  ],
};

export const cohortMeans: TableEntry = {
  file: 'cohort-means.csv',
  row: 'an outcome and a level of a factor: what the model expects there, other factors averaged with equal weights, covariates as in held',
  columns: [
    measure,
    side,
    at,
    text('factor', 'The factor.'),
    text('level', 'Its level.'),
    number('mean', 'as in unit', 'Marginal mean, back from the scale.'),
    number('lower', 'as in unit', 'Lower end of its 95 % interval, without the shared part of the measurement error.'),
    number('upper', 'as in unit', 'Upper end of that interval.'),
    number(
      'lower_with_shared',
      'as in unit',
      'Lower end with the shared part; empty where a recording has no interval.',
    ),
    number('upper_with_shared', 'as in unit', 'Upper end of that interval.'),
    text('unit', 'Unit of the mean and its ends, as in measures.csv.'),
    scale,
    number('mean_on_scale', 'as in scale', 'Marginal mean on the scale.'),
    number('se_on_scale', 'as in scale', 'Its standard error, without the shared part.'),
    number('df', '1', 'Degrees of freedom of the standard error (Satterthwaite).'),
    whole('n', 'Observations at this level.'),
    whole('repetitions', 'Full repetitions at this level.'),
    whole('athletes', 'Athletes at this level.'),
    whole('recordings', 'Recordings at this level.'),
    text('held', 'Value at which each covariate is held: its mean over the observations.'),
  ],
};

export const cohortModels: TableEntry = {
  file: 'cohort-models.csv',
  row: 'an outcome: how well its model describes it',
  columns: [
    ...outcome,
    model,
    text('references', 'Reference level of each factor.'),
    text('centres', 'What was subtracted from each covariate before the fit.'),
    number('reml_criterion', '1', '−2 ln of the restricted likelihood at its best.'),
    number('athlete_sd', 'as in unit', 'Standard deviation between athletes, covariates at their centre.'),
    text('slope_sds', 'Standard deviation between athletes of each random slope.'),
    text('correlations', 'Correlations of the random effects.'),
    number(
      'residual_sd',
      'as in unit',
      'Standard deviation between observations of one athlete that the model does not explain, noise of the measurement included.',
    ),
    number(
      'icc_athlete',
      '1',
      'Share of the athlete in what the fixed effects leave: variance between athletes / (that + residual variance).',
    ),
    number('r2_marginal', '1', 'Part of the variance that the fixed effects explain (Nakagawa & Schielzeth 2013).'),
    number('r2_conditional', '1', 'Part that fixed effects and athlete together explain.'),
    truth('singular', 'true: a spread came out as 0 or a correlation as ±1.'),
    truth('converged', 'false: the search did not settle; do not use the model.'),
    n,
    repetitions,
    athletes,
    recordings,
    missing,
    recordingsMissing,
    text(
      'missing_why',
      'Why observations take no part, and why repetitions within those that do are not known, with their number.',
    ),
    notes,
    reason,
  ],
};

export const cohortRows: TableEntry = {
  file: 'cohort-rows.csv',
  row: 'an outcome and an observation, those left out too; one column a predictor stands at the end',
  columns: [
    ...outcome,
    athleteId,
    recordingId,
    whole('repetition', 'Number of the repetition; 0 for the mean of a recording or a measure of the whole set.'),
    whole('repetitions', 'Known values in the observation.'),
    whole('missing', 'Full repetitions of the observation whose value is not known.'),
    text('missing_why', 'Why these are not known, with their number.'),
    number('value', 'as in value_unit', 'The outcome, of several repetitions their mean on the scale brought back.'),
    text('value_unit', 'Unit of value, as in measures.csv.'),
    number('response', 'as in unit', 'The outcome on its scale: what the model describes.'),
    truth('used', 'true where the observation is in the model.'),
    text('reason', 'Why it is not in the model.'),
    {
      column: '<predictor>',
      type: 'number',
      unit: 'as in cohort-effects.csv, per',
      definition:
        'A predictor of the study file, before centring; `@` and spaces of its name are `_`. Words for a factor such as sex.',
    },
  ],
};

export const COHORT_TABLES: readonly TableEntry[] = [
  cohortEffects,
  cohortMeans,
  cohortModels,
  cohortRows,
  ...COHORT_CURVE_TABLES,
];
