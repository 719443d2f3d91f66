import { number, recordingId, type TableEntry, text, whole } from './dictionary-columns.ts';

export const residualEntry: TableEntry = {
  file: 'residual.csv',
  row: 'a quantity over all frames, a repetition or a range of trunk lean; header only without force plates under both feet',
  columns: [
    recordingId,
    text('over', '`all`, `repetition` or `lean`.'),
    whole('repetition', 'Number of the repetition; empty for the others.'),
    number('lean_from_deg', 'deg', 'Least trunk lean of the range; empty for the others.'),
    number('lean_to_deg', 'deg', 'Trunk lean the range ends before; empty for the others.'),
    whole('frames', 'Frames that count: both ways known, no edge of a filter.'),
    text(
      'quantity',
      '`force_…` on the floor (forward, up, right), `moment_about_mid_hip_…` about those axes (`right` is the sagittal one, extensor positive), `pressure_forward`: predicted from the movement less measured.',
    ),
    number('mean', 'as in unit', 'Mean; empty below ten frames.'),
    number('rms', 'as in unit', 'Root mean square.'),
    number('p95', 'as in unit', '95th percentile of the size.'),
    text('unit', '`n`, `pct_body_weight`, `nm` or `m`.'),
  ],
};
