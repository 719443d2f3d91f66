import { type ColumnEntry, number, side, type TableEntry, text, whole } from './dictionary-columns.ts';

/* The tables of `kneeward compare`: two lifts or repetitions at equal depth. Every difference is B less A. */

const ONLY = 'written by `kneeward compare` only. Every difference is B less A';

const sides: readonly ColumnEntry[] = [
  text('recording_a', 'Id of the recording of A.'),
  whole('repetition_a', 'Number of the repetition of A; empty for the mean over its full repetitions.'),
  text('recording_b', 'Id of the recording of B.'),
  whole('repetition_b', 'Number of the repetition of B; empty for the mean over its full repetitions.'),
];

const valueEntries = (of: 'a' | 'b'): readonly ColumnEntry[] => [
  number(`value_${of}`, 'as in unit', `Value of ${of.toUpperCase()}; empty where unknown.`),
  number(`lower_${of}`, 'as in unit', `Lower end of the 95 % interval of ${of.toUpperCase()} by itself.`),
  number(`upper_${of}`, 'as in unit', 'Upper end of it.'),
];

const averaged = (of: 'a' | 'b') =>
  whole(`averaged_${of}`, `Number of values in the mean of ${of.toUpperCase()}; 0 where it is unknown.`);

const interval: readonly ColumnEntry[] = [
  number('difference', 'as in unit', 'Value of B less value of A; empty where one of them is unknown.'),
  number(
    'lower',
    'as in unit',
    'Lower end of the 95 % interval of the difference. What both share (the lifter’s segments, the detector’s offsets, one rig; the noise of one recording) cancels in it. It speaks of these two lifts: how a lifter varies from lift to lift is not in it.',
  ),
  number('upper', 'as in unit', 'Upper end of the interval.'),
];

const sd = number('sd', 'as in unit', 'Standard deviation of the difference’s error.');
const cancelled = number(
  'cancelled_share',
  '1',
  'Part of the variance of A and B together that cancels in the difference; below 0 where what they share adds up.',
);
const unit = text('unit', 'Unit of all values of the row, as in measures.csv.');
const reason = text('reason', 'Why there is no difference, or no interval of it; which side lacks it stands before.');

export const measureDifferences: TableEntry = {
  file: 'measure-differences.csv',
  row: `a measure, side and place that A or B has; ${ONLY}`,
  columns: [
    ...sides,
    text('measure', 'Name of the measure; defined in docs/method/measures.md.'),
    side,
    text('at', 'Place in the repetition, as in measures.csv.'),
    ...valueEntries('a'),
    averaged('a'),
    ...valueEntries('b'),
    averaged('b'),
    ...interval,
    sd,
    cancelled,
    unit,
    text(
      'verdict',
      '`different` where the interval leaves out 0, `cannot tell` where it holds 0; empty without an interval. Each at 95 %: of lifts that are truly alike one row in twenty reads `different`.',
    ),
    reason,
  ],
};

export const curveDifferences: TableEntry = {
  file: 'curve-differences.csv',
  row: `a phase, depth and quantity that A or B knows; ${ONLY}`,
  columns: [
    ...sides,
    text('phase', '`descent` or `ascent`.'),
    text('grid', 'What depth counts, as in curves.csv.'),
    number('depth', 'deg or %', 'Depth on the grid, the same for A and B.'),
    text('quantity', 'Name of the quantity, as in curves.csv.'),
    side,
    ...valueEntries('a'),
    ...valueEntries('b'),
    ...interval,
    number(
      'band_lower',
      'as in unit',
      'Lower end of the band that holds the whole true curve of this quantity, side and grid (both phases, all depths at once) 19 times out of 20.',
    ),
    number('band_upper', 'as in unit', 'Upper end of the band.'),
    sd,
    cancelled,
    unit,
    text(
      'verdict',
      '`different` where the band leaves out 0, `cannot tell` where it holds 0; empty without a band. However many depths are looked at, a curve of lifts that are truly alike reads `different` somewhere one time in twenty.',
    ),
    reason,
  ],
};
