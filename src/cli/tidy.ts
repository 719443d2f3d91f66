import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Command } from 'commander';
import { fileWriter } from 'hyparquet-writer';
import {
  tidyChangedMeanwhile,
  tidyCheckOrParquet,
  tidyMoreLikeIt,
  tidyNothingWritten,
  tidyOlder,
  tidyParquetOlder,
  tidyTableLine,
  tidyWritten,
} from '../messages/tidy.ts';
import { jsonText } from '../study/json-text.ts';
import { checkTables, countedPieces, type StudyCheck, type TableReport } from '../study/tidy/check-tables.ts';
import { dataPackage, type ParquetFile } from '../study/tidy/data-package.ts';
import { writeParquet } from '../study/tidy/parquet.ts';
import { TABLE_SCHEMAS } from '../study/tidy/table-schema.ts';
import type { TableSource } from '../study/tidy/table-source.ts';
import { typedRows } from '../study/tidy/typed-rows.ts';
import { toolVersion } from './package-files.ts';
import { filePieces, folderTables } from './tidy/folder-tables.ts';
import { DATA_PACKAGE, olderFiles, parquetName, parquetSource } from './tidy/older-files.ts';
import { type Stage, staged } from './tidy/staged-files.ts';

export interface TidyOptions {
  readonly folder: string;
  /** Parquet files too. */
  readonly parquet: boolean;
  /** Only look. */
  readonly check: boolean;
  readonly title?: string;
  readonly licence?: string;
}

export function registerTidy(program: Command, exitWith: (code: number) => void): void {
  program
    .command('tidy')
    .description('Checks the tables of a study against their declared schema; writes datapackage.json and Parquet.')
    .argument('<folder>', 'output folder of kneeward study or analyse')
    .option('--parquet', 'also write parquet/<table>.parquet', false)
    .option(
      '--check',
      'only check, also that an earlier datapackage.json and Parquet are of these tables: write nothing',
      false,
    )
    .option('--title <text>', 'title of the data package (default: id of the study)')
    .option('--licence <name>', 'open licence of the data, by its name in the Open Definition, as CC-BY-4.0')
    .addHelpText(
      'after',
      '\nExamples:\n  kneeward tidy out/demo --check' +
        '\n  kneeward tidy out/demo --parquet --licence CC-BY-4.0' +
        '\n\nHow R, Python, DuckDB and a spreadsheet read the tables: docs/method/tables.md' +
        '\nExit code: 0 as declared, 1 departures (nothing is written) or, with --check, older files; 2 bad usage.',
    )
    .action((folder: string, options) => exitWith(tidy({ folder, ...options })));
}

/** `kneeward tidy`: returns the exit code. */
export function tidy(options: TidyOptions): number {
  const { folder, check, parquet } = options;
  if (check && parquet) throw tidyCheckOrParquet();
  const source = folderTables(folder);
  const found = checkTables(source);
  say(found);
  if (found.departures > 0) {
    if (!check) process.stderr.write(`${tidyNothingWritten(found.departures)}\n`);
    return 1;
  }
  if (check) {
    const digests = new Map(found.tables.map(({ schema, sha256 }) => [schema.file, sha256]));
    const older = olderFiles(folder, (file) => digests.get(file) ?? null);
    for (const name of older) process.stderr.write(`${tidyOlder(join(folder, name))}\n`);
    return older.length > 0 ? 1 : 0;
  }
  const written = staged(folder, (stage) => {
    const files = parquet ? found.tables.map((table) => parquetFile(source, table, stage)) : [];
    stage.write(DATA_PACKAGE, jsonText(dataPackage(wordsOf(source, found.tables, options), found.tables, files)));
    return files.length + 1;
  });
  const without = TABLE_SCHEMAS.filter(({ file }) => !source.files.includes(file));
  if (parquet) removeOwn(without.map(({ name }) => join(folder, parquetName(name))));
  else warnOfOlder(folder);
  process.stderr.write(`${tidyWritten(folder, written)}\n`);
  return 0;
}

function say({ tables, faults, more }: StudyCheck): void {
  for (const { schema, rows, fields, departures } of tables) {
    process.stdout.write(`${tidyTableLine(schema.file, rows, fields.length, departures)}\n`);
  }
  for (const { message } of faults) process.stderr.write(`${message}\n`);
  for (const { file, column, count } of more) process.stderr.write(`${tidyMoreLikeIt(file, column, count)}\n`);
}

function parquetFile(source: TableSource, { schema, sha256 }: TableReport, stage: Stage): ParquetFile {
  const path = parquetName(schema.name);
  const place = stage.placeFor(path);
  const writer = fileWriter(place);
  const written = writeParquet(schema, source.pieces(schema.file), writer, { sourceSha256: sha256 });
  if (written.sha256 !== sha256) throw tidyChangedMeanwhile(schema.file);
  const counted = countedPieces(filePieces(place));
  for (const _ of counted.pieces);
  return { table: schema.name, path, ...counted.seen() };
}

/** What the tables themselves say of the study. */
function wordsOf(source: TableSource, tables: readonly TableReport[], { folder, title, licence }: TidyOptions) {
  const of = (name: string) => tables.find(({ schema }) => schema.name === name);
  const synthetic = columnOf(source, of('recordings'), 'synthetic');
  const ids = columnOf(source, of('recordings') ?? of('repetitions') ?? of('measures'), 'recording_id');
  return {
    id: studyId(folder) ?? [...ids][0] ?? 'study',
    ...(title !== undefined && { title }),
    ...(licence !== undefined && { licence }),
    ...(synthetic.size > 0 && { synthetic: synthetic.has('true') }),
    toolVersion: toolVersion(),
  };
}

/** Different values of a column, as text. */
function columnOf(source: TableSource, table: TableReport | undefined, name: string): ReadonlySet<string> {
  const place = table?.fields.findIndex((field) => field.name === name) ?? -1;
  if (!table || place < 0) return new Set();
  const { rows } = typedRows(table.schema, source.pieces(table.schema.file));
  return new Set(Array.from(rows, ({ cells }) => String(cells[place])));
}

/** The id that the study's provenance.json begins with; null where the folder is of one recording. */
function studyId(folder: string): string | null {
  try {
    const { study } = JSON.parse(readFileSync(join(folder, 'provenance.json'), 'utf8')) as { study?: unknown };
    return typeof study === 'string' ? study : null;
  } catch {
    return null;
  }
}

/** Parquet files of an earlier run stay, and are named: they may be of other tables. */
function warnOfOlder(folder: string): void {
  for (const { name } of TABLE_SCHEMAS) {
    const file = join(folder, parquetName(name));
    if (existsSync(file)) process.stderr.write(`${tidyParquetOlder(file)}\n`);
  }
}

/** Parquet files of tables that are there no more: a reader of parquet/*.parquet would take them for this study's. */
function removeOwn(files: readonly string[]): void {
  for (const file of files) if (parquetSource(file) !== null) rmSync(file);
}
