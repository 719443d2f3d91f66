import { athleteStandsTooShort } from '../../messages/moving-points.ts';
import { crossed, dot, type VerticalEstimate, verticalEstimate } from './vertical-estimate.ts';

/** Places of a standing lifter's points in the rig's frame, metres, one entry a moment. */
export interface StandingMoment {
  readonly midAnkle: ArrayLike<number>;
  /** Mid-shoulder, or middle of the ears. */
  readonly upper: ArrayLike<number>;
  /** From the left hip (or ankle) to the right one. */
  readonly toRight: ArrayLike<number>;
}

/**
 * How far the line from mid-ankle to mid-shoulder of a lifter who stands still is from plumb, standard deviations in
 * degrees: forward or back (habit of stance, bar in the rack) and sideways (a shift of weight). Common practice, no source.
 */
export const STANDING_FORWARD_SD_DEG = 3;
export const STANDING_SIDEWAYS_SD_DEG = 1.5;
const FEWEST_MOMENTS = 3;

/**
 * Straight up as a lifter stands: mean direction from mid-ankle to mid-shoulder. A weak source, far outside what is accepted
 * alone; it tells up from down and catches a vertical that is wrong by ten degrees.
 */
export function verticalFromStanding(
  moments: readonly StandingMoment[],
  forwardSdDeg = STANDING_FORWARD_SD_DEG,
  sidewaysSdDeg = STANDING_SIDEWAYS_SD_DEG,
): VerticalEstimate {
  const complete = moments.filter(({ midAnkle, upper, toRight }) =>
    [midAnkle, upper, toRight].every((v) => Number.isFinite(v[0])),
  );
  if (complete.length < FEWEST_MOMENTS) throw athleteStandsTooShort(complete.length, FEWEST_MOMENTS);
  const sum = [0, 0, 0];
  const right = [0, 0, 0];
  for (const { midAnkle, upper, toRight } of complete) {
    const d = [0, 1, 2].map((k) => upper[k] - midAnkle[k]);
    const length = Math.hypot(...d);
    for (let k = 0; k < 3; k++) {
      sum[k] += d[k] / length;
      right[k] += toRight[k];
    }
  }
  const length = Math.hypot(...sum);
  const up = sum.map((x) => x / length);
  const along = dot(right, up);
  const side = right.map((x, k) => x - along * up[k]);
  const width = Math.hypot(...side);
  const z = side.map((x) => x / width);
  const x = crossed(up, z);
  const covariance = Float64Array.from({ length: 9 }, (_, k) => {
    const [i, j] = [Math.floor(k / 3), k % 3];
    return ((forwardSdDeg * Math.PI) / 180) ** 2 * x[i] * x[j] + ((sidewaysSdDeg * Math.PI) / 180) ** 2 * z[i] * z[j];
  });
  return verticalEstimate('standing athlete', up, covariance);
}
