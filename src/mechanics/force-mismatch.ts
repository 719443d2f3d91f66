import { GRAVITY_M_PER_S2 } from '../numerics/constants.ts';
import { correlation, mean, rms } from '../numerics/statistics.ts';
import type { JointMoments } from './cut-moments.ts';
import type { ForceMismatch, LoadedJoint } from './joint-loads.ts';

/** One way of knowing the ground reaction and the moments of both legs. */
export interface GroundAndMoments {
  /** `3 * frame`, N. */
  readonly force: Float64Array;
  /** `3 * frame`, metres; NaN where there is hardly any force. */
  readonly centreOfPressure: Float64Array;
  readonly moments: JointMoments;
}

/** Fewest frames a mismatch is computed from; common practice, no source. */
const FEWEST_COMPARED = 10;

/**
 * From above against measured, over the frames that have both and are not an edge of a filter (`edge`, one a frame).
 * Differences are above minus measured. Null where fewer than FEWEST_COMPARED frames can be compared.
 */
export function forceMismatch(
  above: GroundAndMoments,
  measured: GroundAndMoments,
  edge: Uint8Array,
  bodyMassKg: number,
): ForceMismatch | null {
  const frames: number[] = [];
  for (let frame = 0; frame < edge.length; frame++) {
    const i = 3 * frame;
    const there = above.force[i + 1] + measured.force[i + 1] + above.centreOfPressure[i] + measured.centreOfPressure[i];
    if (!edge[frame] && Number.isFinite(there)) frames.push(frame);
  }
  if (frames.length < FEWEST_COMPARED) return null;
  const vertical = (way: GroundAndMoments) => frames.map((frame) => way.force[3 * frame + 1]);
  const apart = (of: (way: GroundAndMoments) => Float64Array, stride: number, axis: number) =>
    frames.map((frame) => of(above)[stride * frame + axis] - of(measured)[stride * frame + axis]);
  const centre = (way: GroundAndMoments) => way.centreOfPressure;
  const momentRms = (joint: LoadedJoint) => {
    const differences = apart((way) => way.moments[joint].total, 1, 0).filter(Number.isFinite);
    return differences.length >= FEWEST_COMPARED ? rms(differences) : null;
  };
  const verticalRmsN = rms(apart((way) => way.force, 3, 1));
  return {
    verticalR: correlation(vertical(above), vertical(measured)),
    verticalRmsN,
    verticalRmsPctBodyWeight: (100 * verticalRmsN) / (bodyMassKg * GRAVITY_M_PER_S2),
    meanVerticalAboveN: mean(vertical(above)),
    meanVerticalMeasuredN: mean(vertical(measured)),
    copForwardMeanM: mean(apart(centre, 3, 0)),
    copForwardRmsM: rms(apart(centre, 3, 0)),
    copSidewaysRmsM: rms(apart(centre, 3, 2)),
    hipMomentRmsNm: momentRms('hip'),
    kneeMomentRmsNm: momentRms('knee'),
    ankleMomentRmsNm: momentRms('ankle'),
    framesCompared: frames.length,
  };
}
