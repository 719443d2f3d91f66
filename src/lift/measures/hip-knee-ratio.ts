import { RATIO_KNEE_SHARE } from '../limits.ts';
import { atHipKneePlaces } from './at-hip-knee-places.ts';
import type { RepetitionMeasure } from './measure.ts';

/** Hip over knee extensor moment, 1, averaged by its logarithm. */
export const hipKneeRatio: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hip_knee_ratio',
  unit: '1',
  title: 'Hip-to-knee ratio',
  definition: `Hip extensor moment / knee extensor moment. Unknown where the knee moment is below ${RATIO_KNEE_SHARE * 100} % of hip + knee. The value at parallel is the geometric mean of descent and ascent.`,
  knownAs: ['hip-to-knee moment ratio'],
  needs: [],
  source: 'common practice, no source',
  scale: 'share',
  of: (repetition, lift) => atHipKneePlaces(lift, repetition, 'hip_knee_ratio', 'logarithmic'),
};
