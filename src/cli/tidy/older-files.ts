import { closeSync, fstatSync, openSync, readFileSync, readSync } from 'node:fs';
import { join } from 'node:path';
import { parquetMetadata } from 'hyparquet';
import { TABLE_SCHEMAS } from '../../study/tidy/table-schema.ts';
import { fileDigest } from '../study/input-files.ts';

export const DATA_PACKAGE = 'datapackage.json';

export const parquetName = (table: string): string => `parquet/${table}.parquet`;

/** Length of what ends a Parquet file: four bytes for the length of the metadata, then "PAR1" (Apache Parquet, file format). */
const PARQUET_END = 8;

/**
 * What `kneeward tidy` wrote into a folder earlier, and what is now of other tables than those there: by the digests that it holds.
 * Paths inside the folder.
 *
 * @param digestOf SHA-256 of a table (`measures.csv`) where it is known already; null for one that is not there
 */
export function olderFiles(folder: string, digestOf = tableDigests(folder)): string[] {
  const older: string[] = [];
  const resources = packageResources(folder);
  if (resources) {
    const listed = new Map(resources.map(({ path, hash }) => [path, hash]));
    const tables = TABLE_SCHEMAS.map(({ file }) => file).filter((file) => digestOf(file) !== null || listed.has(file));
    const others = [...listed.keys()].filter((path) => path.startsWith('parquet/'));
    const same =
      tables.every((file) => listed.get(file) === `sha256:${digestOf(file)}`) &&
      others.every((path) => listed.get(path) === `sha256:${fileDigest(join(folder, path))}`);
    if (!same) older.push(DATA_PACKAGE);
  }
  for (const { name, file } of TABLE_SCHEMAS) {
    const source = parquetSource(join(folder, parquetName(name)));
    if (source !== null && source !== digestOf(file)) older.push(parquetName(name));
  }
  return older;
}

/** Digest of the table that a Parquet file was made of; null where there is no such file or Kneeward did not write it. */
export function parquetSource(path: string): string | null {
  let file: number;
  try {
    file = openSync(path, 'r');
  } catch {
    return null;
  }
  try {
    const { size } = fstatSync(file);
    const end = readAt(file, size - PARQUET_END, PARQUET_END);
    const length = end.readUInt32LE(0) + PARQUET_END;
    const { key_value_metadata: pairs } = parquetMetadata(new Uint8Array(readAt(file, size - length, length)));
    return pairs?.find(({ key }) => key === 'kneeward:source_sha256')?.value ?? null;
  } catch {
    // Another kind of file, or one cut off.
    return null;
  } finally {
    closeSync(file);
  }
}

function readAt(file: number, from: number, length: number): Buffer {
  if (from < 0) throw new RangeError('the file is shorter');
  const bytes = Buffer.alloc(length);
  readSync(file, bytes, 0, length, from);
  return bytes;
}

/** Tables and files of the data package that Kneeward wrote there; null where there is none. */
function packageResources(folder: string): readonly { readonly path: string; readonly hash: string }[] | null {
  try {
    const { tool, resources } = JSON.parse(readFileSync(join(folder, DATA_PACKAGE), 'utf8'));
    if (tool !== 'kneeward' || !Array.isArray(resources)) return null;
    return resources.map(({ path, hash }) => ({ path: String(path), hash: String(hash) }));
  } catch {
    return null;
  }
}

function tableDigests(folder: string): (file: string) => string | null {
  const digests = new Map<string, string>();
  return (file) => {
    const found = digests.get(file) ?? fileDigest(join(folder, file));
    digests.set(file, found);
    return found.startsWith('unreadable') ? null : found;
  };
}
