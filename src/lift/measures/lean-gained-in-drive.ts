import { HIPS, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { atFrame, known, less, readAt, unknown } from './readings.ts';

/** Lean won in the first third of the ascent, degrees: the hips rise before the shoulders. */
export const leanGainedInDrive: RepetitionMeasure = {
  scope: 'repetition',
  name: 'lean_gained_in_drive',
  unit: 'deg',
  title: 'Lean gained in the drive',
  definition:
    'Trunk lean after the first third of the way up less the trunk lean at the bottom; positive = the hips rise before the shoulders.',
  knownAs: ['hips shooting up', 'good-morning squat'],
  needs: [...HIPS, ...SHOULDERS],
  source: 'first third: common practice, no source',
  of(repetition, lift) {
    const [later] = readAt(lift, repetition, 'trunk_lean', null, ['drive']);
    const bottom = atFrame(lift, 'trunk_lean', null, 'bottom', repetition.bottomFrame);
    const { value, reason } = less(later, bottom);
    return reason === ''
      ? [known('ascent', null, value, repetition.bottomFrame, later.frameLast)]
      : [unknown('ascent', null, reason, repetition.bottomFrame)];
  },
};
