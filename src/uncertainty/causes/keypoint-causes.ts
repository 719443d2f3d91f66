import {
  COMMON_TO_BOTH_SIDES,
  OFFSET_POINTS,
  type OffsetPoint,
  offsetPointOf,
  offsetTable,
} from '../../body/keypoint-offsets.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';
import type { Cause, GroupCauses } from './cause.ts';

/** Who found the points, of whom. */
export interface PointOwner {
  readonly detector: string | null;
  readonly kind: 'views' | 'landmarks_3d';
  readonly athleteId: string;
}

const AXES = ['forward', 'up', 'outward'] as const;

/**
 * Points against joint centres: constant shifts in the lifter's axes, by the table of the recording's detector. What left
 * and right have in common and what each has of its own are causes apart. A property of detector and athlete, so common to
 * recordings that share both.
 */
export function keypointCauses(
  { detector, kind, athleteId }: PointOwner,
  { landmarks, frames }: Pick<Trajectories, 'landmarks' | 'frames'>,
): GroupCauses {
  const table = offsetTable(detector, kind);
  const owner = `detector/${table.detector}/${athleteId}`;
  const causes: Cause[] = [];
  for (const point of OFFSET_POINTS) {
    const columns = columnsOf(point);
    if (columns.left < 0 && columns.right < 0) continue;
    AXES.forEach((axis, a) => {
      const sdM = table.offsets[point].sdM[a];
      if (!(sdM > 0)) return;
      const parts = [
        { what: 'both sides', left: 1, right: 1, share: COMMON_TO_BOTH_SIDES },
        { what: 'left', left: 1, right: 0, share: 1 - COMMON_TO_BOTH_SIDES },
        { what: 'right', left: 0, right: 1, share: 1 - COMMON_TO_BOTH_SIDES },
      ];
      for (const { what, left, right, share } of parts) {
        const shiftM = Math.sqrt(share) * sdM;
        if (!(shiftM > 0) || (columns.left < 0 && right === 0) || (columns.right < 0 && left === 0)) continue;
        causes.push({
          group: 'keypoints',
          key: `${owner}/${point} ${axis} ${what}`,
          label: `${point.replace('_', ' ')} ${axis}, ${what}`,
          movePoints: (position, z) => {
            if (left) shift(position, columns.left, a, a === 2 ? -shiftM * z : shiftM * z);
            if (right) shift(position, columns.right, a, shiftM * z);
          },
        });
      }
    });
  }
  return { group: 'keypoints', causes, notIncluded: '' };

  function columnsOf(point: OffsetPoint): { left: number; right: number } {
    const found = { left: -1, right: -1 };
    landmarks.forEach((landmark, column) => {
      const of = offsetPointOf(landmark);
      if (of?.point === point) found[of.side] = column;
    });
    return found;
  }

  /** Lab Z points to the lifter's right: outward on the right side, inward on the left. */
  function shift(position: Float64Array, column: number, axis: number, byM: number): void {
    if (column < 0) return;
    const stride = 3 * landmarks.length;
    for (let i = 3 * column + axis, f = 0; f < frames; f++, i += stride) position[i] += byM;
  }
}
