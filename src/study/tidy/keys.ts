export interface ForeignKey {
  readonly fields: readonly string[];
  /** Name of the table, as `recordings`. */
  readonly table: string;
  readonly reference: readonly string[];
}

export interface TableKeys {
  /** Columns that together stand once only; an empty cell counts as a value of its own. */
  readonly key: readonly string[];
  readonly foreignKeys: readonly ForeignKey[];
  /** Rows of one recording stand together: keys can then be checked with one recording in memory. */
  readonly grouped: boolean;
}

const toRecording: ForeignKey = { fields: ['recording_id'], table: 'recordings', reference: ['recording_id'] };
/** The lifter of a row is the lifter of its recording. */
const toRecordingAndAthlete: ForeignKey = {
  fields: ['recording_id', 'athlete_id'],
  table: 'recordings',
  reference: ['recording_id', 'athlete_id'],
};
const toAgainst: ForeignKey = {
  fields: ['against_recording_id', 'athlete_id'],
  table: 'recordings',
  reference: ['recording_id', 'athlete_id'],
};
const toAthlete: ForeignKey = { fields: ['athlete_id'], table: 'athletes', reference: ['athlete_id'] };
const toRepetition: ForeignKey = {
  fields: ['recording_id', 'repetition'],
  table: 'repetitions',
  reference: ['recording_id', 'repetition'],
};
const PLACE = ['measure', 'side', 'at'];
const CARD = ['athlete_id', 'lift_kind', 'bar_position', 'condition', ...PLACE];
const CURVE_CONTRAST = ['quantity', 'side', 'by', 'level', 'reference'];
const PAIR = ['recording_a', 'repetition_a', 'recording_b', 'repetition_b'];

const perRecording = (key: readonly string[], ...foreignKeys: readonly ForeignKey[]): TableKeys => ({
  key: ['recording_id', ...key],
  foreignKeys,
  grouped: true,
});
const whole = (key: readonly string[], ...foreignKeys: readonly ForeignKey[]): TableKeys => ({
  key,
  foreignKeys,
  grouped: false,
});

/**
 * Keys of the tables, by file. The tables of `kneeward validate` and `kneeward compare` stand in folders of their own, away
 * from recordings.csv: they have no foreign keys.
 */
export const KEYS: ReadonlyMap<string, TableKeys> = new Map([
  ['frames.csv', perRecording(['frame'], toRecording)],
  ['moments.csv', perRecording(['frame'], toRecording)],
  ['moment-axes.csv', perRecording(['column'], toRecording)],
  [
    'curves.csv',
    perRecording(['repetition', 'phase', 'grid', 'depth', 'quantity', 'side'], toRecordingAndAthlete, toRepetition),
  ],
  ['repetitions.csv', perRecording(['repetition'], toRecordingAndAthlete)],
  ['measures.csv', perRecording(['repetition', ...PLACE], toRecordingAndAthlete)],
  ['means.csv', perRecording(PLACE, toRecordingAndAthlete)],
  ['causes.csv', perRecording(['repetition', ...PLACE, 'cause'], toRecordingAndAthlete)],
  ['comparisons.csv', whole(['recording_id', 'against_recording_id', ...PLACE], toRecordingAndAthlete, toAgainst)],
  ['set-changes.csv', perRecording([...PLACE, 'repetition'], toRecordingAndAthlete, toRepetition)],
  ['load-changes.csv', whole([...CARD, 'load_kg'], toAthlete)],
  ['residual.csv', perRecording(['over', 'repetition', 'lean_from_deg', 'quantity'], toRecording)],
  ['segment-tables.csv', perRecording(['segments', ...PLACE], toRecording)],
  ['findings.csv', perRecording(['repetition', 'finding', 'side'], toRecordingAndAthlete)],
  ['athletes.csv', whole(['athlete_id', 'sex', 'mass_kg', 'stature_m'])],
  ['recordings.csv', whole(['recording_id'], toAthlete)],
  ['agreement.csv', whole(['kind', 'name', 'side', 'at', 'grid', 'depth'])],
  ['differences.csv', whole(['recording_a', 'repetition_a', 'recording_b', 'repetition_b', ...PLACE])],
  ['measure-differences.csv', whole([...PAIR, ...PLACE])],
  ['curve-differences.csv', whole([...PAIR, 'phase', 'grid', 'depth', 'quantity', 'side'])],
  ['weeks.csv', whole([...CARD, 'date', 'load_kg', 'recordings'], toAthlete)],
  ['week-changes.csv', whole([...CARD, 'load_kg', 'comparison'], toAthlete)],
  ['reliability.csv', whole(['lift_kind', 'bar_position', 'condition', ...PLACE])],
  ['curve-tests.csv', whole(['comparison', 'phase', 'grid', 'depth', 'quantity', 'side'])],
  ['sample-size.csv', whole(['design', 'athletes', 'repetitions'])],
  ['cohort-effects.csv', whole([...PLACE, 'athlete_id', 'term', 'level', 'reference'])],
  ['cohort-means.csv', whole([...PLACE, 'factor', 'level'])],
  ['cohort-models.csv', whole(PLACE)],
  ['cohort-rows.csv', whole([...PLACE, 'recording_id', 'repetition'], toRecordingAndAthlete)],
  ['cohort-curves.csv', whole([...CURVE_CONTRAST, 'phase', 'grid', 'depth'])],
  ['cohort-group-curves.csv', whole(['quantity', 'side', 'by', 'level', 'against', 'phase', 'grid', 'depth'])],
  ['cohort-curve-tests.csv', whole(CURVE_CONTRAST)],
]);

/** Columns that are never empty, wherever they stand in a key; the rest of a key can be empty. */
const NEVER_EMPTY = new Set([
  ...['recording_id', 'against_recording_id', 'athlete_id', 'recording_a', 'recording_b'],
  ...['frame', 'repetition', 'measure', 'at', 'phase', 'grid', 'depth', 'quantity', 'finding', 'column', 'segments'],
  ...['over', 'sex', 'mass_kg', 'kind', 'name', 'load_kg', 'synthetic', 'used', 'completeness', 'order', 'word'],
]);

/** Exceptions: what these are about does not apply to some rows. */
const CAN_BE_EMPTY = new Set([
  'residual.csv/repetition',
  'agreement.csv/grid',
  'agreement.csv/depth',
  'weeks.csv/load_kg',
  'week-changes.csv/load_kg',
  'cohort-effects.csv/athlete_id',
]);

/** Whether a column of a table is never empty. */
export function isRequired(file: string, column: string): boolean {
  if (file === 'frames.csv' && column === 'time_s') return true;
  return NEVER_EMPTY.has(column) && !CAN_BE_EMPTY.has(`${file}/${column}`);
}
