import { atHipKneePlaces, SHARE_FLOOR } from './at-hip-knee-places.ts';
import type { RepetitionMeasure } from './measure.ts';

/** Hip share of the gravity parts only, 1: what a lifter frozen in the posture would need. */
export const hipShareGravity: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hip_share_gravity',
  unit: '1',
  title: 'Hip share, gravity only',
  definition: `Hip share of the moments a lifter frozen in the posture would need; much less noisy than hip share. ${SHARE_FLOOR}`,
  knownAs: ['hip-dominant or knee-dominant'],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) => atHipKneePlaces(lift, repetition, 'hip_share_gravity'),
};
