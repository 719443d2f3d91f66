import { KNEES, type RepetitionMeasure, SIDES } from './measure.ts';
import { less, readAt } from './readings.ts';

/** Way of the knees back in the first third of the ascent, m, back positive. Source of the third: common practice, no source. */
export const kneeReturn: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_return',
  unit: 'm',
  title: 'Knees going back in the drive',
  definition:
    'How far the knee is further back after the first third of the way up than at the bottom; positive = the knees go back. Both = mean of the two.',
  knownAs: ['knees shooting back'],
  needs: [...KNEES],
  source: 'first third: common practice, no source',
  of: (repetition, lift) =>
    SIDES.map((side) => {
      const [bottom, drive] = readAt(lift, repetition, 'knee_x', side, ['bottom', 'drive']);
      return { ...less(bottom, drive), at: 'drive', frameLast: Math.max(bottom.frameFirst, drive.frameLast) };
    }),
};
