import { type ColumnTable, table } from 'arquero';
import { tidyColumnNameTwice, tidyMeasureSeveral, tidyMeasureUnknown, tidyUnitsDiffer } from '../../messages/tidy.ts';
import { covariatesOf, rowsBy } from './covariates.ts';
import { type TidyTables, theTable } from './tidy-study.ts';

export interface MeasureChoice {
  readonly measure: string;
  /** Left out where the measure has one side at this place. */
  readonly side?: 'both' | 'left' | 'right';
  /** Left out where the measure has one place. */
  readonly at?: string;
  /** Name of the column; `<measure>[_<side>][_<at>][_<unit>]` when left out, without `set` and `1`. */
  readonly as?: string;
}

export interface WideChoices {
  /** One row a repetition, from measures.csv; or one a recording, from means.csv. */
  readonly over: 'repetition' | 'recording';
  readonly measures: readonly MeasureChoice[];
  /** Columns of recordings.csv or athletes.csv; the usual ones (USUAL_COVARIATES) and conditions when left out. */
  readonly covariates?: readonly string[];
  /** true: both ends of every 95 % interval, `<column>_lower` and `<column>_upper`. */
  readonly intervals?: boolean;
  /** true: repetitions that are not full have rows too; only full ones are in means anyway. */
  readonly partial?: boolean;
}

/** The limb ratios, each a measure of the whole set: a value of the lifter in this recording. */
export const LIMB_RATIOS: readonly MeasureChoice[] = [
  'femur_per_trunk',
  'femur_per_tibia',
  'leg_per_trunk',
  'forearm_per_upper_arm',
  'foot_per_femur',
].map((measure) => ({ measure }));

/**
 * Measures in wide form, one column a choice, beside the covariates of recording and lifter: what a statistics program wants
 * in one table. Columns: recording_id, athlete_id, [repetition, completeness,] covariates, athlete_reason, choices. A measure
 * of the whole set stands in all rows of its recording. Unknown values are NaN (text: null). Over recordings each choice has
 * `<column>_n` (values in its mean) and `<column>_missing` (full repetitions, or sets, that do not know it).
 *
 * @throws tidy-measure-unknown, tidy-measure-several, tidy-units-differ, tidy-covariate-unknown, tidy-column-name-twice,
 *   tidy-table-missing
 */
export function wideMeasures(tables: TidyTables, choices: WideChoices): ColumnTable {
  const covariates = covariatesOf(tables, choices.covariates);
  const rows = choices.over === 'repetition' ? repetitionRows(tables, choices.partial === true) : recordingRows(tables);
  const described = rows.map(({ recordingId }) => covariates.of(recordingId));
  const columns: [string, unknown[]][] = [
    ['recording_id', rows.map(({ recordingId }) => recordingId)],
    ['athlete_id', rows.map(({ athleteId }) => athleteId)],
  ];
  if (choices.over === 'repetition') {
    columns.push(['repetition', rows.map(({ repetition }) => repetition)]);
    columns.push(['completeness', rows.map(({ completeness }) => completeness)]);
  }
  covariates.names.forEach((name, i) => {
    columns.push([name, described.map(({ values }) => values[i])]);
  });
  columns.push(['athlete_reason', described.map(({ reason }) => (reason === '' ? null : reason))]);
  for (const choice of choices.measures) columns.push(...columnsOf(tables, choices, choice, rows));
  const names = columns.map(([name]) => name);
  const twice = names.find((name, i) => names.indexOf(name) < i);
  if (twice !== undefined) throw tidyColumnNameTwice(twice);
  return table(columns);
}

interface Row {
  readonly recordingId: string;
  readonly athleteId: string;
  readonly repetition: number;
  readonly completeness: string;
}

function repetitionRows(tables: TidyTables, partial: boolean): readonly Row[] {
  const from = theTable(tables, 'repetitions');
  const rows = Array.from({ length: from.numRows() }, (_, row) => ({
    recordingId: String(from.get('recording_id', row)),
    athleteId: String(from.get('athlete_id', row)),
    repetition: Number(from.get('repetition', row)),
    completeness: String(from.get('completeness', row)),
  }));
  return partial ? rows : rows.filter(({ completeness }) => completeness === 'full');
}

function recordingRows(tables: TidyTables): readonly Row[] {
  const from = theTable(tables, 'recordings');
  return Array.from({ length: from.numRows() }, (_, row) => ({
    recordingId: String(from.get('recording_id', row)),
    athleteId: String(from.get('athlete_id', row)),
    repetition: 0,
    completeness: '',
  }));
}

/** Value, ends and, over recordings, counts of one choice. */
function columnsOf(
  tables: TidyTables,
  { over, intervals }: WideChoices,
  choice: MeasureChoice,
  rows: readonly Row[],
): [string, unknown[]][] {
  const byRepetition = over === 'repetition';
  const from = theTable(tables, byRepetition ? 'measures' : 'means');
  const { found, side, at, unit } = chosenRows(from, choice);
  const name = choice.as ?? nameOf(choice.measure, side, at, unit);
  const rowAt = new Map(
    found.map((row) => [
      placeKey(String(from.get('recording_id', row)), byRepetition ? numberAt(from, 'repetition', row) : 0),
      row,
    ]),
  );
  // A measure of the whole set is repetition 0: it stands for all repetitions.
  const rowOf = ({ recordingId, repetition }: Row) =>
    rowAt.get(placeKey(recordingId, repetition)) ?? rowAt.get(placeKey(recordingId, 0));
  const valuesOf = (column: string) =>
    rows.map((row) => {
      const found = rowOf(row);
      return found === undefined ? Number.NaN : numberAt(from, column, found);
    });
  const columns: [string, unknown[]][] = [[name, valuesOf(byRepetition ? 'value' : 'mean')]];
  if (intervals) columns.push([`${name}_lower`, valuesOf('lower')], [`${name}_upper`, valuesOf('upper')]);
  if (byRepetition) return columns;
  const known = valuesOf('repetitions').map((n) => (Number.isNaN(n) ? 0 : n));
  const possible = at === 'set' ? rows.map(() => 1) : fullRepetitions(tables, rows);
  return [...columns, [`${name}_n`, known], [`${name}_missing`, possible.map((count, i) => count - known[i])]];
}

const placeKey = (recordingId: string, repetition: number): string => `${repetition} ${recordingId}`;
const numberAt = (from: ColumnTable, column: string, row: number): number => Number(from.get(column, row));

function fullRepetitions(tables: TidyTables, rows: readonly Row[]): readonly number[] {
  const full = new Map<string, number>();
  for (const { recordingId } of repetitionRows(tables, false)) {
    full.set(recordingId, (full.get(recordingId) ?? 0) + 1);
  }
  return rows.map(({ recordingId }) => full.get(recordingId) ?? 0);
}

/** Rows of the one side and place that a choice means, in all recordings. */
function chosenRows(from: ColumnTable, { measure, side, at }: MeasureChoice) {
  const ofMeasure = rowsBy(from, 'measure').get(measure) ?? [];
  const sideAt = (row: number) => String(from.get('side', row) ?? '');
  const placeAt = (row: number) => String(from.get('at', row));
  const fitting = ofMeasure.filter(
    (row) => (side === undefined || sideAt(row) === side) && (at === undefined || placeAt(row) === at),
  );
  const words = (found: readonly number[]) => [
    ...new Set(found.map((row) => [sideAt(row), placeAt(row)].filter((word) => word !== '').join(' at '))),
  ];
  const places = words(fitting);
  if (places.length === 0) throw tidyMeasureUnknown(measure, side ?? '', at ?? '', words(ofMeasure));
  if (places.length > 1) throw tidyMeasureSeveral(measure, places);
  const units = [...new Set(fitting.map((row) => String(from.get('unit', row))))];
  if (units.length > 1) throw tidyUnitsDiffer(measure, units);
  return { found: fitting, side: sideAt(fitting[0]), at: placeAt(fitting[0]), unit: units[0] };
}

function nameOf(measure: string, side: string, at: string, unit: string): string {
  const parts = [measure, side, at === 'set' ? '' : at.replaceAll(' ', '_'), unit === '1' ? '' : unit];
  return parts.filter((part) => part !== '').join('_');
}
