import type { OutcomeName } from './names.ts';

/* The columns of the study's tables that figures read. Text cells may be null where empty, numbers NaN where unknown. */

export interface EffectRow extends OutcomeName {
  readonly scale: string;
  readonly unit: string;
  readonly athlete_id: string | null;
  readonly term: string | null;
  readonly level: string | null;
  readonly reference: string | null;
  readonly per: string | null;
  readonly estimate: number;
  readonly lower: number;
  readonly upper: number;
  readonly lower_with_shared: number;
  readonly upper_with_shared: number;
  readonly p: number;
  readonly p_with_shared: number;
  readonly p_holm: number;
  readonly reliability: number;
  readonly n: number;
  readonly repetitions: number;
  readonly athletes: number;
  readonly recordings: number;
  readonly missing: number;
  readonly recordings_missing: number;
  readonly model: string | null;
  readonly notes: string | null;
  readonly reason: string | null;
}

export interface MeanRow extends OutcomeName {
  readonly factor: string;
  readonly level: string;
  readonly mean: number;
  readonly lower: number;
  readonly upper: number;
  readonly lower_with_shared: number;
  readonly upper_with_shared: number;
  readonly unit: string;
  readonly n: number;
  readonly athletes: number;
  readonly held: string | null;
}

export interface ModelRow extends OutcomeName {
  readonly model: string | null;
  readonly references: string | null;
  readonly centres: string | null;
  readonly n: number;
  readonly repetitions: number;
  readonly athletes: number;
  readonly recordings: number;
  readonly missing: number;
  readonly recordings_missing: number;
  readonly reason: string | null;
}

/** An observation of cohort-rows.csv; one column a predictor stands beside these. */
export interface ObservationRow extends OutcomeName {
  readonly athlete_id: string;
  readonly recording_id: string;
  readonly repetition: number;
  readonly repetitions: number;
  readonly value: number;
  readonly value_unit: string;
  readonly used: boolean;
  readonly reason: string | null;
  readonly [predictor: string]: unknown;
}

/** A set mean of means.csv. */
export interface SetMeanRow extends OutcomeName {
  readonly recording_id: string;
  readonly lower: number;
  readonly upper: number;
}

/** What is asked for where the tables of a study have an outcome. */
export const HIP_SHARE_AT_PARALLEL: OutcomeName = { measure: 'hip_share', side: 'both', at: 'parallel' };
