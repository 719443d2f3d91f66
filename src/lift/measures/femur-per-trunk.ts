import { limbRatio } from './limb-ratio.ts';

/** Length of the femur per length of the trunk, 1. */
export const femurPerTrunk = limbRatio('femur_per_trunk', 'Femur to trunk', ['femur'], ['trunk'], ['long femurs']);
