import { limbRatio } from './limb-ratio.ts';

/** Length of the femur per length of the tibia, 1. */
export const femurPerTibia = limbRatio('femur_per_tibia', 'Femur to tibia', ['femur'], ['tibia'], ['long femurs']);
