import { number, recordingId, side, type TableEntry, text, unit, whole } from './dictionary-columns.ts';

export const segmentTablesEntry: TableEntry = {
  file: 'segment-tables.csv',
  row: 'a measure, side, place and segment table; measures that no table changes have no rows',
  columns: [
    recordingId,
    text('segments', 'Name of the segment table.'),
    { column: 'used', type: 'truth', unit: '', definition: 'true for the table all other results are given with.' },
    text('measure', 'Name of the measure; defined in docs/method/measures.md.'),
    side,
    text('at', 'Where in the repetition, as in measures.csv.'),
    whole('repetitions', 'Full repetitions that know it.'),
    number('mean', 'as in unit', 'Mean over these repetitions with this table; empty where none is known.'),
    number('difference', 'as in unit', 'mean less that of the table used.'),
    unit,
  ],
};
