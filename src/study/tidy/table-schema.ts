import { type ColumnEntry, TABLES, type TableEntry } from '../dictionary.ts';
import { MOMENT_COLUMN } from '../dictionary-moments.ts';
import { closedValues } from './closed-values.ts';
import { isRequired, KEYS, type TableKeys } from './keys.ts';
import { rangeOf } from './ranges.ts';

/** What a cell holds. `string` is never a number, even where it looks like one ("007"); `date` is a day, 2026-03-14. */
export type FieldType = 'string' | 'integer' | 'number' | 'boolean' | 'date';

/** A column, declared. An unknown value is an empty cell in every type. */
export interface Field {
  readonly name: string;
  readonly type: FieldType;
  /** As in the dictionary: '' for text, booleans and counts, '1' for dimensionless numbers, 'as in unit' by the row. */
  readonly unit: string;
  readonly definition: string;
  /** Never empty. */
  readonly required: boolean;
  /** All values it can have beside empty; undefined where the set is open. */
  readonly values?: readonly string[];
  readonly minimum?: number;
  readonly maximum?: number;
}

/** Columns whose number depends on what was recorded, told by their name. */
export interface FieldRule {
  readonly pattern: RegExp;
  /** How the dictionary writes the name. */
  readonly written: string;
  fieldOf(name: string): Field;
}

export interface TableSchema extends TableKeys {
  /** As `measures`: the file without its ending. */
  readonly name: string;
  readonly file: string;
  readonly row: string;
  /** Columns known by name, in the order of the dictionary. */
  readonly fields: readonly Field[];
  readonly rules: readonly FieldRule[];
  /** Columns known by name of which a table has only those the recordings can give. */
  isOptional(name: string): boolean;
}

/** Of frames.csv a recording has the columns it can give, beyond these. */
const ALWAYS_IN_FRAMES = ['recording_id', 'frame', 'time_s'];

/** Names of columns that depend on the recording: as the dictionary writes them → what they look like. */
const PATTERNS: ReadonlyMap<string, RegExp> = new Map([
  ['condition_<name>', /^condition_[a-z0-9_]+$/],
  ['<predictor>', /^[a-z][a-z0-9_]*$/],
  [MOMENT_COLUMN, /^[a-z0-9_]+_moment_([a-z0-9_]+_)?(nm|nm_per_kg|per_weight_and_height)$/],
]);

const TYPES = { text: 'string', whole: 'integer', number: 'number', truth: 'boolean' } as const;
/** Predictors of a comparison that are words; `condition_…` are too. All others are numbers. */
const WORDS = new Set(['sex', 'bar_position', 'lift_kind']);
const DATES = new Set(['date', 'against_date']);

/** The declared schema of every table Kneeward writes, in the order of the dictionary, from whose columns it is made. */
export const TABLE_SCHEMAS: readonly TableSchema[] = TABLES.map(schemaOf);

/** The schema of a file (`measures.csv`); undefined for a file that is none of the tables. */
export function tableSchema(file: string): TableSchema | undefined {
  return TABLE_SCHEMAS.find((schema) => schema.file === file);
}

/** The declared field of a column; undefined where the table cannot have such a column. */
export function fieldOf(schema: TableSchema, name: string): Field | undefined {
  return (
    schema.fields.find((field) => field.name === name) ??
    schema.rules.find(({ pattern }) => pattern.test(name))?.fieldOf(name)
  );
}

function schemaOf({ file, row, columns }: TableEntry): TableSchema {
  const fields: Field[] = [];
  const rules: FieldRule[] = [];
  for (const entry of columns) {
    const pattern = PATTERNS.get(entry.column);
    if (!pattern) fields.push(declared(file, entry));
    else rules.push({ pattern, written: entry.column, fieldOf: (name) => byRule(file, entry, name) });
  }
  return {
    ...(KEYS.get(file) ?? { key: [], foreignKeys: [], grouped: false }),
    name: file.replace(/\.csv$/, ''),
    file,
    row,
    fields,
    rules,
    isOptional: (name) => file === 'frames.csv' && !ALWAYS_IN_FRAMES.includes(name),
  };
}

/** What depends on the recordings is empty where one does not tell it: as a predictor, also the sex that another table always states. */
const byRule = (file: string, entry: ColumnEntry, name: string): Field => ({
  ...declared(file, named(entry, name)),
  required: false,
});

function named(entry: ColumnEntry, name: string): ColumnEntry {
  const inWords = entry.column === '<predictor>' && (WORDS.has(name) || name.startsWith('condition_'));
  return inWords ? { ...entry, column: name, type: 'text', unit: '' } : { ...entry, column: name };
}

function declared(file: string, entry: ColumnEntry): Field {
  const { column, unit, definition } = entry;
  const values = closedValues(file, column);
  return {
    name: column,
    type: entry.type === 'text' && DATES.has(column) ? 'date' : TYPES[entry.type],
    unit,
    definition,
    required: isRequired(file, column),
    ...(values && { values }),
    ...rangeOf(entry),
  };
}
