import { atHipKneePlaces } from './at-hip-knee-places.ts';
import type { RepetitionMeasure } from './measure.ts';

/** Hip less knee extensor moment, N·m; positive = the hips do more. Always defined. */
export const hipMinusKnee: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hip_minus_knee',
  unit: 'nm',
  title: 'Hip minus knee moment',
  definition: 'Hip extensor moment less knee extensor moment; always defined.',
  knownAs: ['hip-dominant or knee-dominant'],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) => atHipKneePlaces(lift, repetition, 'hip_minus_knee'),
};
