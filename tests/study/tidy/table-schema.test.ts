import { describe, expect, test } from '@jest/globals';
import { recordingJsonSchema } from '../../../src/capture/schema.ts';
import { FILE_PREDICTORS } from '../../../src/study/cohort/file-predictors.ts';
import { TABLES } from '../../../src/study/dictionary.ts';
import { KEYS } from '../../../src/study/tidy/keys.ts';
import { fieldOf, TABLE_SCHEMAS, tableSchema } from '../../../src/study/tidy/table-schema.ts';

type Properties = Record<string, { properties: Record<string, { minimum: number; maximum: number }> }>;

const field = (file: string, column: string) => fieldOf(tableSchema(file)!, column);

describe('the declared schema', () => {
  test('every table of the dictionary has one, with a key whose columns it has', () => {
    for (const { file } of TABLES) {
      const schema = tableSchema(file)!;
      expect([file, KEYS.has(file)]).toEqual([file, true]);
      expect(schema.key.length).toBeGreaterThan(0);
      for (const column of schema.key)
        expect([file, column, fieldOf(schema, column)?.name]).toEqual([file, column, column]);
    }
  });

  test('foreign keys lead to columns of tables that are there', () => {
    for (const { fields, foreignKeys } of TABLE_SCHEMAS) {
      for (const { fields: own, table, reference } of foreignKeys) {
        expect(own.length).toBe(reference.length);
        for (const column of own) expect(fields.map(({ name }) => name)).toContain(column);
        for (const column of reference) expect(field(`${table}.csv`, column)?.name).toBe(column);
      }
    }
  });

  test('a closed value stands in the words of the dictionary, of this table or another with the column', () => {
    const definitions = (column: string) =>
      TABLE_SCHEMAS.flatMap(({ fields }) => fields.filter(({ name }) => name === column)).map((one) => one.definition);
    let closed = 0;
    for (const { file, fields } of TABLE_SCHEMAS) {
      for (const { name, values } of fields) {
        for (const value of values ?? []) {
          closed++;
          expect([file, name, value, definitions(name).some((text) => text.includes(`\`${value}\``))]).toEqual([
            file,
            name,
            value,
            true,
          ]);
        }
      }
    }
    expect(closed).toBeGreaterThan(100);
  });

  test('types: ids are text, days are days, counts whole, the rest as in the dictionary', () => {
    expect(field('measures.csv', 'athlete_id')?.type).toBe('string');
    expect(field('recordings.csv', 'date')?.type).toBe('date');
    expect(field('recordings.csv', 'synthetic')?.type).toBe('boolean');
    expect(field('frames.csv', 'frame')?.type).toBe('integer');
    expect(field('frames.csv', 'hip_moment_both_nm')).toMatchObject({ type: 'number', unit: 'nm', required: false });
  });

  test('columns that depend on the recording are told by their name', () => {
    expect(field('recordings.csv', 'condition_heel')).toMatchObject({ name: 'condition_heel', type: 'string' });
    expect(field('recordings.csv', 'heel')).toBeUndefined();
    expect(field('moments.csv', 'knee_abductor_moment_left_nm_per_kg')?.type).toBe('number');
    expect(field('moments.csv', 'knee_abductor_moment_left_ft_lb')).toBeUndefined();
    expect(tableSchema('frames.csv')!.isOptional('hip_moment_both_nm')).toBe(true);
    expect(tableSchema('frames.csv')!.isOptional('time_s')).toBe(false);
  });

  test.each([...Object.keys(FILE_PREDICTORS), 'week', 'condition_heel', 'femur_per_trunk'])(
    'a predictor of a comparison may be unknown: %s',
    (name) => {
      expect(field('cohort-rows.csv', name)).toMatchObject({ name, required: false });
      expect(field('athletes.csv', 'sex')?.required).toBe(true);
    },
  );

  test('what a recording file states has the limits of its schema', () => {
    const { properties } = recordingJsonSchema() as unknown as { properties: Properties };
    const { athlete, lift, shoes } = properties;
    for (const [file, column, stated] of [
      ['athletes.csv', 'mass_kg', athlete.properties.mass_kg],
      ['athletes.csv', 'stature_m', athlete.properties.stature_m],
      ['recordings.csv', 'effort_rpe', lift.properties.effort_rpe],
      ['recordings.csv', 'shoe_heel_height_m', shoes.properties.heel_height_m],
    ] as const) {
      const { minimum, maximum } = field(file, column)!;
      expect([column, minimum, maximum]).toEqual([column, stated.minimum, stated.maximum]);
    }
  });

  test('ranges follow unit and meaning', () => {
    expect(field('means.csv', 'noise_share')).toMatchObject({ minimum: 0, maximum: 1 });
    expect(field('means.csv', 'sd')).toMatchObject({ minimum: 0 });
    expect(field('frames.csv', 'frame')).toMatchObject({ minimum: 0 });
    expect(field('frames.csv', 'trunk_lean_deg')).toMatchObject({ minimum: -360, maximum: 360 });
    // A share of moments leaves 0 to 1 where one of the joints is a flexor.
    expect(field('frames.csv', 'hip_share_both')).not.toHaveProperty('maximum');
    // What cancels can be less than nothing: shared errors that work in opposite ways add up.
    for (const file of ['comparisons.csv', 'curve-differences.csv']) {
      expect(field(file, 'cancelled_share')).toMatchObject({ maximum: 1 });
      expect(field(file, 'cancelled_share')).not.toHaveProperty('minimum');
    }
  });
});
