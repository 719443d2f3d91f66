import { DataError } from '../errors.ts';

const list = (names: readonly string[]) => names.join(', ');
const meant = (name: string | null) => (name === null ? '' : ` Did you mean "${name}"?`);

/** Where in the study file a fault of the comparison stands. */
export interface ComparisonPlace {
  readonly file: string;
  readonly line: number;
  /** `comparison.predictors[2]`. */
  readonly field: string;
}

const at = ({ file, line, field }: ComparisonPlace) => `${file}, line ${line}: ${field}`;
const facts = ({ file, line, field }: ComparisonPlace) => ({ file, line, field });

/** A name that is no measure. */
export const comparisonMeasureUnknown = (place: ComparisonPlace, name: string, nearest: string | null) =>
  new DataError(
    'comparison-measure-unknown',
    `${at(place)}: there is no measure "${name}".${meant(nearest)} All measures stand in docs/method/measures.md.`,
    { ...facts(place), name, suggestion: nearest ?? '' },
  );

/** A name that is neither in the recording files nor a measure. */
export const predictorUnknown = (
  place: ComparisonPlace,
  name: string,
  nearest: string | null,
  known: readonly string[],
) =>
  new DataError(
    'comparison-predictor-unknown',
    `${at(place)}: "${name}" is no predictor.${meant(nearest)} There are ${list(known)}; and every measure of docs/method/measures.md, where needed with its place (trunk_lean@parallel).`,
    { ...facts(place), name, suggestion: nearest ?? '' },
  );

/** A place at which the measure is not read, or none where it is read at several. */
export const comparisonPlaceUnknown = (
  place: ComparisonPlace,
  measure: string,
  wanted: string | null,
  nearest: string | null,
  known: readonly string[],
) =>
  new DataError(
    'comparison-place-unknown',
    wanted === null
      ? `${at(place)}: ${measure} is read at several places; say which: ${list(known)}.`
      : `${at(place)}: ${measure} is not read at "${wanted}".${meant(nearest)} Its places: ${list(known)}.`,
    { ...facts(place), measure, at: wanted ?? '', suggestion: nearest ?? '' },
  );

export const comparisonSideUnknown = (
  place: ComparisonPlace,
  measure: string,
  side: string | null,
  known: readonly string[],
) =>
  new DataError(
    'comparison-side-unknown',
    side === null
      ? `${at(place)}: ${measure} has a value for each side and none for both; say which side: ${list(known)}.`
      : `${at(place)}: ${measure} has no value for the side "${side}". ${list(known) === '' ? 'It has no sides: leave "side" out.' : `Its sides: ${list(known)}.`}`,
    { ...facts(place), measure, side: side ?? '' },
  );

/** Something said twice. */
export const comparisonTwice = (place: ComparisonPlace, name: string) =>
  new DataError('comparison-twice', `${at(place)}: "${name}" stands twice. Leave one out.`, {
    ...facts(place),
    name,
  });

/** A slope, interaction, factor or centre of what is not among the predictors. */
export const notAPredictorHere = (
  place: ComparisonPlace,
  name: string,
  nearest: string | null,
  predictors: readonly string[],
) =>
  new DataError(
    'comparison-not-a-predictor',
    `${at(place)}: "${name}" is not among the predictors (${list(predictors)}).${meant(nearest)} Add it there, or leave it out here.`,
    { ...facts(place), name, suggestion: nearest ?? '' },
  );

/** Levels of a measured number. */
export const measuredFactor = (place: ComparisonPlace, name: string) =>
  new DataError(
    'comparison-measured-factor',
    `${at(place)}: "${name}" is measured, so hardly two recordings have the same value; it cannot be taken as levels. Leave it out here: it then counts as a number.`,
    { ...facts(place), name },
  );

/** A text, or a number taken as levels, cannot be centred. */
export const factorCentred = (place: ComparisonPlace, name: string) =>
  new DataError(
    'comparison-factor-centred',
    `${at(place)}: "${name}" is taken as levels and has no centre. Leave it out of centre or out of factors.`,
    { ...facts(place), name },
  );

/** A measure explained by itself. */
export const outcomeAmongPredictors = (place: ComparisonPlace, name: string) =>
  new DataError(
    'comparison-outcome-as-predictor',
    `${at(place)}: "${name}" is an outcome too, and would explain itself. Take it out of predictors or of outcomes.`,
    { ...facts(place), name },
  );

/** Why there is no number, and what to know about one. */
export const cohortReasons = {
  cannotBeFitted: (why: string) => `cannot be fitted: ${why}`,
  tooFewAthletes: (athletes: number, least: number) =>
    `${athletes} athlete${athletes === 1 ? '' : 's'} in the rows used; a mixed model needs at least ${least}`,
  noRows: () => 'no recording has the measure and all predictors',
  noValue: (column: string) => `no value of ${column}`,
  withinObservations: (counts: string) => `repetitions of observations in the model: ${counts}`,
  noFullRepetition: () => 'no full repetition',
  notMeasured: () => 'the recording does not have the measure',
  notOnScale: () => 'a ratio that has no place on its scale',
  noIntervals: (recordings: number) =>
    `the measurement has no interval in ${recordings} of the recordings used: its shared part is not known`,
  withinAthlete: () =>
    'one athlete alone: doubt of the measurement only; how the athlete varies from set to set is not in the interval',
  noIntervalWithin: () => 'the measurement has no interval in one of the two',
};

export const cohortNotes = {
  mixedLifts: (kinds: readonly string[]) =>
    `recordings of different lifts are taken together (${list(kinds)}): add lift_kind or bar_position to predictors, or compare them in studies of their own`,
  repetitionsAlike: (share: number) =>
    `repetitions of one recording are more alike than the model says (${(100 * share).toFixed(0)} % of what is left goes with the recording): intervals are too short; use rows: recordings`,
  alsoDiffer: (columns: readonly string[]) => `the two levels also differ in ${list(columns)}`,
  bodyMeans: (columns: readonly string[]) => `${list(columns)}: mean over the recordings of the athlete`,
};
