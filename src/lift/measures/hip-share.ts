import { atHipKneePlaces, SHARE_FLOOR } from './at-hip-knee-places.ts';
import type { RepetitionMeasure } from './measure.ts';

/** Share of the hip in the extensor moments of hip and knee, 1; known as "hip-dominant or knee-dominant". */
export const hipShare: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hip_share',
  unit: '1',
  title: 'Hip share',
  definition: `Hip extensor moment / (hip + knee extensor moment): 0 = all knee, 1 = all hip, outside where one of the two is a flexor moment. ${SHARE_FLOOR}`,
  knownAs: ['hip-dominant or knee-dominant'],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) => atHipKneePlaces(lift, repetition, 'hip_share'),
};
