import { mean, rms } from '../../numerics/statistics.ts';
import { markEdgesInto } from '../../reconstruction/edge-frames.ts';
import { type JointLoads, LOADED_JOINTS, type LoadedJoint } from '../joint-loads.ts';
import type { LegMoments } from './leg-moments.ts';
import { extensorOf } from './leg-moments.ts';

/** Shared less measured extensor moments of each leg, N·m, over frames that have both and are no edge of a filter. */
export interface SharedAgainstMeasured {
  readonly left: Readonly<Record<LoadedJoint, MomentDifference>> | null;
  readonly right: Readonly<Record<LoadedJoint, MomentDifference>> | null;
}

export interface MomentDifference {
  readonly meanNm: number;
  readonly rmsNm: number;
  readonly frames: number;
}

/** Fewest frames a difference is computed from; common practice, no source. */
const FEWEST_COMPARED = 10;

/** null where no foot has a force plate of its own. The differences hold the error of the total as well as that of the sharing. */
export function againstMeasured(
  { fromBelow, motion }: JointLoads,
  shared: Readonly<Record<'left' | 'right', { readonly moments: LegMoments }>>,
): SharedAgainstMeasured | null {
  if (!fromBelow?.left && !fromBelow?.right) return null;
  const edge = new Uint8Array(motion.frames);
  markEdgesInto(edge, motion.trajectories);
  const ofLeg = (side: 'left' | 'right') => {
    const measured = fromBelow[side];
    if (!measured) return null;
    const found = {} as Record<LoadedJoint, MomentDifference>;
    for (const joint of LOADED_JOINTS) {
      const ours = extensorOf(shared[side].moments, joint);
      const differences = [...ours.keys()]
        .filter((frame) => edge[frame] === 0)
        .map((frame) => ours[frame] - measured[joint].total[frame])
        .filter(Number.isFinite);
      if (differences.length < FEWEST_COMPARED) return null;
      found[joint] = { meanNm: mean(differences), rmsNm: rms(differences), frames: differences.length };
    }
    return found;
  };
  return { left: ofLeg('left'), right: ofLeg('right') };
}
