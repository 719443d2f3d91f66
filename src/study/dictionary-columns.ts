/** `text` is never a number, even where it looks like one ("007"); `whole` is an integer; `truth` is true or false. */
export type ColumnType = 'text' | 'whole' | 'number' | 'truth';

export interface ColumnEntry {
  readonly column: string;
  readonly type: ColumnType;
  /** '' for text, truth and counts; '1' for dimensionless numbers. */
  readonly unit: string;
  readonly definition: string;
}

export interface TableEntry {
  readonly file: string;
  /** What one row is. */
  readonly row: string;
  readonly columns: readonly ColumnEntry[];
}

export const text = (column: string, definition: string): ColumnEntry => ({
  column,
  type: 'text',
  unit: '',
  definition,
});
export const whole = (column: string, definition: string): ColumnEntry => ({
  column,
  type: 'whole',
  unit: '',
  definition,
});
export const number = (column: string, unit: string, definition: string): ColumnEntry => ({
  column,
  type: 'number',
  unit,
  definition,
});

export const recordingId = text('recording_id', 'Id of the recording, unique in a study.');
export const athleteId = text('athlete_id', 'Id of the lifter.');
export const repetition = whole('repetition', 'Number of the repetition in the order of time, from 1.');
export const side = text('side', '`both`, `left`, `right`, or empty for a quantity of the whole body.');
export const unit = text(
  'unit',
  'Unit of value, lower and upper: `nm`, `deg`, `m`, `s`, `m_per_s`; `1` = dimensionless.',
);
export const lower = number(
  'lower',
  'as in unit',
  'Lower end of the 95 % interval of value, as far as the causes of error are known (`intervals` in quality.json says which are not). Empty where value is; where intervals were switched off (`intervals` in provenance.json is null); and where more than 5 % of the draws of the errors leave the number unknown.',
);
export const upper = number('upper', 'as in unit', 'Upper end of the 95 % interval; empty where lower is.');
export const reason = text('reason', 'Why the value is unknown; empty where it is known.');
