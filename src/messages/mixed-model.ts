import { DataError } from '../errors.ts';

const list = (names: readonly string[]) => names.join(', ');

/** A model description that is not of the stated form. */
export const modelDescriptionWrong = (where: string, what: string) =>
  new DataError(
    'mixed-description',
    `Model description, ${where === '' ? 'as a whole' : where}: ${what}. Its form: { response, fixed: [...], random: { group, slopes? } } (docs/method/mixed-model.md).`,
    { where, what },
  );

/** A column that the table does not have. */
export const modelColumnMissing = (column: string, meant: string | null, columns: readonly string[]) =>
  new DataError(
    'mixed-no-column',
    `The model names the column "${column}", and the table has none.${meant === null ? '' : ` Did you mean "${meant}"?`} Its columns: ${list(columns)}.`,
    { column, meant: meant ?? '' },
  );

/** Columns of one table must be of one length. */
export const modelColumnsUneven = (column: string, rows: number, first: string, wanted: number) =>
  new DataError(
    'mixed-columns-uneven',
    `Column "${column}" has ${rows} rows, column "${first}" has ${wanted}. All columns of a table need as many rows.`,
    { column, rows, wanted },
  );

/** A cell that is no number in a column used as one. */
export const modelCellNotNumber = (column: string, row: number, value: string) =>
  new DataError(
    'mixed-not-a-number',
    `Column "${column}", row ${row + 1}: "${value}" is not a finite number. Leave the cell empty (null or NaN) where the value is missing.`,
    { column, row: row + 1, value },
  );

/** Numbers written as text, where a factor and a covariate are both possible. */
export const modelNumbersAsText = (column: string) =>
  new DataError(
    'mixed-numbers-as-text',
    `Column "${column}" holds numbers written as text. Give them as numbers for a covariate, or list the column under factors: { ${column}: {} } for a factor.`,
    { column },
  );

/** A reference level that no used row has. */
export const referenceLevelMissing = (column: string, level: string, levels: readonly string[]) =>
  new DataError(
    'mixed-no-reference-level',
    `Factor "${column}": no row used has the reference level "${level}". Levels found: ${list(levels)}.`,
    { column, level, levels: levels.join(' ') },
  );

/** Something is said of a column that the fixed or random part does not name. */
export const modelColumnUnused = (field: string, column: string) =>
  new DataError(
    'mixed-column-unused',
    `Model description, ${field}: "${column}" is in no term of the model. Add it to fixed or random.slopes, or leave it out here.`,
    { field, column },
  );

/** Centring a factor. */
export const centredFactor = (column: string) =>
  new DataError(
    'mixed-centred-factor',
    `Model description, centre: "${column}" is a factor and cannot be centred. Only covariates can.`,
    { column },
  );

/** A factor all rows have at one level. */
export const oneLevel = (column: string, level: string, rows: number) =>
  new DataError(
    'mixed-one-level',
    `Factor "${column}": all ${rows} rows used are "${level}"; an effect needs two levels. Take it out of the model, or look why rows of other levels were dropped.`,
    { column, level, rows },
  );

/** A covariate that does not vary. */
export const constantCovariate = (column: string, value: number, rows: number) =>
  new DataError(
    'mixed-constant-covariate',
    `Covariate "${column}" is ${value} in all ${rows} rows used; an effect needs it to vary. Take it out of the model.`,
    { column, value, rows },
  );

/** The same term twice. */
export const termTwice = (field: string, term: string) =>
  new DataError('mixed-term-twice', `Model description, ${field}: the term "${term}" stands twice. Leave one out.`, {
    field,
    term,
  });

/** An interaction whose parts are not in the model. */
export const interactionAlone = (field: string, term: string, missing: string) =>
  new DataError(
    'mixed-interaction-alone',
    `Model description, ${field}: "${term}" needs "${missing}" beside it; without its parts the meaning of an interaction hangs on the choice of the reference level. Add "${missing}".`,
    { field, term, missing },
  );

/** No row left. */
export const noRowsLeft = (rows: number, why: readonly { column: string; rows: number }[]) =>
  new DataError(
    'mixed-no-rows',
    `Of ${rows} rows none has a value in every column of the model. ${why.map((w) => `${w.column}: missing in ${w.rows}`).join('; ')}.`,
    { rows },
  );

/** Too few groups for the random part. */
export const tooFewGroups = (group: string, groups: number, least: number, effects: number) =>
  new DataError(
    'mixed-too-few-groups',
    `"${group}" has ${groups} group${groups === 1 ? '' : 's'} in the rows used; ${effects} random effect${effects === 1 ? '' : 's'} a group need at least ${least}. Record more, take slopes out, or describe each ${group} alone.`,
    { group, groups, least },
  );

/** As many random effects as rows. */
export const tooManyRandomEffects = (rows: number, groups: number, effects: number) =>
  new DataError(
    'mixed-too-many-random-effects',
    `${groups} groups × ${effects} random effects = ${groups * effects} against ${rows} rows: residual and random effects cannot be told apart. More rows than random effects are needed: take slopes out, or average to one row a group and use an ordinary comparison.`,
    { rows, groups, effects },
  );

/** No row is left over for the scatter within groups. */
export const noFreedomWithin = (group: string, rows: number, groups: number) =>
  new DataError(
    'mixed-no-freedom-within',
    `${rows} rows of ${groups} groups ("${group}"): once each has its own random effects and the fixed effects are fitted, nothing is left over, and the scatter within a group cannot be estimated. Record more rows in each, or take terms out.`,
    { group, rows, groups },
  );

/** The fixed effects tell all groups apart by themselves. */
export const noFreedomBetween = (group: string, groups: number, effect: string, effects: readonly string[]) =>
  new DataError(
    'mixed-no-freedom-between',
    `The ${effects.length} fixed effects (${list(effects)}) already tell all ${groups} groups ("${group}") apart${effect === '(intercept)' ? '' : ` in their ${effect}`}: how much groups differ beside them cannot be estimated, and no interval given. Take out what differs between groups only, or record more of them.`,
    { group, groups, effect },
  );

/** Fewer rows than fixed effects. */
export const tooFewRows = (rows: number, effects: number) =>
  new DataError(
    'mixed-too-few-rows',
    `${rows} rows for ${effects} fixed effects: nothing is left to estimate a spread. Record more, or take terms out.`,
    { rows, effects },
  );

/** Columns of the fixed part that follow from the columns before them. */
export const fixedRankDeficient = (columns: readonly string[], rank: number, of: number, empty: readonly string[]) =>
  new DataError(
    'mixed-rank-deficient',
    `The fixed effects cannot be told apart: ${rank} of ${of} are independent; ${list(columns)} follow${columns.length === 1 ? 's' : ''} from the ones before.${empty.length > 0 ? ` No row has the combination ${list(empty)}.` : ''} Take a term out, or record what is missing. (A covariate whose values are all alike to 1 in 10 million needs centring.)`,
    { columns: columns.join(' '), rank, of, empty: empty.join(' ') },
  );

/** A random slope of something that does not change within the groups. */
export const slopeBetweenOnly = (column: string, group: string) =>
  new DataError(
    'mixed-slope-between-only',
    `Random slope of "${column}": it does not change within any ${group}, so no ${group} has a slope of its own. Take it out of random.slopes; it can stay in fixed.`,
    { column, group },
  );

/** Random-effect columns that follow from one another. */
export const randomRankDeficient = (columns: readonly string[]) =>
  new DataError(
    'mixed-random-dependent',
    `The random effects ${list(columns)} follow from one another. Take one out of random.slopes, or centre its covariate.`,
    { columns: columns.join(' ') },
  );

/** Nothing is left after the fixed effects, or after fixed and random effects. */
export const residualVanishes = (response: string, sd: number, ofResponse: number) =>
  new DataError(
    'mixed-no-residual',
    `"${response}" is described exactly by the model: residual SD ${sd.toPrecision(3)} beside ${ofResponse.toPrecision(3)} of the values. No interval can be given. Is the response constant, computed from the predictors, or copied within the groups?`,
    { response, sd, ofResponse },
  );

/** Weights that do not fit the fixed effects. */
export const contrastWrong = (what: string, wanted: number, effects: readonly string[]) =>
  new DataError(
    'mixed-contrast',
    `Contrast: ${what}. ${wanted} weights are wanted, one for each of: ${list(effects)}; or an object by those names.`,
    { what, wanted },
  );

/** Contrasts that follow from one another cannot all be counted in a joint test. */
export const contrastsDependent = (rank: number, of: number) =>
  new DataError(
    'mixed-contrasts-dependent',
    `Joint test: of ${of} contrasts only ${rank} are independent. Leave out those that follow from the others.`,
    { rank, of },
  );

/** A factor or covariate that the fixed part does not have. */
export const notInFixed = (name: string, kind: 'factor' | 'covariate', known: readonly string[]) =>
  new DataError(
    'mixed-not-in-fixed',
    `"${name}" is no ${kind} of the fixed effects. There ${known.length === 0 ? 'are none' : `are: ${list(known)}`}.`,
    { name, kind },
  );

/** A level that a factor does not have. */
export const levelUnknown = (factor: string, level: string, levels: readonly string[]) =>
  new DataError('mixed-no-level', `Factor "${factor}" has no level "${level}". Its levels: ${list(levels)}.`, {
    factor,
    level,
  });

/** Two fits that a likelihood ratio cannot compare. */
export const fitsNotComparable = (why: string) =>
  new DataError('mixed-not-comparable', `Likelihood-ratio test: ${why}.`, { why });

/** Effects of shared causes of another length than the rows. */
export const sharedEffectsWrong = (key: string, what: string, found: number, wanted: number) =>
  new DataError(
    'mixed-shared-effects',
    `Shared cause "${key}": ${what} (${found}, wanted ${wanted}). Give one effect (of 1 SD, in the unit of the response) for each row of the table that was fitted.`,
    { key, found, wanted },
  );

/** A bootstrap asked for something it cannot give. */
export const bootstrapWrong = (what: string, found: number, least: number) =>
  new DataError('mixed-bootstrap', `Bootstrap: ${what} (${found}, at least ${least} wanted).`, { found, least });

/** Why rows were not used. */
export const mixedReasons = {
  noValue: (column: string) => `no value of ${column}`,
};

/** What a reader of a fit must know; by the codes of `MixedFit.notes`. */
export const mixedNotes = {
  singular: (what: string) =>
    `The fit lies at the edge of what is possible (${what}): the data do not show that spread apart from noise. It is reported as 0 or ±1; that is no proof that it is absent. Intervals take it as known; those of effects that differ only between groups count every row for itself and come out too short.`,
  notConverged: (iterations: number) =>
    `The search for the variances did not settle in ${iterations} steps: do not use this fit. Centre covariates, or take slopes out.`,
  fewGroups: (groups: number, group: string) =>
    `Only ${groups} of ${group}: the spread between them is hardly known (common practice, no source: at least 5).`,
  freedomUnknown: (effects: string) =>
    `Degrees of freedom could not be worked out for ${effects}: no interval and no p is given.`,
};
