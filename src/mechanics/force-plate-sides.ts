import type { BodyMotion } from '../body/body-motion.ts';
import type { ForcePlateTrack } from '../capture/recording.ts';
import { forcePlatesExchanged } from '../messages/mechanics.ts';
import { median } from '../numerics/statistics.ts';
import type { GroundReaction } from './ground-wrench.ts';
import { centreOfPressure, type Wrench } from './wrench.ts';

/**
 * Refuses force plates whose feet are exchanged: the centre of pressure called left nearer to the right ankle and the one
 * called right nearer to the left ankle, sideways, in the median of the frames that carry `leastVerticalN`. One alone on the
 * wrong side is no proof (feet together, a stride), so both must be. Throws 'force-plates-exchanged'.
 */
export function checkForcePlateSides(
  { left, right }: GroundReaction,
  forcePlates: readonly ForcePlateTrack[],
  motion: BodyMotion,
  leastVerticalN: number,
): void {
  const { left_ankle: leftAnkle, right_ankle: rightAnkle } = motion.joints;
  if (!left || !right || !leftAnkle || !rightAnkle) return;
  const leftZM = sideways(left);
  const rightZM = sideways(right);
  const middleM = (medianZ(leftAnkle) + medianZ(rightAnkle)) / 2;
  if (leftZM > middleM && rightZM < middleM) {
    const fileOf = (foot: 'left' | 'right') => forcePlates.find((forcePlate) => forcePlate.foot === foot)!.file;
    throw forcePlatesExchanged(fileOf('left'), fileOf('right'), leftZM, rightZM);
  }

  function sideways(wrench: Wrench): number {
    return medianZ(centreOfPressure(wrench, motion.trajectories.floorHeightM, leastVerticalN));
  }
}

/** Median of the Z of a `3 * frame` series over the frames that have one, metres; NaN where none has. */
function medianZ(points: Float64Array): number {
  const known = Array.from({ length: points.length / 3 }, (_, frame) => points[3 * frame + 2]).filter(Number.isFinite);
  return known.length > 0 ? median(known) : Number.NaN;
}
