import { athleteId, number, side, type TableEntry, text, whole } from '../dictionary-columns.ts';

/* The tables of `kneeward validate`: the same lifts measured by two means, A and B. */

export const agreement: TableEntry = {
  file: 'agreement.csv',
  row: 'a number that both means know: a measure at a place, or a quantity at a depth; written by `kneeward validate` only. Every difference is A less B',
  columns: [
    text('kind', '`measure` (as in measures.csv) or `curve` (as in curves.csv).'),
    text('name', 'Name of the measure or quantity.'),
    side,
    text('at', 'Place of a measure; `descent` or `ascent` of a curve.'),
    text('grid', 'What depth counts, as in curves.csv; empty for a measure.'),
    number('depth', 'deg or %', 'Depth on the grid; empty for a measure.'),
    text('unit', 'Unit of all values of the row, as in measures.csv.'),
    whole('lifters', 'Number of lifters behind the row.'),
    whole('differences', 'Number of differences, one a repetition (one a set for a measure of the set).'),
    number('mean_a', 'as in unit', 'Mean of A over these repetitions.'),
    number('mean_b', 'as in unit', 'Mean of B over the same.'),
    number('bias', 'as in unit', 'Mean difference.'),
    number(
      'bias_lower',
      'as in unit',
      'Lower end of the 95 % confidence interval of the bias; empty for one difference.',
    ),
    number('bias_upper', 'as in unit', 'Upper end of it.'),
    number('sd', 'as in unit', 'Standard deviation of a single difference, within and between lifters together.'),
    number(
      'sd_within',
      'as in unit',
      'Part of it between repetitions of one lifter; empty for one repetition a lifter.',
    ),
    number(
      'sd_between',
      'as in unit',
      'Part of it between lifters; empty for one lifter, and for one repetition a lifter.',
    ),
    number('limit_low', 'as in unit', 'Lower 95 % limit of agreement, bias − 1.96 sd.'),
    number('limit_low_lower', 'as in unit', 'Lower end of the 95 % confidence interval of that limit.'),
    number('limit_low_upper', 'as in unit', 'Upper end of it.'),
    number('limit_high', 'as in unit', 'Upper 95 % limit of agreement, bias + 1.96 sd.'),
    number('limit_high_lower', 'as in unit', 'Lower end of the 95 % confidence interval of that limit.'),
    number('limit_high_upper', 'as in unit', 'Upper end of it.'),
    number(
      'correlation_with_size',
      '1',
      'Correlation of the difference with the mean of A and B: far from 0, the difference grows or falls with the size and the limits hold for the middle only; empty for fewer than three.',
    ),
    number(
      'stated_sd',
      'as in unit',
      'Root mean square of the standard deviation that A and B state for their difference, what both share counted once; empty where intervals were switched off.',
    ),
    number(
      'covered_share',
      '1',
      'Share of the differences that the stated 95 % intervals allow, 0–1; near 0.95 where they are honest. Empty where no difference has a stated interval.',
    ),
    whole('missing', 'Pairs of the same repetition (or set) of which not both know the number.'),
    text('reason', 'Why they do not, and how many differences have no stated interval, with their number.'),
  ],
};

export const differences: TableEntry = {
  file: 'differences.csv',
  row: 'a measure of a repetition (or set) by both means; written by `kneeward validate` only',
  columns: [
    athleteId,
    text('recording_a', 'Id of the recording of A.'),
    text('recording_b', 'Id of the recording of B.'),
    whole('repetition_a', 'Number of the repetition in A; 0 for a measure of the whole set.'),
    whole('repetition_b', 'Number of the same repetition in B.'),
    text('measure', 'Name of the measure.'),
    side,
    text('at', 'Place in the repetition, as in measures.csv.'),
    number('value_a', 'as in unit', 'Value by A.'),
    number('value_b', 'as in unit', 'Value by B.'),
    number('difference', 'as in unit', 'value_a less value_b.'),
    number('mean', 'as in unit', 'Mean of the two.'),
    number(
      'stated_sd',
      'as in unit',
      'Standard deviation of the difference as A and B state their errors; empty without intervals.',
    ),
    {
      column: 'covered',
      type: 'truth',
      unit: '',
      definition: 'true where the stated 95 % interval of the difference holds 0; empty without intervals.',
    },
    text('unit', 'Unit of the values, as in measures.csv.'),
  ],
};
