import { cohortNotes, cohortReasons } from '../../messages/cohort.ts';
import { meanOfMeans } from '../across-loads.ts';
import { type Difference, differenceOf, type SetMean } from '../comparisons.ts';
import type { CheckedComparison } from './checked-comparison.ts';
import type { CohortRow } from './cohort-rows.ts';
import type { PredictorValues } from './predictor-values.ts';
import type { RecordingFacts } from './recording-facts.ts';

/** How one athlete differs between two levels of a factor, on the scale of the outcome. */
export interface WithinAthlete {
  readonly athleteId: string;
  readonly factor: string;
  readonly level: string;
  readonly reference: string;
  /** Level less reference; NaN ends where one of the two has no interval. */
  readonly difference: Difference;
  readonly repetitions: number;
  readonly recordings: number;
  readonly notes: string;
  readonly reason: string;
}

/**
 * Contrasts of each athlete's own recordings: what is left to say where there are too few athletes for a model. Factors are
 * those named so, words, and numbers of which the study has two. Recordings at one level are averaged by their repetitions; errors
 * that both levels share cancel by their key, as in comparisons.csv.
 */
export function withinAthletes(
  rows: readonly CohortRow[],
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  comparison: Pick<CheckedComparison, 'predictors' | 'factors'>,
  outcome: number,
): WithinAthlete[] {
  const known = byRecording(rows);
  const stated = comparison.predictors.filter(({ kind }) => kind === 'file' || kind === 'condition');
  return stated.flatMap(({ column }) => {
    const levelOf = ({ from }: CohortRow) => {
      const { value } = predictors[from].get(column)!;
      return value === null ? null : String(value);
    };
    const levels = levelsOf(known.map((row) => predictors[row.from].get(column)!.value));
    const isFactor =
      column in comparison.factors ||
      levels.length === 2 ||
      known.some((row) => typeof predictors[row.from].get(column)!.value === 'string');
    if (!isFactor || levels.length < 2) return [];
    const wanted = comparison.factors[column]?.reference;
    const reference = wanted !== undefined && levels.includes(wanted) ? wanted : levels[0];
    return [...new Set(known.map(({ athleteId }) => athleteId))].sort().flatMap((athleteId) =>
      levels
        .filter((level) => level !== reference)
        .flatMap((level): WithinAthlete[] => {
          const own = known.filter((row) => row.athleteId === athleteId);
          const at = own.filter((row) => levelOf(row) === level);
          const against = own.filter((row) => levelOf(row) === reference);
          if (at.length === 0 || against.length === 0) return [];
          const difference = differenceOf(meanAt(at, facts, outcome), meanAt(against, facts, outcome));
          const others = stated
            .map((other) => other.column)
            .filter((other) => other !== column && !alike(at, against, predictors, other));
          return [
            {
              athleteId,
              factor: column,
              level,
              reference,
              difference,
              repetitions: [...at, ...against].reduce((sum, { repetitions }) => sum + repetitions, 0),
              recordings: at.length + against.length,
              notes: [
                cohortReasons.withinAthlete(),
                ...(others.length > 0 ? [cohortNotes.alsoDiffer(others)] : []),
              ].join('; '),
              reason: Number.isNaN(difference.lower) ? cohortReasons.noIntervalWithin() : '',
            },
          ];
        }),
    );
  });
}

/** One row a recording that knows the outcome, whether or not it knows all predictors. */
function byRecording(rows: readonly CohortRow[]): CohortRow[] {
  const known = new Map<number, CohortRow>();
  for (const row of rows) {
    if (!Number.isFinite(row.response)) continue;
    const before = known.get(row.from);
    if (before === undefined) known.set(row.from, row);
    else {
      const repetitions = before.repetitions + row.repetitions;
      const response = (before.repetitions * before.response + row.repetitions * row.response) / repetitions;
      known.set(row.from, { ...before, repetitions, response });
    }
  }
  return [...known.values()];
}

/** Numbers by size, then words: the order of `mixedModel`. */
function levelsOf(values: readonly (number | string | null)[]): string[] {
  const numbers = [...new Set(values.filter((value) => typeof value === 'number'))].sort((a, b) => a - b);
  const words = [...new Set(values.filter((value) => typeof value === 'string'))].sort();
  return [...numbers.map(String), ...words];
}

function meanAt(rows: readonly CohortRow[], facts: readonly RecordingFacts[], outcome: number): SetMean {
  const mean = meanOfMeans(
    rows.map(({ from, response, repetitions }) => {
      const { doubt } = facts[from].outcomes[outcome];
      return {
        value: response,
        repetitions,
        effects: doubt?.effects ?? new Map(),
        noiseVariance: doubt?.noiseVariance ?? Number.NaN,
        noiseFreedom: doubt?.noiseFreedom ?? 1,
        reason: doubt === null ? cohortReasons.noIntervalWithin() : '',
      };
    }),
  );
  const bare = { measure: '', side: '', at: '', unit: '', lower: Number.NaN, upper: Number.NaN, sd: Number.NaN };
  return { ...bare, ...mean, shares: [], drawn: null };
}

/** Whether the recordings of both levels have the same values of another predictor. */
function alike(a: readonly CohortRow[], b: readonly CohortRow[], predictors: PredictorValues, column: string): boolean {
  const valuesOf = (rows: readonly CohortRow[]) =>
    JSON.stringify([...new Set(rows.map(({ from }) => String(predictors[from].get(column)!.value)))].sort());
  return valuesOf(a) === valuesOf(b);
}
