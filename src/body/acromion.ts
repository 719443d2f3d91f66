import { directions, measuredLength, type PointSeries } from './point-series.ts';

/**
 * Upper arm (shoulder point to elbow) over forearm (elbow to wrist) above which the shoulder points lie on the acromion and not
 * at the joint: between joint centres it is 1.05 (men) and 1.04 (women) in de Leva (1996) Table 4 (281.7 / 268.9, 275.1 / 264.3
 * mm); from the acromion, which lies about 10 % of the arm above the joint, and with a marker on it, 1.2 and more. Lengths of one
 * person spread by some 4 % (common practice, no source).
 */
export const ACROMION_ARM_RATIO = 1.15;

/** Shoulder joint below the acromion, share of the distance acromion to elbow: 10.4 % (de Leva 1996 J Biomech 29:1231–1233, from memory). */
const JOINT_BELOW_ACROMION_SHARE = 0.104;
/** Centre of a marker above the bone it sits on: skin and half of the marker, metres. Common practice, no source. */
const MARKER_ABOVE_BONE_M = 0.01;

/** What is needed to tell where the shoulder points lie. */
export interface ArmPoints {
  readonly shoulder: PointSeries;
  readonly elbow: PointSeries;
  readonly wrist: PointSeries;
}

/** Upper arm over forearm, mean of the arms; NaN without a length. */
export function armRatio(arms: readonly ArmPoints[]): number {
  const ratios = arms.map(
    ({ shoulder, elbow, wrist }) => measuredLength(shoulder, elbow).lengthM / measuredLength(elbow, wrist).lengthM,
  );
  return ratios.reduce((sum, ratio) => sum + ratio, 0) / ratios.length;
}

/** How far the joint lies below a marker on the acromion, metres. */
export function jointBelowMarkerM({ shoulder, elbow }: ArmPoints): number {
  return JOINT_BELOW_ACROMION_SHARE * measuredLength(shoulder, elbow).lengthM + MARKER_ABOVE_BONE_M;
}

/**
 * Shoulder joints from points on the acromion: moved down the trunk's line, because acromion and socket belong to one bone that
 * stays with the trunk, wherever the arm hangs. `3 * frame`; NaN where shoulders or hips are not known.
 */
export function shouldersFromAcromion(
  arms: Readonly<Record<'left' | 'right', ArmPoints>>,
  midShoulder: PointSeries,
  midHip: PointSeries,
): Readonly<Record<'left' | 'right', PointSeries>> {
  const down = directions(midShoulder, midHip);
  const moved = (arm: ArmPoints) => {
    const byM = jointBelowMarkerM(arm);
    return arm.shoulder.map((value, i) => value + byM * down[i]);
  };
  return { left: moved(arms.left), right: moved(arms.right) };
}
