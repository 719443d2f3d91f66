import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import { MEASURES } from '../../src/lift/measures/index.ts';
import { columnName } from '../../src/lift/quantities.ts';
import { CAUSE_COLUMNS } from '../../src/study/causes-table.ts';
import { COMPARISON_COLUMNS } from '../../src/study/comparisons.ts';
import { TABLES } from '../../src/study/dictionary.ts';
import { FINDING_COLUMNS } from '../../src/study/findings-table.ts';
import { FRAME_QUANTITIES } from '../../src/study/frame-quantities.ts';
import { MEAN_COLUMNS } from '../../src/study/means-table.ts';
import { MOMENT_AXES_COLUMNS } from '../../src/study/moments-table.ts';
import { RESIDUAL_COLUMNS } from '../../src/study/residual-table.ts';
import { SEGMENT_TABLE_COLUMNS } from '../../src/study/segment-tables.ts';
import {
  ATHLETE_COLUMNS,
  CURVE_COLUMNS,
  MEASURE_COLUMNS,
  RECORDING_COLUMNS,
  REPETITION_COLUMNS,
} from '../../src/study/tables.ts';
import { DICTIONARY, dictionaryDocument, SCHEMA, schemaDocument } from '../generators/write-data-dictionary.ts';
import { makeRecord } from './make-record.ts';

describe('the dictionary', () => {
  test('docs/data-dictionary.md and docs/lift.schema.json are what the sources say (npx tsx tests/generators/write-data-dictionary.ts)', () => {
    expect(readFileSync(DICTIONARY, 'utf8')).toBe(dictionaryDocument());
    expect(readFileSync(SCHEMA, 'utf8')).toBe(schemaDocument());
  });

  test.each([
    ['moment-axes.csv', MOMENT_AXES_COLUMNS],
    ['residual.csv', RESIDUAL_COLUMNS],
    ['segment-tables.csv', SEGMENT_TABLE_COLUMNS],
    ['curves.csv', CURVE_COLUMNS],
    ['repetitions.csv', REPETITION_COLUMNS],
    ['measures.csv', MEASURE_COLUMNS],
    ['means.csv', MEAN_COLUMNS],
    ['causes.csv', CAUSE_COLUMNS],
    ['comparisons.csv', COMPARISON_COLUMNS],
    ['findings.csv', FINDING_COLUMNS],
    ['athletes.csv', ATHLETE_COLUMNS],
    ['recordings.csv', [...RECORDING_COLUMNS, 'condition_<name>']],
  ])('%s: columns and dictionary agree, in order', (file, columns) => {
    expect(TABLES.find((table) => table.file === file)!.columns.map(({ column }) => column)).toEqual([...columns]);
  });

  test('every quantity of a record has an entry with the same unit and side', () => {
    for (const { quantity, side, unit } of makeRecord().quantities) {
      const entry = FRAME_QUANTITIES.find((found) => found.quantity === quantity);
      expect([quantity, entry?.unit, entry?.sides.includes(side)]).toEqual([quantity, unit, true]);
    }
  });

  test('no column stands twice, every definition is a sentence, and names are snake_case', () => {
    for (const { columns } of TABLES) {
      expect(new Set(columns.map(({ column }) => column)).size).toBe(columns.length);
      for (const { column, definition, type, unit } of columns) {
        expect(definition).toMatch(/^\S.*\.$/);
        expect(column).toMatch(
          /^([a-z][a-z0-9_]*|condition_<name>|<predictor>|<joint>_<component>_moment_<side>_<unit>)$/,
        );
        if (type === 'number') expect(unit).not.toBe('');
      }
    }
  });

  test('a unit in a column name is the unit of the dictionary', () => {
    for (const { quantity, unit, sides } of FRAME_QUANTITIES) {
      for (const side of sides)
        expect(columnName({ quantity, side, unit }).endsWith(unit === '' ? (side ?? quantity) : `_${unit}`)).toBe(true);
    }
  });

  test('measures have a documented definition', () => {
    const documented = readFileSync(new URL('../../docs/method/measures.md', import.meta.url), 'utf8');
    for (const { name } of MEASURES) expect(documented).toContain(`### ${name}\n`);
  });
});
