import { describe, expect, test } from '@jest/globals';
import { checkTables } from '../../../src/study/tidy/check-tables.ts';
import { dataPackage, packageName } from '../../../src/study/tidy/data-package.ts';
import { sourceOfTexts } from '../../../src/study/tidy/table-source.ts';
import { makeTables } from './make-tables.ts';

/*
 * What the published JSON schemas of Frictionless Data 1.0 ask (frictionlessdata/datapackage, schemas/tabular-data-package.json,
 * tabular-data-resource.json, table-schema.json), stated again: required properties and patterns.
 */
const NAME = /^([-a-z0-9._/])+$/;
const PATH = /^(?=^[^./~])(^((?!\.{2}).)*$).*$/;
const TABULAR_RESOURCE_REQUIRES = ['name', 'path', 'schema', 'profile'];
const FIELD_TYPES = ['string', 'number', 'integer', 'date', 'boolean'];
/** Constraints that the schema of each type knows. */
const CONSTRAINTS: Readonly<Record<string, readonly string[]>> = {
  string: ['required', 'unique', 'pattern', 'enum', 'minLength', 'maxLength'],
  number: ['required', 'unique', 'enum', 'minimum', 'maximum', 'pattern'],
  integer: ['required', 'unique', 'enum', 'minimum', 'maximum', 'pattern'],
  date: ['required', 'unique', 'enum', 'minimum', 'maximum', 'pattern'],
  boolean: ['required', 'enum'],
};

const texts = makeTables();
const { tables } = checkTables(sourceOfTexts('demo', texts));
const words = { id: 'Demo Study 1', title: 'Demo', licence: 'CC0-1.0', synthetic: true, toolVersion: '0.1.0' };
const found = dataPackage(words, tables, []);

describe('datapackage.json', () => {
  test('the package: name, profile, licence, at least one resource, resource names unique', () => {
    expect(found.name).toBe('demo-study-1');
    expect(found.name).toMatch(NAME);
    expect(found.profile).toBe('tabular-data-package');
    expect(found.licenses).toEqual([{ name: 'CC0-1.0' }]);
    const names = found.resources.map(({ name }) => name);
    expect(new Set(names).size).toBe(texts.size);
  });

  test('every resource has what is required, a path inside the folder, and its own file’s size and digest', () => {
    for (const resource of found.resources) {
      expect(Object.keys(resource)).toEqual(expect.arrayContaining(TABULAR_RESOURCE_REQUIRES));
      expect(resource.profile).toBe('tabular-data-resource');
      expect(resource.name).toMatch(NAME);
      expect(resource.path).toMatch(PATH);
      expect(resource.bytes).toBe(Buffer.byteLength(texts.get(resource.path)!));
      expect(resource.hash).toMatch(/^sha256:[0-9a-f]{64}$/);
      expect(resource).toMatchObject({ format: 'csv', mediatype: 'text/csv', encoding: 'utf-8' });
      expect(resource.dialect).toMatchObject({ delimiter: ',', doubleQuote: true, header: true });
    }
  });

  test('every schema has the columns of its file in order, with types and constraints the standard knows', () => {
    for (const { path, schema } of found.resources) {
      const header = texts.get(path)!.split('\n')[0].split(',');
      expect(schema!.fields.map(({ name }) => name)).toEqual(header);
      expect(schema!.missingValues).toEqual(['']);
      for (const { type, constraints = {}, description } of schema!.fields) {
        expect(FIELD_TYPES).toContain(type);
        expect(description).not.toBe('');
        for (const [name, value] of Object.entries(constraints)) {
          expect(CONSTRAINTS[type]).toContain(name);
          if (name === 'enum') expect(new Set(value as string[]).size).toBe((value as string[]).length);
        }
      }
    }
  });

  test('keys name columns that are there; no column of a primary key can be empty', () => {
    const named = new Map(found.resources.map(({ name, schema }) => [name, schema!]));
    let primary = 0;
    let foreign = 0;
    for (const { fields, primaryKey = [], uniqueKeys = [], foreignKeys = [] } of named.values()) {
      const names = fields.map(({ name }) => name);
      for (const column of [...primaryKey, ...uniqueKeys.flat()]) expect(names).toContain(column);
      for (const column of primaryKey) {
        primary++;
        expect(fields.find(({ name }) => name === column)!.constraints!.required).toBe(true);
      }
      for (const { fields: own, reference } of foreignKeys) {
        foreign++;
        for (const column of own) expect(names).toContain(column);
        const there = named.get(reference.resource)!.fields.map(({ name }) => name);
        for (const column of reference.fields) expect(there).toContain(column);
        expect(own.length).toBe(reference.fields.length);
      }
    }
    expect(primary).toBeGreaterThan(5);
    expect(foreign).toBeGreaterThan(8);
    expect(named.get('recordings')!.primaryKey).toEqual(['recording_id']);
    expect(named.get('measures')!.uniqueKeys).toEqual([['recording_id', 'repetition', 'measure', 'side', 'at']]);
  });

  test('a foreign key to a table that is not there is left out', () => {
    const alone = dataPackage(
      words,
      tables.filter(({ schema }) => schema.name === 'measures'),
      [],
    );
    expect(alone.resources[0].schema).not.toHaveProperty('foreignKeys');
  });

  test('with Parquet it is a package of data, each file a resource with its own name', () => {
    const file = { table: 'measures', path: 'parquet/measures.parquet', bytes: 12, sha256: 'ab'.repeat(32) };
    const both = dataPackage(words, tables, [file]);
    expect(both.profile).toBe('data-package');
    expect(both.resources.at(-1)).toMatchObject({
      profile: 'data-resource',
      name: 'measures-parquet',
      path: 'parquet/measures.parquet',
      format: 'parquet',
      bytes: 12,
      hash: `sha256:${'ab'.repeat(32)}`,
    });
  });

  test('names are in the letters of the standard', () => {
    expect(packageName('Süd Halle/Montag')).toBe('s-d-halle-montag');
    expect(packageName('–')).toBe('study');
  });
});
