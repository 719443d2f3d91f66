import { scaleOf } from '../../lift/measures/index.ts';
import { cohortNotes, cohortReasons } from '../../messages/cohort.ts';
import type { Scale } from '../../numerics/scale.ts';
import { oneWayIntraclass } from '../statistics/intraclass-correlation.ts';
import type { CheckedComparison, MeasureName } from './checked-comparison.ts';
import { type CohortRow, type Counts, cohortRows, countsOf } from './cohort-rows.ts';
import { fitOutcome, type OutcomeFit } from './fit-outcome.ts';
import type { PredictorValues } from './predictor-values.ts';
import type { RecordingFacts } from './recording-facts.ts';
import { reliabilityRatio } from './reliability.ts';
import { type WithinAthlete, withinAthletes } from './within-athlete.ts';

/** All that is known of one outcome. */
export interface OutcomeResult extends OutcomeFit {
  readonly outcome: MeasureName;
  readonly unit: string;
  readonly scale: Scale | null;
  readonly rows: readonly CohortRow[];
  readonly counts: Counts;
  /** By column of the predictor; NaN where it cannot be told, absent where it is taken as exact. */
  readonly reliability: ReadonlyMap<string, number>;
  /** Of measured predictors, by column. */
  readonly predictorUnits: ReadonlyMap<string, string>;
  readonly notes: readonly string[];
  readonly within: readonly WithinAthlete[];
}

/** Rows, model and what to know about them, of outcome `index`. */
export function outcomeResult(
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  comparison: CheckedComparison,
  index: number,
): OutcomeResult {
  const outcome = comparison.outcomes[index];
  const rows = cohortRows(facts, predictors, comparison, index);
  const found = fitOutcome(rows, facts, predictors, comparison, index);
  const used = [...new Set(found.used.map(({ from }) => from))];
  return {
    ...found,
    outcome,
    unit: facts.map(({ outcomes }) => outcomes[index].unit).find((unit) => unit !== '') ?? '',
    scale: scaleOf(outcome.measure),
    rows,
    counts: countsOf(rows),
    reliability: reliabilities(used, facts, predictors, comparison),
    predictorUnits: new Map(
      facts.flatMap(({ measured }) =>
        [...measured].flatMap(([column, { unit }]) => (unit === '' ? [] : [[column, unit] as const])),
      ),
    ),
    notes: notesOf(found, used, facts, comparison),
    within: found.fit === null ? withinAthletes(rows, facts, predictors, comparison, index) : [],
  };
}

function reliabilities(
  used: readonly number[],
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  comparison: CheckedComparison,
): ReadonlyMap<string, number> {
  const measured = comparison.predictors.filter(({ column, kind }) => {
    const errors = used.some((from) => predictors[from].get(column)!.doubt?.effects.size !== 0);
    return !(column in comparison.factors) && (kind === 'measure' || errors);
  });
  return new Map(
    measured.map((predictor) => {
      // One value an athlete where all recordings have the same.
      const athletes = new Map(used.map((from) => [facts[from].card.athlete.id, from]));
      const units = predictor.kind === 'measure' && predictor.ofBody ? [...athletes.values()] : used;
      return [predictor.column, reliabilityRatio(units.map((from) => predictors[from].get(predictor.column)!))];
    }),
  );
}

function notesOf(
  found: OutcomeFit,
  used: readonly number[],
  facts: readonly RecordingFacts[],
  { predictors, rows }: CheckedComparison,
): string[] {
  const notes = found.fit?.notes.map(({ text }) => text) ?? [];
  const lifts = [...new Set(used.map((from) => facts[from].card.lift.kind))].sort();
  if (lifts.length > 1 && !predictors.some(({ name }) => name === 'lift_kind' || name === 'bar_position'))
    notes.push(cohortNotes.mixedLifts(lifts));
  const body = predictors.flatMap((one) => (one.kind === 'measure' && one.ofBody ? [one.column] : []));
  if (body.length > 0 && found.fit) notes.push(cohortNotes.bodyMeans(body));
  if (found.withoutIntervals > 0) notes.push(cohortReasons.noIntervals(found.withoutIntervals));
  const share = rows === 'repetitions' ? shareOfRecording(found) : Number.NaN;
  if (share > 0) notes.push(cohortNotes.repetitionsAlike(share));
  return notes;
}

/** Intraclass correlation of the residuals within recordings where its interval is above 0; else NaN. */
function shareOfRecording({ fit, used }: OutcomeFit): number {
  if (fit === null) return Number.NaN;
  const groups = new Map<number, number[]>();
  used.forEach(({ from, response }, row) => {
    const own = groups.get(from) ?? [];
    own.push(response - fit.fitted[row]);
    groups.set(from, own);
  });
  const residuals = [...groups.values()];
  if (residuals.length < 2 || residuals.every(({ length }) => length < 2)) return Number.NaN;
  const { icc1 } = oneWayIntraclass(residuals);
  return icc1.lower > 0 ? icc1.value : Number.NaN;
}
