import { CAUSE_GROUPS } from '../uncertainty/causes/cause.ts';
import { athleteId, number, recordingId, side, type TableEntry, text, whole } from './dictionary-columns.ts';
import { shareColumn } from './means-table.ts';

/* The tables that say how sure the numbers are. */

const CAUSE_LIST = CAUSE_GROUPS.map((cause) => `\`${cause}\``).join(', ');

export const causes: TableEntry = {
  file: 'causes.csv',
  row: 'a measure of a repetition (as in measures.csv, known ones only) and a kind of doubt; header only where intervals were switched off',
  columns: [
    recordingId,
    athleteId,
    whole('repetition', 'Number of the repetition, from 1; 0 for a measure of the whole set.'),
    text('measure', 'Name of the measure.'),
    side,
    text('at', 'Place in the repetition, as in measures.csv.'),
    text(
      'cause',
      `Kind of doubt: ${CAUSE_LIST}; explained in docs/method/uncertainty.md. Empty in the one row of a measure that has no interval.`,
    ),
    number(
      'share',
      '1',
      'Part of this kind in the variance of the value, 0–1; the known ones of a measure add up to 1.',
    ),
    number('sd', 'as in unit', 'Standard deviation of the value from this kind of doubt alone.'),
    text('unit', 'Unit of sd, as in measures.csv.'),
    text(
      'reason',
      'Why this kind is not in the interval, or why there is no variance to share out (share is empty, sd is 0); in a row without a cause, why there is no interval.',
    ),
  ],
};

export const means: TableEntry = {
  file: 'means.csv',
  row: 'a measure, side and place: its mean over the full repetitions of the set',
  columns: [
    recordingId,
    athleteId,
    text('measure', 'Name of the measure; defined in docs/method/measures.md.'),
    side,
    text('at', 'Place in the repetition, as in measures.csv.'),
    whole(
      'repetitions',
      'Number of values in the mean: full repetitions that know the measure; 1 for a measure of the whole set.',
    ),
    number('mean', 'as in unit', 'Mean of these values; empty where none is known.'),
    number(
      'lower',
      'as in unit',
      'Lower end of the 95 % interval of the mean: errors common to the repetitions keep their size, noise averages out. How repetitions differ is not in it (between_sd).',
    ),
    number('upper', 'as in unit', 'Upper end of the 95 % interval of the mean.'),
    number('sd', 'as in unit', 'Standard deviation of the mean’s error, all causes together.'),
    number(
      'between_sd',
      'as in unit',
      'Standard deviation (n − 1) of the values between repetitions; empty for one value.',
    ),
    text('unit', 'Unit of mean, lower, upper, sd and between_sd, as in measures.csv.'),
    text('reason', 'Why the mean is unknown; empty where it is known.'),
    text('interval_reason', 'Why a known mean has no interval; empty where it has one.'),
    ...CAUSE_GROUPS.map((cause) =>
      number(
        shareColumn(cause),
        '1',
        `Part of the kind of doubt \`${cause}\` in the variance of the mean, 0–1; empty where it is not in the interval.`,
      ),
    ),
  ],
};

export const comparisons: TableEntry = {
  file: 'comparisons.csv',
  row: 'a measure and a pair of recordings of one lifter, later less earlier (by date, then set, then id); written for a study, header only where intervals were switched off. Up to six recordings of a lifter: every pair; more: each against the one before and the first',
  columns: [
    athleteId,
    text('recording_id', 'Id of the later recording.'),
    text('against_recording_id', 'Id of the earlier recording.'),
    text('measure', 'Name of the measure.'),
    side,
    text('at', 'Place in the repetition, as in measures.csv.'),
    number('value', 'as in unit', 'Mean over the full repetitions of the later recording.'),
    number('against_value', 'as in unit', 'The same of the earlier one; empty where it does not know the measure.'),
    number('difference', 'as in unit', 'value less against_value.'),
    number(
      'lower',
      'as in unit',
      'Lower end of the 95 % interval of the difference. What both recordings share (the lifter’s segments, the detector’s offsets, the same rig) cancels in it. It speaks of these two sets: how a lifter varies from set to set is not in it.',
    ),
    number('upper', 'as in unit', 'Upper end of the 95 % interval of the difference.'),
    number('sd', 'as in unit', 'Standard deviation of the difference’s error.'),
    number(
      'cancelled_share',
      '1',
      'Part of the variance of both together that cancels in the difference, 1 at most; below 0 where what they share adds up.',
    ),
    text('unit', 'Unit of the values, as in measures.csv.'),
    text(
      'verdict',
      '`different` where the interval leaves out 0, `cannot tell` where it holds 0; empty without an interval.',
    ),
    text('reason', 'Why there is no difference, or no interval of it.'),
  ],
};
