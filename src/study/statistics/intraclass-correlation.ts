import fQuantile from '@stdlib/stats-base-dists-f-quantile';
import type { WithConfidence } from '../agreement/limits-of-agreement.ts';
import {
  type Incomplete,
  type MeanSquares,
  meanSquares,
  type OneWayMeanSquares,
  oneWayMeanSquares,
} from './mean-squares.ts';

/** Level of every interval here. */
export const LEVEL = 0.95;
const HALF = 0.5 + LEVEL / 2;

/**
 * The six forms of Shrout & Fleiss (1979). First number: 1 = one-way, occasions of different subjects have nothing in common;
 * 2 = two-way, occasions drawn at random, agreement in the value itself; 3 = two-way, these occasions only, agreement but for
 * a shift common to all subjects (consistency). Second: one measurement, or the mean of all k.
 * In McGraw & Wong (1996): ICC(1), ICC(A,1), ICC(C,1), ICC(k), ICC(A,k), ICC(C,k).
 */
export interface IntraclassCorrelations {
  readonly meanSquares: MeanSquares;
  readonly level: number;
  readonly icc11: WithConfidence;
  readonly icc21: WithConfidence;
  readonly icc31: WithConfidence;
  readonly icc1k: WithConfidence;
  readonly icc2k: WithConfidence;
  readonly icc3k: WithConfidence;
}

/**
 * All six intraclass correlations of a complete table of subjects × occasions, with 95 % intervals.
 *
 * Shrout & Fleiss (1979, Psychol. Bull. 86:420–428), with the degrees of freedom of Satterthwaite in ICC(2, ·). The intervals
 * of McGraw & Wong (1996, Psychol. Methods 1:30–46, table 7) are the same numbers written otherwise. One departure: an
 * estimate of ICC(2,1) below 0 counts as 0 in those degrees of freedom, which the formula else leaves near none.
 * NaN where nothing varies.
 *
 * table: a row a subject, a column an occasion, NaN missing; see `meanSquares` for what is refused.
 */
export function intraclassCorrelations(
  table: readonly (readonly number[])[],
  incomplete: Incomplete = 'refuse',
): IntraclassCorrelations {
  const squares = meanSquares(table, incomplete);
  const { subjects: n, occasions: k, between, within, residual } = squares;
  const oneWay = ofRatio(within, between, k, n - 1, n * (k - 1));
  const consistency = ofRatio(residual, between, k, n - 1, (n - 1) * (k - 1));
  const agreement = ofAgreement(squares);
  return {
    meanSquares: squares,
    level: LEVEL,
    icc11: oneWay,
    icc21: agreement,
    icc31: consistency,
    icc1k: ofMean(oneWay, k),
    icc2k: ofMean(agreement, k),
    icc3k: ofMean(consistency, k),
  };
}

/** One-way intraclass correlation of subjects measured unequally often. */
export interface OneWayIntraclass {
  readonly meanSquares: OneWayMeanSquares;
  readonly level: number;
  /** Of one measurement. */
  readonly icc1: WithConfidence;
  /** True where all subjects have as many values: else the interval is approximate. */
  readonly exact: boolean;
}

/**
 * ICC(1,1) where subjects have unequal numbers of values: k is replaced by the mean group size (N − Σ mᵢ² / N) / (n − 1) of the
 * analysis of variance (Donner 1986, Int. Stat. Rev. 54:67–82); the F interval is then approximate, and `exact` says so.
 */
export function oneWayIntraclass(groups: readonly (readonly number[])[]): OneWayIntraclass {
  const squares = oneWayMeanSquares(groups);
  const { subjects, values, between, within, groupSize, equalSizes } = squares;
  return {
    meanSquares: squares,
    level: LEVEL,
    icc1: ofRatio(within, between, groupSize, subjects - 1, values - subjects),
    exact: equalSizes,
  };
}

/** (F − 1) / (F + k − 1) and its ends by the F distribution, in mean squares: an error of 0 gives 1, subjects all alike −1 / (k − 1). */
function ofRatio(error: number, between: number, k: number, freedom: number, errorFreedom: number): WithConfidence {
  const of = (factor: number) => (between - factor * error) / (between + (k - 1) * factor * error);
  return {
    value: of(1),
    lower: of(fQuantile(HALF, freedom, errorFreedom)),
    upper: of(1 / fQuantile(HALF, errorFreedom, freedom)),
  };
}

function ofAgreement({ subjects: n, occasions: k, between, ofOccasions, residual }: MeanSquares): WithConfidence {
  const value = (between - residual) / (between + (k - 1) * residual + (k * (ofOccasions - residual)) / n);
  const rho = Math.max(0, value);
  // Without a residual only the occasions err: the limit of the formula.
  const freedom = residual === 0 ? k - 1 : satterthwaite(rho, ofOccasions / residual, n, k);
  if (!(freedom > 0)) return { value, lower: Number.NaN, upper: Number.NaN };
  const rest = k * ofOccasions + (k * n - k - n) * residual;
  const high = fQuantile(HALF, n - 1, freedom);
  const low = fQuantile(HALF, freedom, n - 1);
  return {
    value,
    lower: (n * (between - high * residual)) / (high * rest + n * between),
    upper: (n * (low * between - residual)) / (rest + n * low * between),
  };
}

/** Degrees of freedom of k JMS + (k n − k − n) EMS (Shrout & Fleiss 1979, p. 424), `f` = JMS / EMS. */
function satterthwaite(rho: number, f: number, n: number, k: number): number {
  const rest = n * (1 + (k - 1) * rho) - k * rho;
  const both = k * rho * f + rest;
  return ((k - 1) * (n - 1) * both ** 2) / ((n - 1) * (k * rho * f) ** 2 + rest ** 2);
}

/**
 * Of the mean of k measurements: Spearman–Brown, at the estimate and at both ends. NaN at or below −1 / (k − 1), where occasions
 * disagree by more than chance can make them: the formula would jump to values above 1.
 */
function ofMean({ value, lower, upper }: WithConfidence, k: number): WithConfidence {
  const step = (rho: number) => (1 + (k - 1) * rho > 1e-12 ? (k * rho) / (1 + (k - 1) * rho) : Number.NaN);
  return { value: step(value), lower: step(lower), upper: step(upper) };
}
