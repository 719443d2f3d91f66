import { residualNotes } from '../../messages/residual.ts';
import type { JointLoads } from '../joint-loads.ts';
import { type BodyEstimate, bodyEstimate, type EstimatePriors } from './body-estimate.ts';
import { type ResidualSeries, residualSeries } from './residual-series.ts';
import { type ResidualSummary, summarised } from './residual-summary.ts';

/** Half-open frame range of a repetition. */
export interface NumberedFrames {
  readonly number: number;
  readonly from: number;
  readonly to: number;
}

export interface ResidualAnalysis {
  readonly series: ResidualSeries;
  readonly overall: ResidualSummary;
  readonly byRepetition: readonly (ResidualSummary & { readonly repetition: number })[];
  readonly byLean: readonly (ResidualSummary & { readonly fromDeg: number; readonly toDeg: number })[];
  /**
   * Recommended limits of what may be left over: rms force 5 % of the largest external force, rms moment 1 % of that force times
   * the height of the centre of mass (Hicks et al. 2015 J Biomech Eng 137:020905; from memory).
   */
  readonly recommended: {
    readonly forceLimitN: number;
    readonly momentLimitNm: number;
    readonly within: boolean;
  };
  /** null where too little is measured. */
  readonly estimate: BodyEstimate | null;
  readonly notes: readonly string[];
}

/** Edges of the bins of trunk lean, degrees. */
export const LEAN_EDGES_DEG = [-90, 15, 30, 45, 60, 100] as const;
const RECOMMENDED_FORCE_SHARE = 0.05;
const RECOMMENDED_MOMENT_SHARE = 0.01;

/**
 * From-above against from-below: what the movement needs from the floor less what was measured, over everything, each repetition
 * and each bin of trunk lean; and the body that the force plates would fit best. Null without force plates under both feet or
 * without an upper body. Nothing is changed by it.
 */
export function residualAnalysis(
  loads: JointLoads,
  repetitions: readonly NumberedFrames[],
  priors: EstimatePriors = {},
): ResidualAnalysis | null {
  const series = residualSeries(loads);
  if (!series) return null;
  const overall = summarised(series, () => true);
  const byLean = LEAN_EDGES_DEG.slice(1).map((toDeg, k) => {
    const fromDeg = LEAN_EDGES_DEG[k];
    const { trunkLeanDeg } = series;
    return { fromDeg, toDeg, ...summarised(series, (f) => trunkLeanDeg[f] >= fromDeg && trunkLeanDeg[f] < toDeg) };
  });
  const byRepetition = repetitions.map(({ number, from, to }) => ({
    repetition: number,
    ...summarised(series, (frame) => frame >= from && frame < to),
  }));
  const estimate = bodyEstimate(loads, series, priors);
  const forceLimitN = RECOMMENDED_FORCE_SHARE * series.largestForceN;
  const momentLimitNm = RECOMMENDED_MOMENT_SHARE * series.largestForceN * series.centreHeightM;
  const { forward, up, right } = overall.forceN;
  const forces = [forward, up, right].map((spread) => spread?.rms ?? Number.NaN);
  const moment = overall.momentNm.right?.rms ?? Number.NaN;
  const recommended = {
    forceLimitN,
    momentLimitNm,
    within: forces.every((force) => force <= forceLimitN) && moment <= momentLimitNm,
  };
  return {
    series,
    overall,
    byRepetition,
    byLean,
    recommended,
    estimate,
    notes: residualNotes(overall, recommended, estimate, loads.motion.bodyMassKg),
  };
}
