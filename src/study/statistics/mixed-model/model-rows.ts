import { nearestName } from '../../../capture/nearest-name.ts';
import {
  centredFactor,
  constantCovariate,
  mixedReasons,
  modelCellNotNumber,
  modelColumnMissing,
  modelColumnsUneven,
  modelColumnUnused,
  modelNumbersAsText,
  noRowsLeft,
  oneLevel,
  referenceLevelMissing,
} from '../../../messages/mixed-model.ts';
import type { CheckedDescription } from './description.ts';

/** A table by columns of one length. null, undefined, NaN and '' are missing. */
export type ModelTable = Readonly<Record<string, ArrayLike<number | string | null | undefined>>>;

export interface Factor {
  readonly kind: 'factor';
  readonly name: string;
  /** The reference level is the first. */
  readonly levels: readonly string[];
  /** Index of the level of each row used. */
  readonly codes: Int32Array;
}

export interface Covariate {
  readonly kind: 'covariate';
  readonly name: string;
  /** Subtracted; 0 where not centred. */
  readonly centre: number;
  /** Mean of the rows used, before centring. */
  readonly mean: number;
  /** Of each row used, centred. */
  readonly values: Float64Array;
}

export type Predictor = Factor | Covariate;

/** Rows left out for want of a value; each row is counted once, at the first column that lacks it. */
export interface RowsDropped {
  readonly column: string;
  readonly rows: number;
  readonly reason: string;
}

/** The rows of a table that have a value in every column of the model. */
export interface ModelRows {
  /** Rows of the table, and which of them are used, ascending. */
  readonly tableRows: number;
  readonly used: Int32Array;
  readonly dropped: readonly RowsDropped[];
  readonly response: Float64Array;
  readonly group: Factor;
  readonly predictors: ReadonlyMap<string, Predictor>;
}

/** Takes the columns of the model out of the table. Throws a DataError where a column cannot be what the model makes of it. */
export function modelRows(table: ModelTable, model: CheckedDescription): ModelRows {
  const { response, fixed, random, factors, centre } = model;
  const names = [...new Set([...fixed, ...random.slopes].flatMap((term) => term.columns))];
  for (const field of ['factors', 'centre'] as const)
    for (const name of Object.keys(model[field])) if (!names.includes(name)) throw modelColumnUnused(field, name);
  const all = [response, random.group, ...names];
  const tableRows = requireColumns(table, all);
  const { used, dropped } = completeRows(table, all, tableRows);
  const predictors = new Map<string, Predictor>();
  for (const name of names) {
    const isFactor = name in factors || isText(table[name], used);
    if (isFactor && name in centre) throw centredFactor(name);
    if (isFactor && !(name in factors) && someNumeric(table[name], used)) throw modelNumbersAsText(name);
    predictors.set(
      name,
      isFactor
        ? twoLevels(factorOf(name, table[name], used, factors[name]?.reference))
        : covariateOf(name, numbersOf(name, table[name], used), centre[name] ?? 0),
    );
  }
  return {
    tableRows,
    used,
    dropped,
    response: numbersOf(response, table[response], used),
    group: factorOf(random.group, table[random.group], used),
    predictors,
  };
}

function requireColumns(table: ModelTable, names: readonly string[]): number {
  const columns = Object.keys(table);
  for (const name of names)
    if (!Object.hasOwn(table, name)) throw modelColumnMissing(name, nearestName(name, columns), columns);
  const wanted = table[names[0]].length;
  for (const name of names)
    if (table[name].length !== wanted) throw modelColumnsUneven(name, table[name].length, names[0], wanted);
  return wanted;
}

const isMissing = (cell: number | string | null | undefined): boolean =>
  cell === null || cell === undefined || cell === '' || Number.isNaN(cell);

function completeRows(table: ModelTable, names: readonly string[], rows: number) {
  const lacking = new Map<string, number>();
  const used: number[] = [];
  for (let row = 0; row < rows; row++) {
    const lacks = names.find((name) => isMissing(table[name][row]));
    if (lacks === undefined) used.push(row);
    else lacking.set(lacks, (lacking.get(lacks) ?? 0) + 1);
  }
  const dropped = [...lacking].map(([column, count]) => ({
    column,
    rows: count,
    reason: mixedReasons.noValue(column),
  }));
  if (used.length === 0) throw noRowsLeft(rows, dropped);
  return { used: Int32Array.from(used), dropped };
}

/** Text throughout. One word in a column of numbers makes no factor of it: it is a fault to be named. */
const isText = (cells: ModelTable[string], used: Int32Array): boolean =>
  used.every((row) => typeof cells[row] === 'string');

const someNumeric = (cells: ModelTable[string], used: Int32Array): boolean =>
  used.some((row) => isNumber(String(cells[row])));

const isNumber = (text: string): boolean => text.trim() !== '' && Number.isFinite(Number(text));

function numbersOf(name: string, cells: ModelTable[string], used: Int32Array): Float64Array {
  return Float64Array.from(used, (row) => {
    const cell = cells[row];
    if (typeof cell !== 'number' || !Number.isFinite(cell)) throw modelCellNotNumber(name, row, String(cell));
    return cell;
  });
}

function factorOf(name: string, cells: ModelTable[string], used: Int32Array, reference?: string): Factor {
  const found = [...new Set(Array.from(used, (row) => String(cells[row])))].sort(inOrder);
  if (reference !== undefined && !found.includes(reference)) throw referenceLevelMissing(name, reference, found);
  const levels = reference === undefined ? found : [reference, ...found.filter((level) => level !== reference)];
  const place = new Map(levels.map((level, at) => [level, at]));
  return { kind: 'factor', name, levels, codes: Int32Array.from(used, (row) => place.get(String(cells[row]))!) };
}

/** Numbers by size before text by code point: the same on every machine, unlike the order of a language. */
function inOrder(a: string, b: string): number {
  if (isNumber(a) && isNumber(b) && Number(a) !== Number(b)) return Number(a) - Number(b);
  if (isNumber(a) !== isNumber(b)) return isNumber(a) ? -1 : 1;
  return a < b ? -1 : a > b ? 1 : 0;
}

function twoLevels(factor: Factor): Factor {
  if (factor.levels.length < 2) throw oneLevel(factor.name, factor.levels[0], factor.codes.length);
  return factor;
}

function covariateOf(name: string, values: Float64Array, centre: number | 'mean'): Covariate {
  if (values.every((value) => value === values[0])) throw constantCovariate(name, values[0], values.length);
  // Summed about the first value: a mean of large numbers alike keeps its digits.
  const average = values[0] + values.reduce((sum, value) => sum + (value - values[0]), 0) / values.length;
  const at = centre === 'mean' ? average : centre;
  return { kind: 'covariate', name, centre: at, mean: average, values: values.map((value) => value - at) };
}
