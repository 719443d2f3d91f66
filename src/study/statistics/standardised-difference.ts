import { pairsUnequal, standardisedNoSpread, standardisedTooFew } from '../../messages/reliability.ts';
import { correlation, mean, standardDeviation } from '../../numerics/statistics.ts';
import { normalQuantile } from '../../numerics/student.ts';
import type { WithConfidence } from '../agreement/limits-of-agreement.ts';
import { LEVEL } from './intraclass-correlation.ts';
import { noncentralityWith } from './noncentrality.ts';

const HALF = 0.5 + LEVEL / 2;

/** A difference of means in standard deviations, b less a; dimensionless. */
export interface StandardisedDifference {
  /** Values in each group, or pairs in both; missing = values (pairs) that are not numbers. */
  readonly nA: number;
  readonly nB: number;
  readonly missing: number;
  readonly level: number;
  readonly freedom: number;
  /** b less a in the unit of the values, and the standard deviation it is divided by. */
  readonly difference: number;
  readonly sd: number;
  /** Cohen's d, biased away from 0 in small samples; J · d = Hedges' g. */
  readonly d: number;
  readonly correction: number;
  /**
   * g, with the exact interval of the difference in the population by the non-central t; NaN ends where none is exact.
   * The interval is not multiplied by J: it is not one of an estimate.
   */
  readonly g: WithConfidence;
  /** g, with the interval g ± 1.96 √V of Borenstein et al. (2009), and that V. */
  readonly normal: WithConfidence;
  readonly variance: number;
}

/**
 * Hedges' correction, J = Γ(ν/2) / (√(ν/2) Γ((ν − 1)/2)), exact (Hedges 1981, J. Educ. Stat. 6:107–128, eq. 6e), for whole ν ≥ 2.
 * With r(a) = Γ(a + ½) / Γ(a): r(½) = 1/√π and r(a + ½) = a / r(a), so no gamma function is needed.
 */
export function hedgesCorrection(freedom: number): number {
  if (!(Number.isInteger(freedom) && freedom >= 2)) throw standardisedTooFew(freedom + 1, 3);
  let ratio = 1 / Math.sqrt(Math.PI);
  for (let twice = 1; twice < freedom - 1; twice++) ratio = twice / 2 / ratio;
  return ratio / Math.sqrt(freedom / 2);
}

/**
 * Hedges' g of two independent groups, by their pooled standard deviation (equal in both populations, normal). Fewer than 2
 * values in a group or 4 in all, and no spread, are refused. V = J² (1/nA + 1/nB + d² / (2 (nA + nB))) (Borenstein et al. 2009,
 * Introduction to Meta-Analysis, eq. 4.20 and 4.24).
 */
export function independentDifference(a: readonly number[], b: readonly number[]): StandardisedDifference {
  const [known, other] = [a.filter(Number.isFinite), b.filter(Number.isFinite)];
  const least = Math.min(known.length, other.length);
  if (least < 2) throw standardisedTooFew(least, 2);
  const [sdA, sdB] = [standardDeviation(known), standardDeviation(other)];
  return independentFromSummary(
    { mean: mean(known), sd: sdA, n: known.length },
    { mean: mean(other), sd: sdB, n: other.length },
    a.length + b.length - known.length - other.length,
  );
}

/** A spread of no more than this share of the values is what rounding left of equal ones. */
const ROUNDING = 1e-12;

/** What is known of a group: all that g needs. */
export interface GroupSummary {
  readonly mean: number;
  readonly sd: number;
  readonly n: number;
}

/** The same from means, standard deviations and numbers. */
export function independentFromSummary(a: GroupSummary, b: GroupSummary, missing = 0): StandardisedDifference {
  const freedom = a.n + b.n - 2;
  const sd = Math.sqrt(((a.n - 1) * a.sd ** 2 + (b.n - 1) * b.sd ** 2) / freedom);
  if (!(sd > ROUNDING * Math.max(Math.abs(a.mean), Math.abs(b.mean)))) throw standardisedNoSpread('groups');
  const difference = b.mean - a.mean;
  const d = difference / sd;
  const root = Math.sqrt((a.n * b.n) / (a.n + b.n));
  const correction = hedgesCorrection(freedom);
  const variance = correction ** 2 * (1 / a.n + 1 / b.n + d ** 2 / (2 * (a.n + b.n)));
  return {
    ...exactly(d, root, freedom, correction),
    nA: a.n,
    nB: b.n,
    missing,
    difference,
    sd,
    ...normally(correction * d, variance),
  };
}

/** A difference within subjects: by which standard deviation it is divided says what it is compared with. */
export interface PairedDifference {
  /** By the standard deviation of the differences: how regular the change is. Interval exact. */
  readonly ofDifferences: StandardisedDifference;
  /**
   * By the standard deviation within a session, sd(differences) / √(2 (1 − r)): comparable with that of independent groups.
   * No exact interval is known (r is estimated too): ends of `g` are NaN, use `normal`.
   */
  readonly ofValues: StandardisedDifference;
  /** Correlation of the two values of a pair. */
  readonly r: number;
}

/**
 * Hedges' g of pairs, b less a, ν = pairs − 1. V of `ofValues` = J² (1/n + d² / (2 n)) · 2 (1 − r) (Borenstein et al. 2009,
 * eq. 4.26–4.28); of `ofDifferences` the same without the last factor. A pair with a missing value is left out and counted.
 */
export function pairedDifference(a: readonly number[], b: readonly number[]): PairedDifference {
  if (a.length !== b.length) throw pairsUnequal(a.length, b.length);
  const kept = a.map((_, i) => i).filter((i) => Number.isFinite(a[i]) && Number.isFinite(b[i]));
  if (kept.length < 3) throw standardisedTooFew(kept.length, 3);
  const differences = kept.map((i) => b[i] - a[i]);
  const r = correlation(
    kept.map((i) => a[i]),
    kept.map((i) => b[i]),
  );
  return pairedFromSummary(mean(differences), standardDeviation(differences), kept.length, r, a.length - kept.length);
}

/** The same from the mean and standard deviation of the differences, the number of pairs and their correlation. */
export function pairedFromSummary(
  difference: number,
  sdOfDifferences: number,
  pairs: number,
  r: number,
  missing = 0,
): PairedDifference {
  if (!(sdOfDifferences > ROUNDING * Math.abs(difference) && r < 1)) throw standardisedNoSpread('pairs');
  const freedom = pairs - 1;
  const correction = hedgesCorrection(freedom);
  const both = { nA: pairs, nB: pairs, missing, difference };
  const alone = difference / sdOfDifferences;
  const factor = 2 * (1 - r);
  const sd = sdOfDifferences / Math.sqrt(factor);
  const d = difference / sd;
  const varianceOf = (of: number) => correction ** 2 * (1 / pairs + of ** 2 / (2 * pairs));
  return {
    ofDifferences: {
      ...exactly(alone, Math.sqrt(pairs), freedom, correction),
      ...both,
      sd: sdOfDifferences,
      ...normally(correction * alone, varianceOf(alone)),
    },
    ofValues: {
      level: LEVEL,
      freedom,
      d,
      correction,
      g: { value: correction * d, lower: Number.NaN, upper: Number.NaN },
      ...both,
      sd,
      ...normally(correction * d, factor * varianceOf(d)),
    },
    r,
  };
}

/** t = d · root is non-central t with noncentrality root · (difference in the population). */
function exactly(d: number, root: number, freedom: number, correction: number) {
  return {
    level: LEVEL,
    freedom,
    d,
    correction,
    g: {
      value: correction * d,
      lower: noncentralityWith(HALF, freedom, d * root) / root,
      upper: noncentralityWith(1 - HALF, freedom, d * root) / root,
    },
  };
}

function normally(value: number, variance: number) {
  const half = normalQuantile(HALF) * Math.sqrt(variance);
  return { normal: { value, lower: value - half, upper: value + half }, variance };
}
