import { cohortNotes } from '../../messages/cohort.ts';
import { cohortCurveNotes } from '../../messages/cohort-curves.ts';
import { curveTestWords } from '../../messages/curve-tests.ts';
import type { CurveTest } from '../statistics/curves/curve-test-result.ts';
import type { WidenedCurveTest } from '../statistics/curves/shared-doubt.ts';
import type { CheckedComparison } from './checked-comparison.ts';
import type { CheckedCurve } from './checked-curves.ts';
import type { CurveContrast, LevelContrast } from './curve-contrast.ts';
import type { PredictorValues } from './predictor-values.ts';
import type { RecordingFacts } from './recording-facts.ts';

export interface CurveCounts {
  /** In the test: athletes; of two levels also each; recordings and full repetitions behind them. */
  readonly athletes: number;
  readonly athletesAtReference: number | null;
  readonly athletesAtLevel: number | null;
  readonly recordings: number;
  readonly repetitions: number;
  /** Of those that have a level or value asked for (or none stated) what takes no part. */
  readonly missing: number;
  readonly recordingsMissing: number;
}

export const NO_COUNTS: CurveCounts = {
  athletes: 0,
  athletesAtReference: null,
  athletesAtLevel: null,
  recordings: 0,
  repetitions: 0,
  missing: 0,
  recordingsMissing: 0,
};

interface Tested {
  readonly test: CurveTest | WidenedCurveTest | null;
  /** Recordings in the test. */
  readonly used: readonly number[];
}

/** Who is in the test, and of those asked for who is not. */
export function countsOf(
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  contrast: CurveContrast,
  { test, used }: Tested,
  { by: { column: by }, quantity }: CheckedCurve,
): CurveCounts {
  const asked = new Set(
    contrast.kind === 'levels'
      ? [...contrast.atReference, ...contrast.atLevel]
      : contrast.kind === 'covariate'
        ? contrast.recordings
        : facts.keys(),
  );
  facts.forEach((_, i) => {
    if (predictors[i].get(by)!.value === null) asked.add(i);
  });
  const athletesOf = (at: Iterable<number>) => new Set([...at].map((i) => facts[i].card.athlete.id)).size;
  const isUsed = new Set(used);
  const at = (own: readonly number[]) => athletesOf(own.filter((i) => isUsed.has(i)));
  const athletes = test?.athletes.length ?? 0;
  const known = (i: number) => {
    const { repetitions, places, values } = facts[i].curves.get(quantity)!;
    return repetitions.filter((_, row) =>
      values.subarray(row * places.length, (row + 1) * places.length).some(Number.isFinite),
    ).length;
  };
  return {
    athletes,
    athletesAtReference: contrast.kind === 'levels' ? at(contrast.atReference) : null,
    athletesAtLevel: contrast.kind === 'levels' ? at(contrast.atLevel) : null,
    recordings: isUsed.size,
    repetitions: [...isUsed].reduce((sum, i) => sum + known(i), 0),
    missing: athletesOf(asked) - athletes,
    recordingsMissing: asked.size - isUsed.size,
  };
}

/** What to know about a test. */
export function notesOf(
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  comparison: CheckedComparison,
  contrast: CurveContrast,
  { test, used }: Tested,
  { by: { column: by } }: CheckedCurve,
): string[] {
  if (test === null) return [];
  const notes: string[] = [];
  if (test.canBeSignificant && test.attainableLevel < 0.99 * test.alpha)
    notes.push(curveTestWords.steps(test.attainableLevel, test.alpha));
  if (contrast.kind === 'levels' && contrast.design === 'paired') {
    const others = comparison.predictors
      .filter(({ kind, column }) => (kind === 'file' || kind === 'condition') && column !== by)
      .map(({ column }) => column)
      .filter((column) => !alikeWithin(facts, predictors, contrast, used, column));
    if (others.length > 0) notes.push(cohortCurveNotes.alsoDiffer(others));
  }
  const bare = used.filter((i) => facts[i].curves.get(test.quantity)!.effects === null).length;
  if (bare > 0) notes.push(cohortCurveNotes.noIntervals(bare));
  const lifts = [...new Set(used.map((i) => facts[i].card.lift.kind))].sort();
  if (lifts.length > 1 && by !== 'lift_kind') notes.push(cohortNotes.mixedLifts(lifts));
  return notes;
}

/** Whether the recordings at both levels of each athlete have the same values of another predictor. */
function alikeWithin(
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  { atReference, atLevel }: LevelContrast,
  used: readonly number[],
  column: string,
): boolean {
  const isUsed = new Set(used);
  const valuesOf = (at: readonly number[]) => {
    const own = new Map<string, Set<string>>();
    for (const i of at.filter((one) => isUsed.has(one))) {
      const { id } = facts[i].card.athlete;
      own.set(id, (own.get(id) ?? new Set()).add(String(predictors[i].get(column)!.value)));
    }
    return new Map([...own].map(([id, values]) => [id, JSON.stringify([...values].sort())]));
  };
  const [reference, level] = [valuesOf(atReference), valuesOf(atLevel)];
  return [...reference].every(([id, values]) => level.get(id) === values);
}
