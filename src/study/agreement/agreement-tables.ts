import type { ColumnTable } from 'arquero';
import { uncertaintyReasons } from '../../messages/uncertainty.ts';
import { correlation } from '../../numerics/statistics.ts';
import { counted } from '../counted.ts';
import { tableOf } from '../csv.ts';
import { type Agreement, limitsOfAgreement } from './limits-of-agreement.ts';
import { type ComparedNumber, nameOfNumber, type PairedValue, type UnpairedValue } from './paired-values.ts';

export const AGREEMENT_COLUMNS = [
  'kind',
  'name',
  'side',
  'at',
  'grid',
  'depth',
  'unit',
  'lifters',
  'differences',
  'mean_a',
  'mean_b',
  'bias',
  'bias_lower',
  'bias_upper',
  'sd',
  'sd_within',
  'sd_between',
  'limit_low',
  'limit_low_lower',
  'limit_low_upper',
  'limit_high',
  'limit_high_lower',
  'limit_high_upper',
  'correlation_with_size',
  'stated_sd',
  'covered_share',
  'missing',
  'reason',
] as const;

export const DIFFERENCE_COLUMNS = [
  'athlete_id',
  'recording_a',
  'recording_b',
  'repetition_a',
  'repetition_b',
  'measure',
  'side',
  'at',
  'value_a',
  'value_b',
  'difference',
  'mean',
  'stated_sd',
  'covered',
  'unit',
] as const;

/** Agreement on one number over all pairs. */
export interface AgreementRow {
  readonly what: ComparedNumber;
  readonly agreement: Agreement;
  readonly meanA: number;
  readonly meanB: number;
  /** Of difference and mean of the two: whether the difference grows with the size. NaN for fewer than three. */
  readonly correlationWithSize: number;
  /** Root mean square of the stated standard deviations of the differences; NaN without intervals. */
  readonly statedSd: number;
  /** Share of the differences that the stated intervals allow; NaN without intervals. */
  readonly coveredShare: number;
  /** Pairs of which not both know the number. */
  readonly missing: number;
  /** Why these do not, and why differences have no stated doubt, with how many. */
  readonly reason: string;
}

/** One row a number, in the order in which the numbers first come. */
export function agreementRows(values: readonly PairedValue[], unpaired: readonly UnpairedValue[] = []): AgreementRow[] {
  const reasons = new Map<string, string[]>();
  for (const { what, reason } of unpaired) {
    const name = nameOfNumber(what);
    const own = reasons.get(name);
    if (own) own.push(reason);
    else reasons.set(name, [reason]);
  }
  const byNumber = new Map<string, PairedValue[]>();
  for (const value of values) {
    const name = nameOfNumber(value.what);
    const own = byNumber.get(name);
    if (own) own.push(value);
    else byNumber.set(name, [value]);
  }
  return [...byNumber].map(([name, own]) => {
    const missing = reasons.get(name) ?? [];
    const byLifter = new Map<string, number[]>();
    for (const { athleteId, a, b } of own) {
      const differences = byLifter.get(athleteId);
      if (differences) differences.push(a - b);
      else byLifter.set(athleteId, [a - b]);
    }
    const judged = own.filter(({ covered }) => covered !== null);
    return {
      what: own[0].what,
      agreement: limitsOfAgreement([...byLifter.values()]),
      meanA: meanOf(own.map(({ a }) => a)),
      meanB: meanOf(own.map(({ b }) => b)),
      correlationWithSize:
        own.length < 3
          ? Number.NaN
          : correlation(
              own.map(({ a, b }) => a - b),
              own.map(({ a, b }) => 0.5 * (a + b)),
            ),
      statedSd: Math.sqrt(meanOf(judged.map(({ statedSd }) => statedSd ** 2))),
      coveredShare: meanOf(judged.map(({ covered }) => (covered ? 1 : 0))),
      missing: missing.length,
      reason: counted([...missing, ...own.flatMap(({ covered }) => (covered === null ? [NO_STATED_DOUBT] : []))]),
    };
  });
}

const NO_STATED_DOUBT = uncertaintyReasons.differenceWithoutInterval();

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/** `agreement.csv`. */
export function agreementTable(rows: readonly AgreementRow[]): ColumnTable {
  return tableOf(
    AGREEMENT_COLUMNS,
    rows.map(({ what, agreement, meanA, meanB, correlationWithSize, statedSd, coveredShare, missing, reason }) => ({
      ...what,
      lifters: agreement.lifters,
      differences: agreement.differences,
      mean_a: meanA,
      mean_b: meanB,
      bias: agreement.bias.value,
      bias_lower: agreement.bias.lower,
      bias_upper: agreement.bias.upper,
      sd: agreement.sd,
      sd_within: agreement.sdWithin,
      sd_between: agreement.sdBetween,
      limit_low: agreement.lowerLimit.value,
      limit_low_lower: agreement.lowerLimit.lower,
      limit_low_upper: agreement.lowerLimit.upper,
      limit_high: agreement.upperLimit.value,
      limit_high_lower: agreement.upperLimit.lower,
      limit_high_upper: agreement.upperLimit.upper,
      correlation_with_size: correlationWithSize,
      stated_sd: statedSd,
      covered_share: coveredShare,
      missing,
      reason,
    })),
  );
}

/** `differences.csv`: the measures; values across depth are in curves.csv of each recording. */
export function differencesTable(values: readonly PairedValue[]): ColumnTable {
  return tableOf(
    DIFFERENCE_COLUMNS,
    values
      .filter(({ what }) => what.kind === 'measure')
      .map(({ what, a, b, ...of }) => ({
        athlete_id: of.athleteId,
        recording_a: of.recordingA,
        recording_b: of.recordingB,
        repetition_a: of.repetitionA,
        repetition_b: of.repetitionB,
        measure: what.name,
        side: what.side,
        at: what.at,
        value_a: a,
        value_b: b,
        difference: a - b,
        mean: 0.5 * (a + b),
        stated_sd: of.statedSd,
        covered: of.covered,
        unit: what.unit,
      })),
  );
}
