import { HIPS, KNEES, type RepetitionMeasure } from './measure.ts';
import { atFrame, leftLessRight } from './readings.ts';

/** Thigh elevation of the left leg less that of the right one at the bottom, degrees; positive = the left thigh is less deep. Source: common practice, no source. */
export const leftMinusRightThigh: RepetitionMeasure = {
  scope: 'repetition',
  name: 'left_minus_right_thigh',
  unit: 'deg',
  title: 'Left minus right thigh',
  definition:
    'Thigh elevation of the left leg less that of the right one at the bottom; positive = the left thigh is less deep.',
  knownAs: ['one side deeper'],
  needs: [...HIPS, ...KNEES],
  source: 'common practice, no source',
  of(repetition, lift) {
    const [left, right] = (['left', 'right'] as const).map((side) =>
      atFrame(lift, 'thigh_elevation', side, 'bottom', repetition.bottomFrame),
    );
    return [leftLessRight(left, right)];
  },
};
