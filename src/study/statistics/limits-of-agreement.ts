import { groupsTooSmall } from '../../messages/reliability.ts';
import { mean, standardDeviation } from '../../numerics/statistics.ts';
import { studentQuantile } from '../../numerics/student.ts';
import { LIMIT_SDS, type WithConfidence } from '../agreement/limits-of-agreement.ts';
import { LEVEL } from './intraclass-correlation.ts';

/* Pairs, and repeated pairs whose true value changes, are in ../agreement/limits-of-agreement.ts, which is used as it is. */
export { type Agreement, LIMIT_SDS, limitsOfAgreement, type WithConfidence } from '../agreement/limits-of-agreement.ts';

/** One subject, measured several times by each of two methods while the true value stays the same; numbers may differ. */
export interface ReplicatedSubject {
  readonly a: readonly number[];
  readonly b: readonly number[];
}

/** Agreement of single measurements, from replicates; all in the unit of the values. */
export interface ReplicatedAgreement {
  readonly subjects: number;
  /** Values that are not numbers, left out; subjects left out because one method has none. */
  readonly missing: number;
  readonly leftOut: number;
  readonly level: number;
  readonly bias: WithConfidence;
  /** Between replicates of one subject by one method; NaN where no subject has two by it. */
  readonly sdWithinA: number;
  readonly sdWithinB: number;
  /** Of the differences of the subjects' means: smaller than that of single measurements. */
  readonly sdOfMeans: number;
  /** Of the difference of two single measurements, one by each method. */
  readonly sd: number;
  readonly lowerLimit: WithConfidence;
  readonly upperLimit: WithConfidence;
  /** 95 % of two measurements of one subject by one method differ by less: 1.96 · √2 · sdWithin. */
  readonly repeatabilityA: number;
  readonly repeatabilityB: number;
}

/**
 * Limits of agreement of single measurements from replicates of a constant true value:
 * s² = s²(means) + (1 − mean(1 / m_a)) s²_a + (1 − mean(1 / m_b)) s²_b, m the replicates of each subject (Bland & Altman 1999, Stat. Methods Med.
 * Res. 8:135–160, sec. 5.1–5.2; the correction for two replicates is in Bland & Altman 1986).
 *
 * Bias: Student's interval over subjects. Limits: bias ± 1.96 s with the standard error of Bland & Altman (1999, sec. 5.1):
 * var(limit) = s²(means) / n + 1.96² var(s²) / (4 s²), var(s²) = Σ 2 part² / freedom, and Student's quantile at n − 1: approximate.
 */
export function replicatedAgreement(subjects: readonly ReplicatedSubject[]): ReplicatedAgreement {
  const finite = subjects.map(({ a, b }) => ({ a: a.filter(Number.isFinite), b: b.filter(Number.isFinite) }));
  const count = (of: readonly ReplicatedSubject[]) => of.reduce((sum, { a, b }) => sum + a.length + b.length, 0);
  const known = finite.filter(({ a, b }) => a.length > 0 && b.length > 0);
  const n = known.length;
  if (n < 2) throw groupsTooSmall(n, count(known));
  const differences = known.map(({ a, b }) => mean(a) - mean(b));
  const bias = mean(differences);
  const sdOfMeans = standardDeviation(differences);
  const ofA = withinOf(known.map(({ a }) => a));
  const ofB = withinOf(known.map(({ b }) => b));
  const parts = [{ variance: sdOfMeans ** 2, freedom: n - 1 }, ofA.part, ofB.part];
  const variance = parts.reduce((sum, part) => sum + part.variance, 0);
  const sd = Math.sqrt(variance);
  const quantile = studentQuantile(0.5 + LEVEL / 2, n - 1);
  const biasHalf = (quantile * sdOfMeans) / Math.sqrt(n);
  const ofVariance = parts.reduce(
    (sum, part) => sum + (part.freedom > 0 ? (2 * part.variance ** 2) / part.freedom : 0),
    0,
  );
  const ofSd = variance > 0 ? ofVariance / (4 * variance) : 0;
  const limitHalf = quantile * Math.sqrt(sdOfMeans ** 2 / n + LIMIT_SDS ** 2 * ofSd);
  const limit = (value: number) => ({ value, lower: value - limitHalf, upper: value + limitHalf });
  return {
    subjects: n,
    missing: count(subjects) - count(finite),
    leftOut: subjects.length - n,
    level: LEVEL,
    bias: { value: bias, lower: bias - biasHalf, upper: bias + biasHalf },
    sdWithinA: ofA.sd,
    sdWithinB: ofB.sd,
    sdOfMeans,
    sd,
    lowerLimit: limit(bias - LIMIT_SDS * sd),
    upperLimit: limit(bias + LIMIT_SDS * sd),
    repeatabilityA: LIMIT_SDS * Math.SQRT2 * ofA.sd,
    repeatabilityB: LIMIT_SDS * Math.SQRT2 * ofB.sd,
  };
}

/** Standard deviation within subjects, and what a single measurement adds to the variance of the means. */
function withinOf(groups: readonly (readonly number[])[]) {
  let [squares, freedom, inverse] = [0, 0, 0];
  for (const group of groups) {
    const centre = mean(group);
    for (const value of group) squares += (value - centre) ** 2;
    freedom += group.length - 1;
    inverse += 1 / group.length / groups.length;
  }
  const variance = freedom > 0 ? squares / freedom : 0;
  return {
    sd: freedom > 0 ? Math.sqrt(variance) : Number.NaN,
    part: { variance: (1 - inverse) * variance, freedom },
  };
}
