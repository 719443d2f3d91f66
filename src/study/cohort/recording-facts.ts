import { scaleOf } from '../../lift/measures/index.ts';
import { cohortReasons } from '../../messages/cohort.ts';
import { fromScale, ratioPerUnit, type Scale, toScale } from '../../numerics/scale.ts';
import { mean } from '../../numerics/statistics.ts';
import type { LoadedRecording } from '../across-loads.ts';
import type { SetMean } from '../set-means.ts';
import { allPredictors, type CheckedComparison, type MeasureName } from './checked-comparison.ts';
import { USUAL_CURVE } from './checked-curves.ts';
import type { RecordingCard } from './file-predictors.ts';
import type { KeptCurve } from './kept-curves.ts';

/** What a comparison needs of a recording. */
export interface CohortRecording {
  readonly recording: RecordingCard;
  readonly record: {
    readonly measures: readonly Pick<
      LoadedRecording['record']['measures'][number],
      'repetition' | 'measure' | 'side' | 'at' | 'value' | 'unit' | 'reason'
    >[];
    readonly repetitions: readonly Pick<LoadedRecording['record']['repetitions'][number], 'number' | 'completeness'>[];
  };
  /** Empty where intervals were switched off. */
  readonly means: readonly Pick<
    SetMean,
    'measure' | 'side' | 'at' | 'unit' | 'value' | 'reason' | 'effects' | 'noiseVariance' | 'noiseFreedom'
  >[];
  /** Absent where none were kept: then nothing is compared across depth. */
  readonly curves?: readonly KeptCurve[];
}

/** Doubt of a number of a recording, in its unit or on its scale. */
export interface Doubt {
  /** What one standard deviation of each cause does to it, by the cause's key. */
  readonly effects: ReadonlyMap<string, number>;
  readonly noiseVariance: number;
  readonly noiseFreedom: number;
}

/** One value of an outcome. */
export interface OutcomeValue {
  /** 0 for a measure of the whole set. */
  readonly repetition: number;
  /** On the scale of the measure; NaN where unknown. */
  readonly value: number;
  readonly reason: string;
}

/** An outcome of one recording. */
export interface OutcomeFacts {
  /** One a full repetition, or one of the set. */
  readonly values: readonly OutcomeValue[];
  readonly unit: string;
  /** Of the mean of those known, on the scale; null where it has no interval. */
  readonly doubt: Doubt | null;
}

/** A measured predictor of one recording, in its own unit. */
export interface MeasuredFacts {
  /** Mean over the full repetitions; NaN where unknown. */
  readonly value: number;
  readonly unit: string;
  /** null where it has no interval. */
  readonly doubt: Doubt | null;
}

/** A recording brought down to what the comparison asks of it: a study of any size fits in memory. */
export interface RecordingFacts {
  readonly card: RecordingCard;
  readonly fullRepetitions: number;
  /** In the order of the outcomes. */
  readonly outcomes: readonly OutcomeFacts[];
  /** By column. */
  readonly measured: ReadonlyMap<string, MeasuredFacts>;
  /** Those that are compared across depth, by quantity. */
  readonly curves: ReadonlyMap<string, KeptCurve>;
}

export function recordingFacts(one: CohortRecording, comparison: CheckedComparison): RecordingFacts {
  const { id, date, athlete, lift, load, shoes, condition } = one.recording;
  const full = new Set(one.record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number));
  const wanted = new Set(comparison.curves?.map(({ quantity }) => quantity) ?? [USUAL_CURVE]);
  const curves = (one.curves ?? []).filter(({ quantity }) => wanted.has(quantity));
  return {
    card: { id, date, athlete, lift, load, shoes, condition },
    fullRepetitions: full.size,
    outcomes: comparison.outcomes.map((of) => outcomeFacts(one, of, full)),
    measured: new Map(
      allPredictors(comparison).flatMap((predictor) =>
        predictor.kind === 'measure' ? [[predictor.column, measuredFacts(one, predictor.of, full)] as const] : [],
      ),
    ),
    curves: new Map(curves.map((curve) => [curve.quantity, curve])),
  };
}

function outcomeFacts(one: CohortRecording, of: MeasureName, full: ReadonlySet<number>): OutcomeFacts {
  const scale = scaleOf(of.measure);
  const own = rowsOf(one, of);
  const ofSet = own.filter(({ repetition }) => repetition === 0);
  const values =
    ofSet.length > 0
      ? ofSet.map((row) => scaled(row, scale))
      : [...full].map((repetition): OutcomeValue => {
          const row = own.find((other) => other.repetition === repetition);
          return row ? scaled(row, scale) : { repetition, value: Number.NaN, reason: cohortReasons.notMeasured() };
        });
  const { mean: found, doubt } = meanOf(one, of);
  return {
    values,
    unit: found?.unit ?? own[0]?.unit ?? '',
    doubt: doubt && found && scale ? onScale(doubt, scale, found.value) : doubt,
  };
}

function scaled(row: CohortRecording['record']['measures'][number], scale: Scale | null): OutcomeValue {
  const value = scale === null ? row.value : toScale(scale, row.value);
  const known = Number.isFinite(value);
  return {
    repetition: row.repetition,
    value: known ? value : Number.NaN,
    reason: known
      ? ''
      : Number.isFinite(row.value)
        ? cohortReasons.notOnScale()
        : row.reason || cohortReasons.notMeasured(),
  };
}

function measuredFacts(one: CohortRecording, of: MeasureName, full: ReadonlySet<number>): MeasuredFacts {
  const scale = scaleOf(of.measure);
  const own = rowsOf(one, of).filter(({ repetition }) => repetition === 0 || full.has(repetition));
  const known = own.map((row) => scaled(row, scale).value).filter(Number.isFinite);
  const centre = known.length > 0 ? mean(known) : Number.NaN;
  return {
    value: scale === null ? centre : fromScale(scale, centre),
    unit: own[0]?.unit ?? '',
    doubt: meanOf(one, of).doubt,
  };
}

const rowsOf = ({ record }: CohortRecording, of: MeasureName) =>
  record.measures.filter((m) => m.measure === of.measure && m.side === of.side && m.at === of.at);

function meanOf({ means }: CohortRecording, of: MeasureName) {
  const found = means.find((m) => m.measure === of.measure && m.side === of.side && m.at === of.at);
  if (found?.reason !== '') return { mean: found, doubt: null };
  const { effects, noiseVariance, noiseFreedom } = found;
  const known = Number.isFinite(noiseVariance) && [...effects.values()].every(Number.isFinite);
  return { mean: found, doubt: known ? { effects, noiseVariance, noiseFreedom } : null };
}

/** To first order: an effect on the ratio, by how much the ratio grows with a unit of the scale. */
function onScale({ effects, noiseVariance, noiseFreedom }: Doubt, scale: Scale, ratio: number): Doubt {
  const per = ratioPerUnit(scale, ratio);
  return {
    effects: new Map([...effects].map(([key, effect]) => [key, effect / per])),
    noiseVariance: noiseVariance / per ** 2,
    noiseFreedom,
  };
}
