import type { JointLoads } from '../joint-loads.ts';
import { LOADED_JOINTS, type LoadedJoint } from '../loaded-joints.ts';

/** Standard deviation of a moment of both legs, N·m, by joint. */
export type MomentDoubt = Readonly<Record<LoadedJoint, number>>;

export interface FusedMoments {
  /** Extensor moment of both legs about the mid-joint, N·m, one value a frame; NaN where neither way knows it. */
  readonly moments: Readonly<Record<LoadedJoint, Float64Array>>;
  /** Standard deviation where both ways are known. */
  readonly doubt: MomentDoubt;
  /** Share of the way from above in it, 1. */
  readonly fromAboveShare: MomentDoubt;
}

/**
 * Moments from above and from below as one: their mean by the inverse of their variances, frame by frame; the one that is known
 * where the other is not. From above doubts the trunk, from below the place of the force plates and the legs: their errors are taken as
 * independent. That gives the residual to trunk and ground in the shares in which they are doubted. With nothing said of
 * from below (standard deviation 0) the measured ground is the truth and all of the residual is the trunk's. Null without both.
 */
export function fusedMoments(loads: JointLoads, above: MomentDoubt, below: MomentDoubt): FusedMoments | null {
  const measured = loads.fromBelow?.both;
  const { fromAbove } = loads;
  if (!measured || !fromAbove) return null;
  const moments = {} as Record<LoadedJoint, Float64Array>;
  const doubt = {} as Record<LoadedJoint, number>;
  const fromAboveShare = {} as Record<LoadedJoint, number>;
  for (const joint of LOADED_JOINTS) {
    const [a, b] = [above[joint] ** 2, below[joint] ** 2];
    if (!(a + b > 0)) throw new RangeError(`fusedMoments: both ways to the ${joint} are said to be exact`);
    const share = b / (a + b);
    const [x, y] = [fromAbove[joint].total, measured[joint].total];
    moments[joint] = x.map((value, k) => {
      if (Number.isNaN(value)) return y[k];
      return Number.isNaN(y[k]) ? value : share * value + (1 - share) * y[k];
    });
    doubt[joint] = Math.sqrt((a * b) / (a + b));
    fromAboveShare[joint] = share;
  }
  return { moments, doubt, fromAboveShare };
}
