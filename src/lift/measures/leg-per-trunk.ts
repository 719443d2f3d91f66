import { limbRatio } from './limb-ratio.ts';

/** Length of femur and tibia per length of the trunk, 1. */
export const legPerTrunk = limbRatio('leg_per_trunk', 'Leg to trunk', ['femur', 'tibia'], ['trunk'], ['leggy']);
