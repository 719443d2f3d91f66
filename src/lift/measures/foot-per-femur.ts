import { limbRatio } from './limb-ratio.ts';

/** Length of the foot per length of the femur, 1. */
export const footPerFemur = limbRatio('foot_per_femur', 'Foot to femur', ['foot'], ['femur'], []);
