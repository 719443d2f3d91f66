import { scaleOf } from '../../lift/measures/index.ts';
import { fromScale, toScale } from '../../numerics/scale.ts';
import { mean } from '../../numerics/statistics.ts';
import { dayNumber } from '../weeks/session-measure.ts';
import type { Predictor } from './checked-comparison.ts';
import { FILE_PREDICTORS, type RecordingCard } from './file-predictors.ts';
import type { Doubt, MeasuredFacts, RecordingFacts } from './recording-facts.ts';

/** A predictor of one recording. */
export interface PredictorValue {
  /** null where it is not known. */
  readonly value: number | string | null;
  /** Exact where both are empty; null where it is measured and has no interval. */
  readonly doubt: Pick<Doubt, 'effects' | 'noiseVariance'> | null;
}

/** Of each recording, by column. */
export type PredictorValues = readonly ReadonlyMap<string, PredictorValue>[];

const EXACT = { effects: new Map<string, number>(), noiseVariance: 0 };

/**
 * The predictors of all recordings. Lengths and ratios of the body are one for all recordings of an athlete, so their mean over
 * those stands in each: what differs from recording to recording there is error, and would be taken for a slope of 0.
 */
export function predictorValues(facts: readonly RecordingFacts[], predictors: readonly Predictor[]): PredictorValues {
  const found = facts.map(() => new Map<string, PredictorValue>());
  for (const predictor of predictors)
    valuesOf(facts, predictor).forEach((value, i) => {
      found[i].set(predictor.column, value);
    });
  return found;
}

function valuesOf(facts: readonly RecordingFacts[], predictor: Predictor): PredictorValue[] {
  if (predictor.kind === 'week') return weeks(facts).map(exact);
  if (predictor.kind === 'condition')
    return conditionValues(facts.map(({ card }) => card.condition[predictor.condition])).map(exact);
  if (predictor.kind === 'file') {
    const { of, errors } = FILE_PREDICTORS[predictor.name];
    return facts.map(({ card }) => ({
      value: of(card),
      doubt: errors ? { effects: errors(card), noiseVariance: 0 } : EXACT,
    }));
  }
  const measured = facts.map((one) => one.measured.get(predictor.column)!);
  const own = predictor.ofBody
    ? ofAthletes(
        facts.map(({ card }) => card),
        measured,
        predictor.of.measure,
      )
    : measured;
  return own.map(({ value, doubt }) => ({ value: Number.isFinite(value) ? value : null, doubt }));
}

const exact = (value: number | string | null): PredictorValue => ({ value, doubt: EXACT });

/** Numbers where all are; else words, true and false among them. */
function conditionValues(values: readonly (string | number | boolean | undefined)[]): (number | string | null)[] {
  const numbers = values.every((value) => value === undefined || typeof value === 'number');
  return values.map((value) => (value === undefined ? null : numbers ? (value as number) : String(value)));
}

/** Weeks since the first dated recording of the athlete; null without a date. */
function weeks(facts: readonly RecordingFacts[]): (number | null)[] {
  const days = facts.map(({ card: { id, date } }) => (date === null ? null : dayNumber(id, date)));
  const first = new Map<string, number>();
  facts.forEach(({ card }, i) => {
    const day = days[i];
    if (day !== null) first.set(card.athlete.id, Math.min(day, first.get(card.athlete.id) ?? day));
  });
  return facts.map(({ card }, i) => {
    const day = days[i];
    return day === null ? null : (day - first.get(card.athlete.id)!) / 7;
  });
}

/** The mean over the recordings of each athlete that know the number, in every recording of the athlete. */
function ofAthletes(
  cards: readonly RecordingCard[],
  measured: readonly MeasuredFacts[],
  measure: string,
): MeasuredFacts[] {
  const scale = scaleOf(measure);
  const means = new Map<string, MeasuredFacts>();
  for (const id of new Set(cards.map(({ athlete }) => athlete.id))) {
    const own = measured.filter(({ value }, i) => cards[i].athlete.id === id && Number.isFinite(value));
    if (own.length === 0) continue;
    const centre = mean(own.map(({ value }) => (scale === null ? value : toScale(scale, value))));
    means.set(id, {
      value: scale === null ? centre : fromScale(scale, centre),
      unit: own[0].unit,
      doubt: meanDoubt(own),
    });
  }
  return cards.map(({ athlete }, i) => means.get(athlete.id) ?? measured[i]);
}

/** To first order, the values of one athlete being nearly alike. */
function meanDoubt(own: readonly MeasuredFacts[]): Doubt | null {
  const effects = new Map<string, number>();
  let noiseVariance = 0;
  for (const { doubt } of own) {
    if (doubt === null) return null;
    noiseVariance += doubt.noiseVariance / own.length ** 2;
    for (const [key, effect] of doubt.effects) effects.set(key, (effects.get(key) ?? 0) + effect / own.length);
  }
  return { effects, noiseVariance, noiseFreedom: 1 };
}
