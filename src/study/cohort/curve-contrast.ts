import { cohortCurveReasons } from '../../messages/cohort-curves.ts';
import type { CurveDesign } from '../statistics/curves/curve-test-result.ts';
import type { CheckedCurve } from './checked-curves.ts';
import type { PredictorValues } from './predictor-values.ts';
import type { RecordingFacts } from './recording-facts.ts';

/** Two levels of something: indices of the recordings at each. */
export interface LevelContrast {
  readonly kind: 'levels';
  readonly design: Exclude<CurveDesign, 'covariate'>;
  readonly reference: string;
  readonly level: string;
  readonly atReference: readonly number[];
  readonly atLevel: readonly number[];
}

/** A number of the athlete. */
export interface CovariateContrast {
  readonly kind: 'covariate';
  readonly design: 'covariate';
  readonly recordings: readonly number[];
  /** By athlete: mean over the recordings. */
  readonly of: ReadonlyMap<string, number>;
  /** Some athlete's recordings have different numbers. */
  readonly averaged: boolean;
}

export interface NoContrast {
  readonly kind: 'none';
  readonly design: CurveDesign | null;
  readonly reason: string;
}

export type CurveContrast = LevelContrast | CovariateContrast | NoContrast;

/**
 * Who is set against whom. Two levels, named or the only two: within athletes as soon as one of them has both, else two groups of
 * athletes. More values: a covariate, where each athlete has one. What the file states goes before all of this.
 *
 * @param first level that is compared with where the file names none and the data have it
 */
export function curveContrast(
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  { by, levels, design }: CheckedCurve,
  first: string | undefined,
): CurveContrast {
  const name = by.name;
  const values = facts.map((_, i) => predictors[i].get(by.column)!.value);
  const athletes = facts.map(({ card }) => card.athlete.id);
  const none = (reason: string): NoContrast => ({ kind: 'none', design, reason: cohortCurveReasons.notTested(reason) });
  const found = levelsOf(values);
  if (found.length === 0) return none(cohortCurveReasons.noValues(name));
  const numbers = values.every((value) => value === null || typeof value === 'number');
  if (levels !== null) {
    const absent = levels.find((level) => !found.includes(level));
    if (absent !== undefined) return none(cohortCurveReasons.levelNotThere(name, absent));
    return betweenLevels(values, athletes, levels, design);
  }
  if (design === 'covariate') {
    return numbers ? alongNumber(values, athletes) : none(cohortCurveReasons.notANumber(name));
  }
  if (found.length === 1) return none(cohortCurveReasons.oneLevel(name, found[0]));
  if (found.length === 2 && by.kind !== 'measure') {
    const turned = first === found[1];
    return betweenLevels(values, athletes, turned ? [found[1], found[0]] : [found[0], found[1]], design);
  }
  if (!numbers || design !== null) return none(cohortCurveReasons.severalLevels(name, found));
  const along = alongNumber(values, athletes);
  if (!along.averaged || by.kind === 'measure') return along;
  return none(cohortCurveReasons.changesWithin(name, severalIn(values, athletes)!));
}

/** Whether a predictor of the recording files has just two levels in the data. */
export const hasTwoLevels = (predictors: PredictorValues, column: string): boolean =>
  levelsOf(predictors.map((of) => of.get(column)!.value)).length === 2;

function betweenLevels(
  values: readonly (number | string | null)[],
  athletes: readonly string[],
  [reference, level]: readonly [string, string],
  stated: CurveDesign | null,
): LevelContrast {
  const at = (wanted: string) => [...values.keys()].filter((i) => values[i] !== null && String(values[i]) === wanted);
  const [atReference, atLevel] = [at(reference), at(level)];
  const inBoth = atReference.some((i) => atLevel.some((j) => athletes[i] === athletes[j]));
  const design = stated === 'paired' || stated === 'groups' ? stated : inBoth ? 'paired' : 'groups';
  return { kind: 'levels', design, reference, level, atReference, atLevel };
}

function alongNumber(values: readonly (number | string | null)[], athletes: readonly string[]): CovariateContrast {
  const recordings = [...values.keys()].filter((i) => typeof values[i] === 'number');
  const own = new Map<string, number[]>();
  for (const i of recordings) own.set(athletes[i], [...(own.get(athletes[i]) ?? []), values[i] as number]);
  return {
    kind: 'covariate',
    design: 'covariate',
    recordings,
    of: new Map([...own].map(([id, numbers]) => [id, meanOf(numbers)])),
    averaged: severalIn(values, athletes) !== null,
  };
}

/** Equal numbers give that number, to the last digit. */
const meanOf = (numbers: readonly number[]): number =>
  numbers.every((one) => one === numbers[0]) ? numbers[0] : numbers.reduce((sum, one) => sum + one, 0) / numbers.length;

/** The first athlete with two different values; null where there is none. */
function severalIn(values: readonly (number | string | null)[], athletes: readonly string[]): string | null {
  const first = new Map<string, number | string>();
  for (const [i, value] of values.entries()) {
    if (value === null) continue;
    const before = first.get(athletes[i]);
    if (before !== undefined && before !== value) return athletes[i];
    first.set(athletes[i], value);
  }
  return null;
}

/** Numbers by size, then words. */
function levelsOf(values: readonly (number | string | null)[]): string[] {
  const numbers = [...new Set(values.filter((value) => typeof value === 'number'))].sort((a, b) => a - b);
  const words = [...new Set(values.filter((value) => typeof value === 'string'))].sort();
  return [...numbers.map(String), ...words];
}
