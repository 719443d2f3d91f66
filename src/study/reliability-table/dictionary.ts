import { number, side, type TableEntry, text, whole } from '../dictionary-columns.ts';

/** How alike the recordings of one athlete are, where nothing that is stated differs. */
export const reliabilityEntry: TableEntry = {
  file: 'reliability.csv',
  row: 'kind of lift, place of the bar and condition, and a measure: recordings of one athlete under the same condition whose loads are as good as the same (within 2.5 %) against each other, over all athletes; docs/method/reliability.md',
  columns: [
    text('lift_kind', 'Kind of lift in the words of the recording file.'),
    text('bar_position', 'Where the bar is carried.'),
    text(
      'condition',
      'The free factors of the recordings in words and the height of the heel where stated, for instance `belt, heel 20 mm`.',
    ),
    text('measure', 'Name of the measure; defined in docs/method/measures.md.'),
    side,
    text('at', 'Place in the repetition, as in measures.csv.'),
    text('scale', '`difference`: values as they are; `ratio`: by their logarithm, sem and mdc are factors.'),
    text('unit', 'Unit of sem and mdc, as in measures.csv; `1` for factors.'),
    text(
      'icc_form',
      '`ICC(1,1)`: one recording, occasions of different athletes having nothing in common (Shrout & Fleiss 1979).',
    ),
    number(
      'icc',
      '1',
      'Intraclass correlation: how far athletes differ, as compared with recordings of one athlete. Can be below 0.',
    ),
    number('icc_lower', '1', 'Lower end of its 95 % interval by the F distribution.'),
    number('icc_upper', '1', 'Upper end of that interval.'),
    {
      column: 'icc_exact',
      type: 'truth',
      unit: '',
      definition: 'false: athletes have unequal numbers of recordings, and the interval is approximate.',
    },
    number(
      'sem',
      'as in unit',
      'Standard error of measurement: standard deviation within athletes of the mean of a recording; of a ratio the factor.',
    ),
    number('sem_lower', 'as in unit', 'Lower end of its 95 % interval by χ².'),
    number('sem_upper', 'as in unit', 'Upper end of that interval.'),
    number(
      'mdc',
      'as in unit',
      'Minimal detectable change between two recordings of one athlete, 1.96 · √2 · sem (95 %); of a ratio the factor.',
    ),
    number('mdc_lower', 'as in unit', 'Lower end of its 95 % interval.'),
    number('mdc_upper', 'as in unit', 'Upper end of that interval.'),
    whole('athletes', 'Athletes with a value.'),
    whole('athletes_repeated', 'Of these, with two recordings or more: only they tell of the error.'),
    whole('recordings', 'Recordings with a value.'),
    whole(
      'sessions',
      'Days of the athletes on which they were filmed; as many as athletes: all recordings of one day. A recording without a date counts as a day of its own.',
    ),
    whole('repetitions', 'Full repetitions in the values.'),
    whole('missing', 'Recordings under this condition and load that do not know the measure.'),
    whole('other_loads', 'Recordings left out since the athlete has more of them at another load.'),
    text('reason', 'Why it cannot be known: for instance that each athlete has one recording under a condition.'),
  ],
};
