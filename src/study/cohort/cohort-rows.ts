import { scaleOf } from '../../lift/measures/index.ts';
import { cohortReasons } from '../../messages/cohort.ts';
import { fromScale } from '../../numerics/scale.ts';
import { mean } from '../../numerics/statistics.ts';
import { counted } from '../counted.ts';
import type { CheckedComparison } from './checked-comparison.ts';
import type { PredictorValues } from './predictor-values.ts';
import type { OutcomeValue, RecordingFacts } from './recording-facts.ts';

/** One observation of an outcome: a repetition, or the mean of a recording. */
export interface CohortRow {
  /** Index of the recording. */
  readonly from: number;
  readonly athleteId: string;
  readonly recordingId: string;
  /** 0 for the mean of a recording or a measure of the set. */
  readonly repetition: number;
  /** Values in it, and values of full repetitions that are not known. */
  readonly repetitions: number;
  readonly missing: number;
  /** Why these are not known, one each. */
  readonly missingWhy: readonly string[];
  /** On the scale of the measure, and in its unit; NaN where unknown. */
  readonly response: number;
  readonly value: number;
  /** Why it takes no part; '' where it does. */
  readonly reason: string;
}

/** All rows of one outcome, those that take no part too: at least one a recording. */
export function cohortRows(
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  comparison: Pick<CheckedComparison, 'outcomes' | 'rows' | 'predictors'>,
  outcome: number,
): CohortRow[] {
  const scale = scaleOf(comparison.outcomes[outcome].measure);
  return facts.flatMap(({ card, outcomes }, from) => {
    const { values } = outcomes[outcome];
    const lacking = comparison.predictors.find(({ column }) => predictors[from].get(column)!.value === null);
    const row = (own: readonly OutcomeValue[], repetition: number): CohortRow => {
      const known = own.map(({ value }) => value).filter(Number.isFinite);
      const response = known.length > 0 ? mean(known) : Number.NaN;
      const unknown = own.length === 0 ? cohortReasons.noFullRepetition() : own[0].reason;
      return {
        from,
        athleteId: card.athlete.id,
        recordingId: card.id,
        repetition,
        repetitions: known.length,
        missing: own.length - known.length,
        missingWhy: own.flatMap((one) => (Number.isFinite(one.value) ? [] : [one.reason])),
        response,
        value: scale === null ? response : fromScale(scale, response),
        reason: known.length === 0 ? unknown : lacking ? cohortReasons.noValue(lacking.column) : '',
      };
    };
    if (comparison.rows === 'recordings' || values.length === 0) return [row(values, 0)];
    return values.map((value) => row([value], value.repetition));
  });
}

/** How much went into a model, and how much did not. */
export interface Counts {
  readonly n: number;
  readonly repetitions: number;
  readonly recordings: number;
  readonly athletes: number;
  /** Full repetitions that take no part: unknown themselves, or in a row that lacks a predictor. */
  readonly missing: number;
  readonly recordingsMissing: number;
}

export function countsOf(rows: readonly CohortRow[]): Counts {
  const used = rows.filter(({ reason }) => reason === '');
  const recordings = new Set(used.map(({ from }) => from)).size;
  return {
    n: used.length,
    repetitions: used.reduce((sum, one) => sum + one.repetitions, 0),
    recordings,
    athletes: new Set(used.map(({ athleteId }) => athleteId)).size,
    missing: rows.reduce((sum, one) => sum + one.missing + (one.reason === '' ? 0 : one.repetitions), 0),
    recordingsMissing: new Set(rows.map(({ from }) => from)).size - recordings,
  };
}

/** Why rows take no part, with how many ('no value of sex: 3'), and why repetitions within rows that do are not known. */
export function whyMissing(rows: readonly CohortRow[]): string {
  const out = counted(rows.flatMap(({ reason }) => (reason === '' ? [] : [reason])));
  const within = counted(rows.flatMap(({ reason, missingWhy }) => (reason === '' ? missingWhy : [])));
  return [out, within === '' ? '' : cohortReasons.withinObservations(within)].filter((text) => text !== '').join('; ');
}
