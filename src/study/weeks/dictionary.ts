import { athleteId, number, side, type TableEntry, text, whole } from '../dictionary-columns.ts';

/* The tables of what changes from week to week at the same load. */

const card = [
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
];

export const weeks: TableEntry = {
  file: 'weeks.csv',
  row: 'a measure, side and place on one day at one load: recordings of one lifter, kind of lift, place of the bar, condition and heel of the shoe whose loads are as good as the same (within 2.5 % where nothing else is stated); what takes no part stands at the end, with the reason. Without intervals (`--no-intervals`) there is no row: nothing then tells a change from an error',
  columns: [
    ...card,
    text('date', 'Day of the session, ISO 8601; empty where not stated.'),
    number('week', 'weeks', 'Weeks since the first session at this load; empty where it takes no part.'),
    number('load_kg', 'kg', 'Bar, discs and collars together; mean of the recordings of the day.'),
    text('recordings', 'Ids of the recordings in the value, parted by spaces.'),
    number(
      'value',
      'as in unit',
      'Mean over the full repetitions of a recording, as in means.csv; of recordings of one day the mean, of a ratio the geometric one.',
    ),
    number(
      'lower',
      'as in unit',
      'Lower end of the 95 % interval of what tells this day from the others: errors common to all sessions are left out, noise and scatter of the repetitions are in it. How the lifter varies from day to day is not in it. Empty where a session has no interval.',
    ),
    number('upper', 'as in unit', 'Upper end of that interval.'),
    text('unit', 'Unit of value and of all ends, as in measures.csv.'),
    whole('n', 'Full repetitions in the value; 1 for a measure of the whole set.'),
    whole('missing', 'Full repetitions of these recordings that do not know the measure.'),
    {
      column: 'baseline',
      type: 'truth',
      unit: '',
      definition: 'true for the first session, or the first ones as asked for: what the others are compared with.',
    },
    number(
      'mdc_lower',
      'as in unit',
      'Lower end of the band of the minimal detectable change about the mean of the baseline: where nothing changes, 95 % of the values lie within it, each looked at alone. A value within it can be chance alone; it does not show that nothing changed. Repetitions, shared errors that do not cancel, and days are in it. Of a ratio, divided and multiplied. Empty for the baseline and where there is nothing to compare.',
    ),
    number('mdc_upper', 'as in unit', 'Upper end of that band.'),
    text(
      'mdc_basis',
      '`days pooled`, `days own`, `days stated`: where the variation from day to day comes from; `measurement only`: it is not known and not in the band.',
    ),
    text('reason', 'Why it takes no part, or is not compared, or has no interval.'),
  ],
};

export const weekChangesEntry: TableEntry = {
  file: 'week-changes.csv',
  row: 'a measure, side and place at one load, and a comparison of its sessions; one row where there is one session only. Without intervals (`--no-intervals`) there is no row',
  columns: [
    ...card,
    text(
      'comparison',
      '`last less first`, `last less baseline` (mean of several first sessions), `last less previous` (three sessions and more), `per week` (slope of the weighted least-squares line); empty for one session.',
    ),
    text('date', 'Day of the last session.'),
    text('against_date', 'Day of the session it is compared with; the first of the baseline or of the line.'),
    number('load_kg', 'kg', 'Load of the last session.'),
    number('against_load_kg', 'kg', 'Load of the session of against_date.'),
    whole('sessions', 'Days at this load that know the measure.'),
    whole('sessions_missing', 'Days at this load that do not.'),
    text(
      'scale',
      '`difference`: change is subtracted, 0 = none; `ratio`: divided (by the logarithm), 1 = none; per week likewise.',
    ),
    number('value', 'as in unit', 'Value of the last session.'),
    number('against_value', 'as in unit', 'What it is compared with; empty for a slope.'),
    text('unit', 'Unit of value and against_value, as in measures.csv; change has it too, a ratio has none.'),
    number('change', 'as in scale', 'Difference, ratio, or slope a week.'),
    number(
      'change_lower',
      'as in scale',
      'Lower end of the 95 % interval of change, for this comparison alone: common errors cancel; repetitions and, where known, days are in it.',
    ),
    number('change_upper', 'as in scale', 'Upper end of that interval.'),
    number(
      'mdc',
      'as in scale',
      'Minimal detectable change: half of that interval (of a ratio, the factor). 1.96 · √2 · standard error of measurement where all is known and both sessions alike.',
    ),
    number(
      'day_to_day_sd',
      'as in scale',
      'Standard deviation from day to day beyond what repetitions bring; of the logarithm for a ratio; empty where not known.',
    ),
    text('day_to_day_basis', '`pooled` over the lifters, `own` sessions, or `stated`; empty where not known.'),
    number('freedom', '1', 'Degrees of freedom of the interval.'),
    number(
      'probability',
      '1',
      'Probability of so large a change where nothing changes, this comparison alone; empty where days are not known.',
    ),
    number('probability_adjusted', '1', 'The same with all comparisons of the lifter looked at, by Holm’s rule.'),
    whole('family', 'Comparisons of the lifter that are judged together.'),
    text(
      'verdict',
      '`changed`: probability_adjusted below 0.05; in no more than 5 % of the lifters in whom nothing changes is there one, where day_to_day_basis is `own`, or those pooled vary alike from day to day (one who varies twice as much as seven others got one in 29 % of simulated studies). `different`: beyond the doubt of measurement and repetitions, not beyond what days differ, or that is not known. `cannot tell yet`. `one session only`. Empty where there is no interval.',
    ),
    whole(
      'more_repetitions',
      'For `cannot tell yet`: about so many more repetitions in the last session would tell, if the change is as seen; empty where they would not.',
    ),
    text('reason', 'Why there is no verdict, or what would lead to one.'),
  ],
};
