import { HIPS, KNEES, type SetMeasure } from './measure.ts';
import { ofTheSet } from './readings-of-set.ts';
import { SURVEY_SOURCE, SURVEY_WORDS, surveyPercentile } from './survey-percentile.ts';

/** How long the thighs are among other people's, 1. */
export const thighPercentile: SetMeasure = {
  scope: 'set',
  name: 'thigh_percentile',
  unit: '1',
  title: 'Length of the thigh among others',
  definition: `Distance from hip joint centre to knee joint centre (median over the recording, mean of left and right) as a percentile: ${SURVEY_WORDS}. Unknown where the hip points are no joint centres, and where the athlete’s sex is not stated.`,
  knownAs: ['long femurs'],
  needs: [...HIPS, ...KNEES],
  source: SURVEY_SOURCE,
  bounds: [0, 1],
  of: (lift) => [ofTheSet(lift, surveyPercentile(lift, 'thigh'))],
};
