import { nonCentralStudentQuantile } from '../../numerics/non-central-student.ts';
import { mean } from '../../numerics/statistics.ts';
import { studentQuantile } from '../../numerics/student.ts';

/** Standard deviations from the mean difference to a limit, as printed by Bland & Altman (1986, 1999, 2007). */
export const LIMIT_SDS = 1.96;

/** A number with its 95 % confidence interval; NaN ends where there are too few values. */
export interface WithConfidence {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

/** How two means of measuring agree on one number; all in the unit of the differences. */
export interface Agreement {
  /** Lifters, and differences of all of them together. */
  readonly lifters: number;
  readonly differences: number;
  readonly bias: WithConfidence;
  /** Of a single difference, within and between lifters together; NaN for one difference. */
  readonly sd: number;
  /** Between repetitions of one lifter, and between lifters; NaN where the numbers of repetitions or lifters do not tell them apart. */
  readonly sdWithin: number;
  readonly sdBetween: number;
  /** 95 % limits of agreement, bias ± LIMIT_SDS · sd. */
  readonly lowerLimit: WithConfidence;
  readonly upperLimit: WithConfidence;
}

/**
 * Bias and 95 % limits of agreement of paired differences.
 *
 * One difference a lifter, or one lifter only: Bland & Altman (1986, Lancet i:307–310). Several of several lifters: variance
 * components of a one-way analysis of variance, the variance of a single difference being σ²_between + σ²_within, for a true
 * value that changes from repetition to repetition (Bland & Altman 2007, J. Biopharm. Stat. 17:571–582, sec. 3).
 * The bias has Student's interval. The limits have the exact one of a normal percentile (non-central t; Carkeet 2015, Optom.
 * Vis. Sci. 92:e71–e80, limits one by one), with components by Satterthwaite's (1946) degrees of freedom and n replaced by
 * s² / var(bias): an approximation there. Of one lifter it speaks of that lifter only.
 *
 * groups: the differences of each lifter, none empty, all finite.
 */
export function limitsOfAgreement(groups: readonly (readonly number[])[]): Agreement {
  const all = groups.flat();
  const parts = components(groups, all);
  const bias = mean(all);
  const sd = Math.sqrt(parts.variance);
  const biasSe = Math.sqrt(parts.biasVariance);
  const half = parts.biasFreedom > 0 ? studentQuantile(0.975, parts.biasFreedom) * biasSe : Number.NaN;
  const [inner, outer] = limitFactors(sd, biasSe, parts.freedom);
  return {
    lifters: groups.length,
    differences: all.length,
    bias: { value: bias, lower: bias - half, upper: bias + half },
    sd,
    sdWithin: parts.within,
    sdBetween: parts.between,
    lowerLimit: { value: bias - LIMIT_SDS * sd, lower: bias - outer * sd, upper: bias - inner * sd },
    upperLimit: { value: bias + LIMIT_SDS * sd, lower: bias + inner * sd, upper: bias + outer * sd },
  };
}

interface Components {
  /** Of a single difference, with its degrees of freedom. */
  readonly variance: number;
  readonly freedom: number;
  readonly biasVariance: number;
  readonly biasFreedom: number;
  readonly within: number;
  readonly between: number;
}

function components(groups: readonly (readonly number[])[], all: readonly number[]): Components {
  const n = all.length;
  const lifters = groups.length;
  const bias = mean(all);
  const total = all.reduce((sum, d) => sum + (d - bias) ** 2, 0);
  const plain = total / (n - 1);
  if (n < 2)
    return {
      variance: Number.NaN,
      freedom: 0,
      biasVariance: Number.NaN,
      biasFreedom: 0,
      within: Number.NaN,
      between: Number.NaN,
    };
  const simple = { variance: plain, freedom: n - 1, biasVariance: plain / n, biasFreedom: n - 1 };
  if (lifters === 1) return { ...simple, within: Math.sqrt(plain), between: Number.NaN };
  if (lifters === n) return { ...simple, within: Number.NaN, between: Number.NaN };
  const betweenSquares = groups.reduce((sum, group) => sum + group.length * (mean(group) - bias) ** 2, 0);
  const msBetween = betweenSquares / (lifters - 1);
  const msWithin = (total - betweenSquares) / (n - lifters);
  const sumSquares = groups.reduce((sum, group) => sum + group.length ** 2, 0);
  // Repetitions a lifter in the expectation of the mean square between; their number where all have as many.
  const m = (n - sumSquares / n) / (lifters - 1);
  const between = (msBetween - msWithin) / m;
  // Lifters no more apart than their repetitions: one common variance, the bias still judged by the number of lifters.
  if (!(between > 0)) return { ...simple, biasFreedom: lifters - 1, within: Math.sqrt(plain), between: 0 };
  const variance = between + msWithin;
  const [partBetween, partWithin] = [msBetween / m, (1 - 1 / m) * msWithin];
  return {
    variance,
    freedom: variance ** 2 / (partBetween ** 2 / (lifters - 1) + partWithin ** 2 / (n - lifters)),
    biasVariance: (between * sumSquares) / n ** 2 + msWithin / n,
    biasFreedom: lifters - 1,
    within: Math.sqrt(msWithin),
    between: Math.sqrt(between),
  };
}

/** Factors once computed: across depth thousands of numbers have the same few counts. */
const factors = new Map<string, readonly [number, number]>();

/** From the bias to the inner and outer end of a limit's interval, in standard deviations; NaN for fewer than two differences. */
function limitFactors(sd: number, biasSe: number, freedom: number): readonly [inner: number, outer: number] {
  if (!(freedom > 0)) return [Number.NaN, Number.NaN];
  const root = sd > 0 ? sd / biasSe : 1;
  const key = `${root.toPrecision(4)}/${freedom.toPrecision(4)}`;
  const known = factors.get(key);
  if (known) return known;
  const [r, nu] = [Number(root.toPrecision(4)), Number(freedom.toPrecision(4))];
  const at = (p: number) => nonCentralStudentQuantile(p, nu, LIMIT_SDS * r) / r;
  const found = [at(0.025), at(0.975)] as const;
  factors.set(key, found);
  return found;
}
