import type { DataError } from '../../errors.ts';
import { tidyEmptyCell, tidyOutOfRange, tidyValueNotAllowed, tidyWrongType } from '../../messages/tidy.ts';
import type { Field } from './table-schema.ts';

/** A cell by its declared type: a day stays text (2026-03-14: it is in no time zone); null where unknown. */
export type Cell = string | number | boolean | null;

const NUMBER = /^-?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$/;
const INTEGER = /^-?\d+$/;
const DAY = /^(\d{4})-(\d{2})-(\d{2})$/;
/** Whole numbers are written to Parquet with 32 bits; no count or number of a frame comes near. */
const LARGEST = 2 ** 31 - 1;

/**
 * The value of a cell by the declared type of its column, without any guess. What departs from the declaration is told to
 * `depart`, and the cell is null.
 */
export function readCell(
  field: Field,
  text: string,
  file: string,
  line: number,
  depart: (fault: DataError) => void,
): Cell {
  const { name, type, values } = field;
  if (text === '') {
    if (field.required) depart(tidyEmptyCell(file, line, name));
    return null;
  }
  const value = typedValue(type, text);
  if (value === null) depart(tidyWrongType(file, line, name, text, type));
  else if (values && !values.includes(text)) depart(tidyValueNotAllowed(file, line, name, text, values));
  else if (typeof value === 'number') checkRange(field, value, file, line, depart);
  return value;
}

function typedValue(type: Field['type'], text: string): Cell {
  switch (type) {
    case 'string':
      return text;
    case 'number': {
      const value = NUMBER.test(text) ? Number(text) : Number.NaN;
      return Number.isFinite(value) ? value : null;
    }
    case 'integer': {
      const value = INTEGER.test(text) ? Number(text) : Number.NaN;
      return Math.abs(value) <= LARGEST ? value : null;
    }
    case 'boolean':
      return text === 'true' ? true : text === 'false' ? false : null;
    case 'date':
      return isDay(text) ? text : null;
  }
}

/** A day of the calendar, year 1 to 9999 (ISO 8601). */
function isDay(text: string): boolean {
  const [, year, month, day] = (DAY.exec(text) ?? []).map(Number);
  if (!year) return false;
  const date = new Date(`${text}T00:00:00Z`);
  return date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
}

function checkRange(
  { name, unit, minimum, maximum }: Field,
  value: number,
  file: string,
  line: number,
  depart: (fault: DataError) => void,
): void {
  if ((minimum !== undefined && value < minimum) || (maximum !== undefined && value > maximum)) {
    depart(tidyOutOfRange(file, line, name, value, unit, minimum, maximum));
  }
}
