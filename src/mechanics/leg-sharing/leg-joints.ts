import type { BodyMotion, JointName } from '../../body/body-motion.ts';
import { along, measuredLength } from '../../body/point-series.ts';
import { HIP_CENTRES_APART_M, WIDEST_HIP_CENTRES_M } from './assumptions.ts';

/** The joint centres a leg's own moments are taken about, `3 * frame`, metres; only those that are known. */
export type LegJoints = Readonly<Partial<Record<JointName, Float64Array>>>;

/**
 * The joints of the motion. Hips: points over the trochanters would spoil moments seen from in front, so they are drawn in
 * to where joint centres lie; seen from the side that changes little. `drawnIn` says whether.
 */
export function legJoints({ joints }: BodyMotion): { readonly joints: LegJoints; readonly drawnIn: boolean } {
  const { left_hip: left, right_hip: right } = joints;
  const apartM = left && right ? measuredLength(left, right).lengthM : Number.NaN;
  if (!left || !right || !(apartM > WIDEST_HIP_CENTRES_M)) return { joints, drawnIn: false };
  const inward = (1 - HIP_CENTRES_APART_M / apartM) / 2;
  return {
    joints: { ...joints, left_hip: along(left, right, inward), right_hip: along(right, left, inward) },
    drawnIn: true,
  };
}
