import { lossOverSet } from './full-repetitions.ts';
import { HIPS, KNEES, type SetMeasure } from './measure.ts';
import { atFrame } from './readings.ts';

/** How much shallower the last repetition of a set is than the deepest one, degrees of thigh elevation. */
export const depthLoss: SetMeasure = {
  scope: 'set',
  name: 'depth_loss',
  unit: 'deg',
  title: 'Depth loss over the set',
  definition:
    'Thigh elevation at the bottom of the last full repetition less that of the deepest full one, mean of left and right; 0 = the last one is the deepest, positive = less deep. Needs two full repetitions, and every full one known.',
  knownAs: ['cutting depth', 'fatigue'],
  needs: [...HIPS, ...KNEES],
  source: 'common practice, no source',
  of: (lift) => [
    lossOverSet(
      lift,
      ({ bottomFrame }) => atFrame(lift, 'thigh_elevation', 'both', 'bottom', bottomFrame),
      (a, b) => b - a,
      (last, deepest) => last - deepest,
    ),
  ],
};
