import { readingAtCrossing } from '../depth.ts';
import { DRIVE_START_SHARE } from '../limits.ts';
import { HIPS, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { atFrame, dropCrossing, known, unknown } from './readings.ts';

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
    const crossing = dropCrossing(lift, repetition, 'ascent', 100 * (1 - DRIVE_START_SHARE));
    const later = readingAtCrossing(lift.table.column('trunk_lean', null), crossing);
    const bottom = atFrame(lift, 'trunk_lean', null, 'bottom', repetition.bottomFrame);
    const reason = later.reason || bottom.reason;
    if (reason !== '') return [unknown('ascent', null, reason, repetition.bottomFrame)];
    return [known('ascent', null, later.value - bottom.value, repetition.bottomFrame, Math.round(crossing.at[0]))];
  },
};
