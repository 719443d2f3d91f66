import type { Recording } from '../../capture/recording.ts';
import { findingNoFullRepetition, measureNotInRecording, noInterval } from '../../messages.ts';
import { mean } from '../../numerics/statistics.ts';
import type { LiftRecord, MeasureValue, Repetition } from '../lift-record.ts';
import { type FindingWord, findingWord, thresholdProbability } from './probability.ts';
import { type FindingRule, type FindingSide, rulesFor } from './rule.ts';

/** A rule held against one repetition, or (repetition 0) against the mean over the set's full repetitions. */
export interface Finding {
  readonly rule: FindingRule;
  readonly repetition: number;
  readonly side: FindingSide;
  /** In the measure's unit; NaN where unknown. */
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
  readonly unit: string;
  /** That the threshold is passed, 0–1; NaN where value or interval is unknown. */
  readonly probability: number;
  readonly word: FindingWord;
  /** Why it is unknown, or why it is no more than open; '' else. */
  readonly reason: string;
  /** −1 for the mean of a set: the frames are those of its repetitions. */
  readonly frameFirst: number;
  readonly frameLast: number;
}

/** Mean of a measure over the full repetitions of a set with its 95 % interval, in which common causes did not average out. */
export interface SetMeanLike {
  readonly measure: string;
  readonly side: string;
  readonly at: string;
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
  /** Why there is no interval; '' where there is one. */
  readonly reason: string;
}

/**
 * What the rules find in a lift: for each rule that is for it and each of the rule's sides first the set (repetition 0), then
 * every repetition; rules of other lifts are left out. Nothing where no repetition was found.
 *
 * @param setMeans empty where intervals were switched off: then whatever is known is 'open'
 */
export function findingsOf(
  record: Pick<LiftRecord, 'repetitions' | 'measures'>,
  setMeans: readonly SetMeanLike[],
  recording: Pick<Recording, 'lift' | 'load'>,
  rules: readonly FindingRule[],
): readonly Finding[] {
  const orders = [...new Set(record.repetitions.map(({ order }) => order))];
  if (orders.length === 0) return [];
  return rulesFor(recording, orders, rules).flatMap((rule) =>
    rule.sides.flatMap((side) => ofSide(rule, side, record, setMeans)),
  );
}

function ofSide(
  rule: FindingRule,
  side: FindingSide,
  { repetitions, measures }: Pick<LiftRecord, 'repetitions' | 'measures'>,
  setMeans: readonly SetMeanLike[],
): Finding[] {
  const isOurs = (one: { measure: string; side: string; at: string }) =>
    one.measure === rule.measure && one.side === side && one.at === rule.at;
  const order = rule.appliesTo?.order;
  const counted = repetitions.filter((repetition) => order === undefined || repetition.order === order);
  const numbers = new Set([0, ...counted.map(({ number }) => number)]);
  const readings = measures.filter((one) => isOurs(one) && numbers.has(one.repetition));
  const ofSet = setReading(readings, setMeans.find(isOurs), counted);
  const single = readings.filter(({ repetition }) => repetition > 0);
  return [ofSet, ...single].map((reading) => judged(rule, side, reading));
}

type Reading = Pick<
  MeasureValue,
  'repetition' | 'value' | 'lower' | 'upper' | 'unit' | 'frameFirst' | 'frameLast' | 'reason'
>;

/** The set's own value: that of a measure of the whole set, or the mean over the full repetitions that know it. */
function setReading(
  readings: readonly MeasureValue[],
  setMean: SetMeanLike | undefined,
  repetitions: readonly Repetition[],
): Reading {
  const own = readings.find(({ repetition }) => repetition === 0);
  if (own) return own;
  const full = new Set(repetitions.filter(({ completeness }) => completeness === 'full').map(({ number }) => number));
  const counted = readings.filter(({ repetition }) => full.has(repetition));
  const unit = readings[0]?.unit ?? '';
  const nothing = { repetition: 0, unit, lower: Number.NaN, upper: Number.NaN, frameFirst: -1, frameLast: -1 };
  const values = counted.map(({ value }) => value).filter(Number.isFinite);
  if (values.length === 0) {
    const why = counted.length > 0 ? counted[0].reason : readings.length > 0 ? findingNoFullRepetition() : '';
    return { ...nothing, value: Number.NaN, reason: why || measureNotInRecording() };
  }
  if (!setMean) return { ...nothing, value: mean(values), reason: '' };
  const { value, lower, upper, reason } = setMean;
  return { ...nothing, value, lower, upper, reason };
}

function judged(rule: FindingRule, side: FindingSide, reading: Reading): Finding {
  const { repetition, value, lower, upper, unit, frameFirst, frameLast } = reading;
  const found = { rule, repetition, side, value, lower, upper, unit, frameFirst, frameLast };
  if (Number.isNaN(value)) {
    return { ...found, probability: Number.NaN, word: 'unknown', reason: reading.reason || measureNotInRecording() };
  }
  const probability = thresholdProbability(reading, rule.comparison, rule.threshold);
  if (Number.isNaN(probability)) return { ...found, probability, word: 'open', reason: reading.reason || noInterval() };
  const word = findingWord(probability);
  return rule.openBecause !== undefined && (word === 'shown' || word === 'suggested')
    ? { ...found, probability, word: 'open', reason: rule.openBecause }
    : { ...found, probability, word, reason: '' };
}
