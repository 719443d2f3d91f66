import { DataError } from '../errors.ts';

/** A table of subjects × occasions has an empty cell. `row` and `column` count from 1. */
export const tableIncomplete = (row: number, column: number, missing: number, leftAfter: number) =>
  new DataError(
    'reliability-incomplete',
    `Subject ${row}, occasion ${column}: no value (${missing} missing in all). The two-way forms need a complete table. ` +
      `Leave out subjects with a gap (incomplete: 'leave out'; ${leftAfter} would be left), or use the one-way form, which takes unequal numbers.`,
    { row, column, missing, leftAfter },
  );

/** Rows of unequal length: which value belongs to which occasion is not known. */
export const tableRagged = (row: number, found: number, wanted: number) =>
  new DataError(
    'reliability-ragged',
    `Subject ${row} has ${found} values, the first one ${wanted}: which value belongs to which occasion is not known. ` +
      'Write NaN where an occasion is missing, or use the one-way form, which takes unequal numbers.',
    { row, found, wanted },
  );

export const tableTooSmall = (subjects: number, occasions: number) =>
  new DataError(
    'reliability-too-small',
    `${subjects} subjects with ${occasions} occasions each: at least 2 of both are needed to tell subjects from occasions.`,
    { subjects, occasions },
  );

/** One-way form: no subject twice, or fewer than two subjects. */
export const groupsTooSmall = (subjects: number, values: number) =>
  new DataError(
    'reliability-groups-too-small',
    `${values} values of ${subjects} subjects: at least two subjects, one of them measured twice, are needed.`,
    { subjects, values },
  );

/** A logarithm was wanted of a number that has none. */
export const notPositive = (row: number, column: number, value: number) =>
  new DataError(
    'reliability-not-positive',
    `Subject ${row}, occasion ${column}: ${value}. A coefficient of variation is of ratios, so every value must be above 0; use the standard error of measurement instead.`,
    { row, column, value },
  );

export const meansOfTooFew = (of: number) =>
  new DataError(
    'reliability-means-of',
    `A mean of ${of} measurements was asked for: a whole number from 1 is needed.`,
    {
      of,
    },
  );

/** A standardised difference of too few values, or of values that do not differ. */
export const standardisedTooFew = (n: number, least: number) =>
  new DataError(
    'standardised-too-few',
    `${n} values: a standardised difference needs at least ${least} in a group to know a standard deviation.`,
    { n, least },
  );

export const standardisedNoSpread = (of: 'groups' | 'pairs') =>
  new DataError(
    'standardised-no-spread',
    `${of === 'pairs' ? 'The differences of all pairs are equal' : 'The values are equal within each group'}: there is no standard deviation to state the difference in. State the plain difference.`,
  );

export const pairsUnequal = (a: number, b: number) =>
  new DataError(
    'standardised-pairs-unequal',
    `${a} values against ${b}: a paired difference needs both values of every pair, in the same order.`,
    { a, b },
  );

export const probabilityOutside = (place: number, value: number) =>
  new DataError(
    'multiplicity-probability',
    `Probability ${place + 1} is ${value}: it must be from 0 to 1, or NaN where there is none.`,
    { place, value },
  );

export const bootstrapTooFewClusters = (clusters: number) =>
  new DataError(
    'bootstrap-too-few-clusters',
    `${clusters} athlete${clusters === 1 ? '' : 's'} to draw from: at least 2 are needed. State the values one by one instead.`,
    { clusters },
  );

export const bootstrapUnknown = (value: number) =>
  new DataError(
    'bootstrap-statistic-unknown',
    `The statistic of the data themselves is ${value}: it must be known before its interval can be. Leave out what makes it unknown.`,
    { value: String(value) },
  );

export const bootstrapResamples = (resamples: number, least: number) =>
  new DataError(
    'bootstrap-resamples',
    `${resamples} resamples: the ends of a 95 % interval need at least ${least} (a whole number).`,
    { resamples, least },
  );

/** What stands beside a number whose interval is missing or to be read with care. */
export const reliabilityReasons = {
  fewClusters: (clusters: number, wanted: number) =>
    `only ${clusters} athletes: a bootstrap of fewer than ${wanted} is too narrow (common practice, no source)`,
  resamplesFailed: (failed: number, resamples: number) =>
    `${failed} of ${resamples} resamples do not know the number, too many for an interval`,
  noAcceleration: () => 'leaving out an athlete leaves the number unknown, or no athlete moves it: no BCa interval',
  edgeOfResamples: () =>
    'an end of the BCa interval lies beyond the resamples: take more of them, or read the percentile interval',
  noSpread: () => 'all values are equal: nothing to judge',
};

/** Why a row of reliability.csv has no numbers. */
export const reliabilityRowReasons = {
  tooFewAthletes: (athletes: number) =>
    athletes === 0
      ? 'no recording under this condition knows the measure'
      : 'one athlete under this condition: how athletes differ is not known',
  onceEach: () =>
    'each athlete has one recording under this condition and load: how alike repeated recordings are cannot be known; film a set again',
  nothingVaries: () => 'all values are the same',
};
