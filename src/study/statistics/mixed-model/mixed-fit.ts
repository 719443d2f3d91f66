import type { CheckedDescription } from './description.ts';
import type { Design } from './design.ts';
import type { GroupMoments } from './group-moments.ts';
import type { Criterion } from './likelihood.ts';
import type { ModelRows, RowsDropped } from './model-rows.ts';
import type { Solution } from './solve.ts';
import type { Standardised } from './standardised.ts';
import type { VarianceDoubt } from './variance-doubt.ts';

/** An effect or contrast with what is known of it, in the unit of the response (per unit of its covariate). */
export interface Estimate {
  readonly name: string;
  readonly estimate: number;
  readonly se: number;
  /** Satterthwaite; NaN where it cannot be worked out: then t alone stands. */
  readonly freedom: number;
  readonly t: number;
  /** Two-sided, against 0. */
  readonly p: number;
  /** 95 % interval. */
  readonly lower: number;
  readonly upper: number;
}

/** Spread of one random effect between the groups. */
export interface RandomSpread {
  readonly name: string;
  readonly sd: number;
}

export interface RandomCorrelation {
  readonly first: string;
  readonly second: string;
  /** NaN where one of the two has no spread; 0 in the uncorrelated form. */
  readonly correlation: number;
}

/** Conditional modes of one group's random effects (best linear unbiased predictions at the estimated variances). */
export interface GroupModes {
  readonly group: string;
  readonly rows: number;
  /** In the order of `randomSds`: what is added to the fixed effects for this group. */
  readonly modes: readonly number[];
  /** Conditional standard deviations, fixed effects and variances taken as known. */
  readonly sds: readonly number[];
}

export interface FitNote {
  readonly code: 'singular' | 'not-converged' | 'few-groups' | 'freedom-unknown';
  readonly text: string;
}

/** A fitted linear mixed model. Arrays by row have the length of the table; NaN in rows that were not used. */
export interface MixedFit {
  readonly criterion: Criterion;
  /** −2 ln L at its least: the REML criterion, or the deviance of ML. */
  readonly deviance: number;
  readonly logLik: number;
  /** Fixed effects, free elements of the random covariance, residual variance: what AIC and BIC count. */
  readonly parameters: number;
  readonly aic: number;
  /** With ln of the rows used. */
  readonly bic: number;
  readonly fixedEffects: readonly Estimate[];
  /** p × p, row-major, of the fixed effects. */
  readonly fixedCovariance: Float64Array;
  readonly randomSds: readonly RandomSpread[];
  readonly randomCorrelations: readonly RandomCorrelation[];
  readonly residualSd: number;
  readonly groups: readonly GroupModes[];
  /** With the conditional modes. */
  readonly fitted: Float64Array;
  /** Rows used, of so many in the table, and why others were not. */
  readonly n: number;
  readonly tableRows: number;
  readonly missing: number;
  readonly dropped: readonly RowsDropped[];
  /** First level = reference. */
  readonly factors: readonly { readonly name: string; readonly levels: readonly string[] }[];
  /** What was subtracted from a covariate (0: nothing), and its mean over the rows used. */
  readonly covariates: readonly { readonly name: string; readonly centre: number; readonly mean: number }[];
  /** A spread at 0, or a correlation at ±1: the data do not show it apart from noise. */
  readonly singular: boolean;
  readonly converged: boolean;
  readonly iterations: number;
  readonly notes: readonly FitNote[];
  /** For contrasts, tests and bootstraps of this fit. */
  readonly inner: FitInner;
}

export interface FitInner {
  readonly model: CheckedDescription;
  readonly rows: ModelRows;
  readonly design: Design;
  readonly standardised: Standardised;
  readonly moments: GroupMoments;
  readonly solution: Solution;
  readonly doubt: VarianceDoubt;
}
