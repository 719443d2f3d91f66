import { ANKLES, KNEES, type SetMeasure } from './measure.ts';
import { ofTheSet } from './readings-of-set.ts';
import { SURVEY_SOURCE, SURVEY_WORDS, surveyPercentile } from './survey-percentile.ts';

/** How long the shanks are among other people's, 1. */
export const shankPercentile: SetMeasure = {
  scope: 'set',
  name: 'shank_percentile',
  unit: '1',
  title: 'Length of the shank among others',
  definition: `Distance from knee joint centre to ankle joint centre (median over the recording, mean of left and right) as a percentile: ${SURVEY_WORDS}. Unknown where the athlete’s sex is not stated.`,
  knownAs: ['long shins'],
  needs: [...KNEES, ...ANKLES],
  source: SURVEY_SOURCE,
  bounds: [0, 1],
  of: (lift) => [ofTheSet(lift, surveyPercentile(lift, 'shank'))],
};
