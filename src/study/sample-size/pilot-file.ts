import { type CsvTable, checkColumns, countColumn, numberColumn, parseCsv, textColumn } from '../../capture/csv.ts';
import { readText } from '../../capture/input-file.ts';
import { nearestName } from '../../capture/nearest-name.ts';
import {
  pilotFileUnknown,
  pilotMeasureMissing,
  pilotRatio,
  pilotRatioMeans,
  pilotRecordingUnknown,
  pilotRowTwice,
  pilotTwoAthletes,
  pilotUnits,
} from '../../messages/sample-size.ts';
import { scaleOf } from '../statistics/curves/athlete-curves.ts';

/** One recording of the pilot: mean of its repetitions, and how they scatter about it; on the scale of the measure. */
export interface PilotRecording {
  readonly athlete: string;
  readonly recording: string;
  /** '' where conditions are not told apart. */
  readonly condition: string;
  readonly mean: number;
  readonly repetitions: number;
  /** Σ (value − mean)² over the repetitions, and its degrees of freedom: repetitions − 1, or 0 where their scatter is not told. */
  readonly squares: number;
  readonly freedom: number;
}

export interface Pilot {
  readonly file: string;
  readonly measure: string;
  readonly unit: string;
  readonly scale: 'as is' | 'logarithm';
  /** Columns of recordings.csv in which the pilot's recordings differ; empty where none do, or conditions are not told apart. */
  readonly conditionColumns: readonly string[];
  /** By athlete, then recording. */
  readonly recordings: readonly PilotRecording[];
}

export interface MeasureAt {
  readonly measure: string;
  readonly at: string;
  readonly side: string;
}

const PLACE = ['recording_id', 'athlete_id', 'measure', 'side', 'at', 'unit'];

/**
 * The values of one measure at one place from `measures.csv` (a row a repetition) or `means.csv` (a row a recording) of a study.
 * Unknown values are left out. `recordingsFile`: recordings.csv, whose columns
 * condition_…, kind of lift, place of the bar and heel of the shoe tell conditions apart.
 */
export function readPilot(file: string, which: MeasureAt, recordingsFile: string | null = null): Pilot {
  const table = parseCsv(file, readText(file, null));
  const has = (...names: string[]) => names.every((name) => table.header.includes(name));
  const means = has('mean', 'repetitions', 'between_sd');
  if (!means && !has('value', 'repetition')) throw pilotFileUnknown(file, table.header);
  const required = [...PLACE, ...(means ? ['repetitions', 'mean', 'between_sd'] : ['repetition', 'value'])];
  checkColumns(table, { required, optional: table.header.filter((name) => !required.includes(name)) });
  const scale = scaleOf(which.measure);
  if (means && scale === 'logarithm') throw pilotRatioMeans(file, which.measure);
  const rows = rowsOf(table, which, means ? 'mean' : 'value');
  const unit = unitOf(table, rows);
  const conditions = recordingsFile === null ? null : conditionsOf(recordingsFile);
  const found = means ? fromMeans(table, rows) : fromRepetitions(table, rows, scale, which.measure);
  const values = found.map(({ recording }): readonly string[] => {
    const own = conditions === null ? [] : conditions.of.get(recording);
    if (own === undefined) throw pilotRecordingUnknown(recordingsFile!, recording);
    return own;
  });
  const differing = (conditions?.columns ?? [])
    .map((name, column) => ({ name, column }))
    .filter(({ column }) => values.some((own) => own[column] !== values[0][column]));
  const recordings = found
    .map((one, at) => ({ ...one, condition: differing.map(({ column }) => values[at][column]).join(' | ') }))
    .sort((a, b) => compare(a.athlete, b.athlete) || compare(a.recording, b.recording));
  const conditionColumns = differing.map(({ name }) => name);
  return { file, measure: which.measure, unit, scale, conditionColumns, recordings };
}

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Rows of the measure with a known value. */
function rowsOf(table: CsvTable, { measure, at, side }: MeasureAt, column: string): number[] {
  const [measures, places, sides] = ['measure', 'at', 'side'].map((name) => textColumn(table, name));
  const values = numberColumn(table, column, 'is NaN');
  const ofMeasure = [...values.keys()].filter((row) => measures[row] === measure && !Number.isNaN(values[row]));
  const rows = ofMeasure.filter((row) => places[row] === at && sides[row] === side);
  if (rows.length > 0) return rows;
  const names = [...new Set(measures)];
  const there = [...new Set(ofMeasure.map((row) => `at "${places[row]}", side "${sides[row]}"`))];
  const meant = names.includes(measure) ? null : nearestName(measure, names);
  throw pilotMeasureMissing(table.file, measure, at, side, meant, there);
}

function unitOf(table: CsvTable, rows: readonly number[]): string {
  const units = textColumn(table, 'unit');
  for (const row of rows) {
    if (units[row] !== units[rows[0]]) throw pilotUnits(table.file, table.lines[row], units[row], units[rows[0]]);
  }
  return units[rows[0]];
}

type Found = Omit<PilotRecording, 'condition'>;

function fromMeans(table: CsvTable, rows: readonly number[]): Found[] {
  const [recordings, athletes] = ['recording_id', 'athlete_id'].map((name) => textColumn(table, name));
  const [means, spreads] = ['mean', 'between_sd'].map((name) => numberColumn(table, name, 'is NaN'));
  const counts = countColumn(table, 'repetitions');
  const seen = new Set<string>();
  return rows.map((row) => {
    const recording = recordings[row];
    if (seen.has(recording)) throw pilotRowTwice(table.file, table.lines[row], recording, 0);
    seen.add(recording);
    const known = counts[row] > 1 && !Number.isNaN(spreads[row]);
    return {
      athlete: athletes[row],
      recording,
      mean: means[row],
      repetitions: Math.max(1, counts[row]),
      squares: known ? (counts[row] - 1) * spreads[row] ** 2 : 0,
      freedom: known ? counts[row] - 1 : 0,
    };
  });
}

function fromRepetitions(table: CsvTable, rows: readonly number[], scale: Pilot['scale'], measure: string): Found[] {
  const [recordings, athletes] = ['recording_id', 'athlete_id'].map((name) => textColumn(table, name));
  const values = numberColumn(table, 'value', 'is NaN');
  const numbers = countColumn(table, 'repetition');
  const byRecording = new Map<string, { athlete: string; values: Map<number, number> }>();
  for (const row of rows) {
    const recording = recordings[row];
    const own = byRecording.get(recording) ?? { athlete: athletes[row], values: new Map<number, number>() };
    byRecording.set(recording, own);
    const line = table.lines[row];
    if (own.athlete !== athletes[row]) throw pilotTwoAthletes(table.file, line, recording, own.athlete, athletes[row]);
    if (own.values.has(numbers[row])) throw pilotRowTwice(table.file, line, recording, numbers[row]);
    if (scale === 'logarithm' && !(values[row] > 0)) throw pilotRatio(table.file, line, measure, values[row]);
    own.values.set(numbers[row], scale === 'logarithm' ? Math.log(values[row]) : values[row]);
  }
  return [...byRecording].map(([recording, own]) => {
    const all = [...own.values.values()];
    const mean = all.reduce((sum, value) => sum + value, 0) / all.length;
    const squares = all.reduce((sum, value) => sum + (value - mean) ** 2, 0);
    return { athlete: own.athlete, recording, mean, repetitions: all.length, squares, freedom: all.length - 1 };
  });
}

/** What recordings can differ in by intention beside free factors; loads are left to the reader. */
const TASK_COLUMNS = ['lift_kind', 'bar_position', 'shoe_heel_height_m'];

/** Recording → its values in the columns that tell conditions apart, from recordings.csv. */
function conditionsOf(file: string): { readonly columns: readonly string[]; readonly of: Map<string, string[]> } {
  const table = parseCsv(file, readText(file, null));
  const names = table.header.filter((name) => name.startsWith('condition_') || TASK_COLUMNS.includes(name));
  checkColumns(table, {
    required: ['recording_id'],
    optional: table.header.filter((name) => name !== 'recording_id'),
  });
  const columns = names.map((name) => textColumn(table, name));
  const of = new Map(
    textColumn(table, 'recording_id').map((recording, row) => [recording, columns.map((column) => column[row])]),
  );
  return { columns: names, of };
}
