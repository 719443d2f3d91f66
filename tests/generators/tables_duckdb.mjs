/*
 * Compares every Parquet file of `kneeward tidy --parquet` with its CSV table, row by row, in DuckDB: an independent reader of
 * both. DuckDB is no dependency of this project; put it into a folder of its own:
 *   npm install --prefix /tmp/duckdb @duckdb/node-api
 *   node tests/generators/tables_duckdb.mjs /tmp/duckdb out/demo
 * DuckDB 1.5.6 was used; docs/method/tables.md tells the result.
 */
import { readdirSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';

const [installed, folder] = process.argv.slice(2);
const { DuckDBInstance } = createRequire(join(resolve(installed), 'node_modules/'))('@duckdb/node-api');
const connection = await (await DuckDBInstance.create(':memory:')).connect();
const query = async (sql) => (await connection.runAndReadAll(sql)).getRowsJson();
const quoted = (text) => `'${text.replaceAll("'", "''")}'`;

let different = 0;
for (const file of readdirSync(join(folder, 'parquet')).sort()) {
  const parquet = quoted(join(folder, 'parquet', file));
  const columns = (await query(`DESCRIBE SELECT * FROM ${parquet}`)).map(([name, type]) => [name, type]);
  const types = columns.map(([name, type]) => `${quoted(name)}: ${quoted(type)}`).join(', ');
  const path = quoted(join(folder, file.replace('.parquet', '.csv')));
  const csv = `read_csv(${path}, header = true, delim = ',', quote = '"', escape = '"', nullstr = '', columns = {${types}})`;
  const less = (a, b) => `(SELECT count(*) FROM (SELECT * FROM ${a} EXCEPT ALL SELECT * FROM ${b}))`;
  const [[rows, onlyParquet, onlyCsv]] = await query(
    `SELECT (SELECT count(*) FROM ${csv}), ${less(parquet, csv)}, ${less(csv, parquet)}`,
  );
  different += Number(onlyParquet) + Number(onlyCsv);
  const kinds = [...new Set(columns.map(([, type]) => type))].join(' ');
  console.log(`${file}: ${rows} rows, ${onlyParquet} only in Parquet, ${onlyCsv} only in CSV; ${kinds}`);
}
process.exitCode = different > 0 ? 1 : 0;
