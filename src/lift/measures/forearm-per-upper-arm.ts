import { limbRatio } from './limb-ratio.ts';

/** Length of the forearm per length of the upper arm, 1. */
export const forearmPerUpperArm = limbRatio(
  'forearm_per_upper_arm',
  'Forearm to upper arm',
  ['forearm'],
  ['upper arm'],
  [],
);
