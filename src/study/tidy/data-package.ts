import type { TableReport } from './check-tables.ts';
import { type FrictionlessSchema, frictionlessSchema } from './resource-schema.ts';

export interface PackageWords {
  /** Id of the study, or of the recording where there is one only. */
  readonly id: string;
  readonly title?: string;
  /** Name of an open licence, as CC-BY-4.0. */
  readonly licence?: string;
  /** true: invented data; undefined where no table says. */
  readonly synthetic?: boolean;
  readonly toolVersion: string;
}

export interface ParquetFile {
  readonly table: string;
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string;
}

interface Resource {
  readonly profile: string;
  readonly name: string;
  readonly path: string;
  readonly description: string;
  readonly format: string;
  readonly mediatype: string;
  readonly encoding?: string;
  readonly bytes: number;
  readonly hash: string;
  readonly dialect?: Readonly<Record<string, string | boolean>>;
  readonly schema?: FrictionlessSchema;
}

/** RFC 4180 as Kneeward writes it, in the words of the CSV dialect of Frictionless Data. */
const DIALECT = {
  delimiter: ',',
  lineTerminator: '\n',
  quoteChar: '"',
  doubleQuote: true,
  skipInitialSpace: false,
  header: true,
} as const;

/**
 * `datapackage.json` of a folder of tables: Frictionless Data Package 1.0 (specs.frictionlessdata.io, data-package,
 * tabular-data-package, tabular-data-resource, table-schema). Digests and paths from the folder; no clock time, so that the
 * same tables give the same descriptor.
 */
export function dataPackage(words: PackageWords, tables: readonly TableReport[], parquet: readonly ParquetFile[]) {
  const names = new Set(tables.map(({ schema }) => schema.name));
  const { id, title, licence, synthetic, toolVersion } = words;
  return {
    // Parquet files are no CSV tables: with them it is a package of data, without them a tabular one.
    profile: parquet.length > 0 ? 'data-package' : 'tabular-data-package',
    name: packageName(id),
    title: title ?? id,
    ...(synthetic !== undefined && { synthetic }),
    tool: 'kneeward',
    tool_version: toolVersion,
    ...(licence !== undefined && { licenses: [{ name: licence }] }),
    resources: [
      ...tables.map((table) => csvResource(table, names)),
      ...parquet.map((file) => parquetResource(file, tables)),
    ],
  };
}

/** Small letters, digits, ".", "_" and "-", as the standard asks of names. */
export function packageName(id: string): string {
  const name = id
    .toLowerCase()
    .replace(/[^a-z0-9._-]+/g, '-')
    .replace(/^-+|-+$/g, '');
  return name === '' ? 'study' : name;
}

function csvResource({ schema, fields, bytes, sha256 }: TableReport, names: ReadonlySet<string>): Resource {
  return {
    profile: 'tabular-data-resource',
    name: schema.name,
    path: schema.file,
    description: `One row is ${schema.row}.`,
    format: 'csv',
    mediatype: 'text/csv',
    encoding: 'utf-8',
    bytes,
    hash: `sha256:${sha256}`,
    dialect: DIALECT,
    schema: frictionlessSchema(schema, fields, names),
  };
}

function parquetResource({ table, path, bytes, sha256 }: ParquetFile, tables: readonly TableReport[]): Resource {
  const row = tables.find(({ schema }) => schema.name === table)?.schema.row ?? '';
  return {
    profile: 'data-resource',
    name: `${table}-parquet`,
    path,
    description: `The table ${table} as Apache Parquet. One row is ${row}.`,
    format: 'parquet',
    mediatype: 'application/vnd.apache.parquet',
    bytes,
    hash: `sha256:${sha256}`,
  };
}
