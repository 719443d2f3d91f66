import { DataError } from '../errors.ts';
import type { ComparisonPlace } from './cohort.ts';

const list = (names: readonly string[]) => names.join(', ');
const meant = (name: string | null) => (name === null ? '' : ` Did you mean "${name}"?`);
const at = ({ file, line, field }: ComparisonPlace) => `${file}, line ${line}: ${field}`;
const facts = ({ file, line, field }: ComparisonPlace) => ({ file, line, field });

/** A name that no curve bears. */
export const curveQuantityUnknown = (
  place: ComparisonPlace,
  name: string,
  nearest: string | null,
  known: readonly string[],
) =>
  new DataError(
    'comparison-curve-unknown',
    `${at(place)}: there is no curve "${name}".${meant(nearest)} There are ${list(known)}.`,
    { ...facts(place), name, suggestion: nearest ?? '' },
  );

/** A level that no recording states. */
export const curveLevelUnknown = (
  place: ComparisonPlace,
  by: string,
  level: string,
  nearest: string | null,
  known: readonly string[],
) =>
  new DataError(
    'comparison-curve-level-unknown',
    `${at(place)}: no recording has ${by} "${level}".${meant(nearest)} ${known.length === 0 ? `No recording states ${by}.` : `The recordings have ${list(known)}.`}`,
    { ...facts(place), by, name: level, suggestion: nearest ?? '' },
  );

/** A level against itself. */
export const curveLevelsAlike = (place: ComparisonPlace, level: string) =>
  new DataError(
    'comparison-curve-levels-alike',
    `${at(place)}: "${level}" would be compared with itself. Name two levels, for instance [0, 20].`,
    { ...facts(place), name: level },
  );

/** Levels of what is taken as a number. */
export const levelsAlongCovariate = (place: ComparisonPlace, by: string) =>
  new DataError(
    'comparison-curve-levels-of-covariate',
    `${at(place)}: with design: covariate ${by} counts as a number and has no levels. Leave out levels or design.`,
    { ...facts(place), by },
  );

/** Words that are to be taken as a number. */
export const wordsAsCovariate = (place: ComparisonPlace, by: string) =>
  new DataError(
    'comparison-curve-words-as-covariate',
    `${at(place)}: ${by} is words, not a number, and cannot be a covariate. Take design: paired or groups, or leave design out.`,
    { ...facts(place), by },
  );

/** Why a comparison across depth was not made. */
export const cohortCurveReasons = {
  noPredictor: (names: readonly string[]) =>
    `not tested: no predictor (${list(names)}) has just two levels; name one under comparison.curves, with its levels`,
  notTested: (why: string) => `not tested: ${why}`,
  noValues: (by: string) => `no recording has a value of ${by}`,
  oneLevel: (by: string, level: string) => `${by} is ${level} in all recordings`,
  severalLevels: (by: string, levels: readonly string[]) =>
    `${by} has ${levels.length} values (${list(levels.slice(0, 8))}${levels.length > 8 ? ' …' : ''}); name two: levels: [from, to]`,
  levelNotThere: (by: string, level: string) => `no recording analysed has ${by} ${level}`,
  notANumber: (by: string) => `${by} is words, not a number`,
  changesWithin: (by: string, athlete: string) =>
    `${by} is not one number an athlete (${athlete} has several); name two: levels: [from, to], or say design: covariate to take each athlete's mean`,
  noCurves: (quantity: string) => `no full repetition has ${quantity} across depth`,
  bandOfFew: (athletes: number) =>
    `${athletes} athlete${athletes === 1 ? '' : 's'}: a band of the mean needs at least 6`,
};

/** What to know about a comparison across depth. */
export const cohortCurveNotes = {
  leftOut: (athletes: readonly string[], why: string) => `left out, ${why}: ${list(athletes)}`,
  onlyOneLevel: (level: string) => `has only ${level}`,
  alsoDiffer: (columns: readonly string[]) =>
    `recordings of one athlete at the two levels also differ in ${list(columns)}`,
  unequalGroups: (a: number, b: number) =>
    `groups of unequal size (${a} and ${b}): where their spread differs too, the level is not kept`,
  noIntervals: (recordings: number) =>
    `no interval in ${recordings} of the recordings used: how far errors of measurement that athletes share widen the band is not known`,
  meansOfAthlete: (by: string) => `${by}: mean over the recordings of the athlete`,
};
