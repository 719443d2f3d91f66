import { BIG_TOES, KNEES, type RepetitionMeasure } from './measure.ts';
import { atFrame, leftLessRight } from './readings.ts';

/** Knee over toe of the left leg less that of the right one at the bottom, m; positive = the left knee is further ahead of its toe. Source: common practice, no source. */
export const leftMinusRightKneeOverToe: RepetitionMeasure = {
  scope: 'repetition',
  name: 'left_minus_right_knee_over_toe',
  unit: 'm',
  title: 'Left minus right knee over toe',
  definition:
    'Knee over toe of the left leg less that of the right one at the bottom; positive = the left knee is further ahead of its toe.',
  knownAs: ['twisting'],
  needs: [...KNEES, ...BIG_TOES],
  source: 'common practice, no source',
  of(repetition, lift) {
    const [left, right] = (['left', 'right'] as const).map((side) =>
      atFrame(lift, 'knee_over_toe', side, 'bottom', repetition.bottomFrame),
    );
    return [leftLessRight(left, right)];
  },
};
