import { type JointLoads, LOADED_JOINTS, type LoadedJoint, type MomentSeries } from '../joint-loads.ts';
import { extensorOf } from './leg-moments.ts';
import type { LegSharing } from './leg-sharing.ts';

/**
 * Loads whose moments of both legs lie `part` of the way from the moment about the mid-joint (0) to the sum of the two legs' own
 * (1). With the left joint Δx ahead of the right one and Δy above it they differ by
 *
 *   Δ = [Δx (F_y,left − F_y,right) − Δy (F_x,left − F_x,right)] / 2,
 *
 * mid-joint less sum about +Z, F what the lower part gives at the joint: known only once the legs share. Frames that are not shared
 * stay as they are.
 */
export function towardsSumOfLegs(loads: JointLoads, shared: LegSharing | null, part: number): JointLoads {
  if (part === 0 || shared === null || loads.fromAbove === null) return loads;
  const moved = {} as Record<LoadedJoint, MomentSeries>;
  for (const joint of LOADED_JOINTS) {
    const { total, gravity, inertial } = loads.fromAbove[joint];
    const left = extensorOf(shared.left.moments, joint);
    const right = extensorOf(shared.right.moments, joint);
    const change = total.map((both, frame) => {
      const found = part * (left[frame] + right[frame] - both);
      return Number.isNaN(found) ? 0 : found;
    });
    // Weight and inertia share it alike enough: the difference is small, and the gravity part is by far the larger.
    moved[joint] = {
      total: total.map((value, frame) => value + change[frame]),
      gravity: gravity.map((value, frame) => value + change[frame]),
      inertial,
    };
  }
  return { ...loads, fromAbove: moved };
}
