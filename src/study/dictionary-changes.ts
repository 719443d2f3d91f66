import { athleteId, number, recordingId, side, type TableEntry, text, whole } from './dictionary-columns.ts';

/* The tables of what changes over a set, and with the load. */

const VERDICT =
  '`changed` where the interval of the difference, widened for the number of places looked at, leaves out 0; `different` where the values differ beyond the doubt of the measurement, but not beyond (or nothing tells) what repetitions scatter anyway; else `cannot tell`; empty where there is no interval. In no more than 5 % of the cases in which nothing changes is a measure called `changed`; a table of a hundred measures so holds some.';

export const setChanges: TableEntry = {
  file: 'set-changes.csv',
  row: 'a measure, side and place in a full repetition, with the repetition from which the measure changes over the set; measures that at least two full repetitions know; header only where intervals were switched off',
  columns: [
    recordingId,
    athleteId,
    text('measure', 'Name of the measure; defined in docs/method/measures.md.'),
    side,
    text('at', 'Place in the repetition, as in measures.csv.'),
    whole('repetition', 'Number of the repetition in the order of time, from 1.'),
    number('value', 'as in unit', 'Value, as in measures.csv.'),
    number(
      'lower',
      'as in unit',
      'Lower end of the 95 % interval of what tells this repetition from the others of the set: errors that all of them share are left out, so it is narrower than in measures.csv. Empty where a repetition has no interval.',
    ),
    number('upper', 'as in unit', 'Upper end of that interval.'),
    text('unit', 'Unit of value, difference and their intervals, as in measures.csv.'),
    whole(
      'from_repetition',
      'The same in all rows of a measure: repetition from which on a change is likeliest. Read it together with verdict: there is one also where nothing changes.',
    ),
    text(
      'shape',
      '`at once`: a step to another value; `little by little`: a straight drift that reaches its full size at the last repetition; whichever is likelier.',
    ),
    number(
      'difference',
      'as in unit',
      'How far the last repetition lies from those before the change, by that shape; at once: mean from there on less the mean before.',
    ),
    number(
      'difference_lower',
      'as in unit',
      'Lower end of the 95 % interval of the difference: common errors cancel, the scatter from repetition to repetition is in it, and it is widened for the number of places and shapes looked at. Empty with fewer than three values.',
    ),
    number('difference_upper', 'as in unit', 'Upper end of that interval.'),
    number(
      'probability',
      '1',
      'Probability, at most, of so large a difference at any place and in any shape where nothing changes.',
    ),
    text('verdict', VERDICT),
    number('effort_rpe', '1', 'Rating of perceived effort of the set, as stated.'),
    text('reason', 'Why there is no interval, or none of the difference.'),
  ],
};

export const loadChanges: TableEntry = {
  file: 'load-changes.csv',
  row: 'a measure, side and place at one load: recordings of one lifter, kind of lift, place of the bar and condition, from light to heavy; written for a study, where there are two loads or more; header only where intervals were switched off',
  columns: [
    athleteId,
    text('lift_kind', 'Kind of lift in the words of the recording file.'),
    text('bar_position', 'Where the bar is carried.'),
    text(
      'condition',
      'The free factors of the recordings in words, for instance `heel raised`, and the heel of the shoe where it is stated.',
    ),
    text('measure', 'Name of the measure; defined in docs/method/measures.md.'),
    side,
    text('at', 'Place in the repetition, as in measures.csv.'),
    number('load_kg', 'kg', 'Bar, discs and collars together.'),
    text('recordings', 'Ids of the recordings with this load, parted by spaces.'),
    whole('repetitions', 'Full repetitions in the value, of all these recordings.'),
    number('effort_rpe', '1', 'Rating of perceived effort as stated, mean of these recordings; empty where none is.'),
    number('value', 'as in unit', 'Mean over the full repetitions.'),
    number(
      'lower',
      'as in unit',
      'Lower end of the 95 % interval of what tells this load from the others: errors that all loads share are left out, the scatter from repetition to repetition is in it.',
    ),
    number('upper', 'as in unit', 'Upper end of that interval.'),
    text('unit', 'Unit of value, difference and their intervals, as in measures.csv.'),
    number(
      'difference',
      'as in unit',
      'value less the mean of the lighter loads; loads from a change on are no part of that mean. Empty for the lightest.',
    ),
    number(
      'difference_lower',
      'as in unit',
      'Lower end of the 95 % interval of the difference: common errors cancel, the scatter from repetition to repetition is in it, and it is widened for the number of loads looked at. How a lifter varies from set to set is not in it. Empty where every load has one full repetition.',
    ),
    number('difference_upper', 'as in unit', 'Upper end of that interval.'),
    text('verdict', VERDICT),
    number('changes_from_kg', 'kg', 'The same in all rows of a measure: lightest load that is called `changed`.'),
    text('reason', 'Why there is no interval, or none of the difference.'),
  ],
};
