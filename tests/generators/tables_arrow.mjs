/*
 * Compares every Parquet file of `kneeward tidy --parquet` with its CSV table, cell by cell, read by two implementations that are
 * not this project's: Arrow's of Rust (parquet-wasm) and Polars. Neither is a dependency of this project; put them into a folder of
 * their own:
 *   npm install --prefix /tmp/arrow parquet-wasm apache-arrow nodejs-polars
 *   node tests/generators/tables_arrow.mjs /tmp/arrow out/demo
 * parquet-wasm 0.8.0, apache-arrow 21.2.0 and nodejs-polars 0.26.1 were used; docs/method/tables.md tells the result.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';

const [installed, folder] = process.argv.slice(2);
const load = createRequire(join(resolve(installed), 'node_modules/'));
const { readParquet } = load('parquet-wasm');
const { tableFromIPC } = load('apache-arrow');
const polars = load('nodejs-polars');

/** RFC 4180: rows of cells, all of them text. */
function cellsOf(text) {
  const rows = [[]];
  const cell = /("(?:[^"]|"")*"|[^,\r\n]*)(,|\r?\n|$)/gy;
  for (let found = cell.exec(text); found && cell.lastIndex <= text.length; found = cell.exec(text)) {
    const [, own, end] = found;
    rows.at(-1).push(own.startsWith('"') ? own.slice(1, -1).replaceAll('""', '"') : own);
    if (end === '') break;
    if (end !== ',') {
      if (cell.lastIndex === text.length) break;
      rows.push([]);
    }
  }
  return rows;
}

/** Whether a value read from Parquet is what the cell says: empty is null, numbers are equal to the last bit. */
function same(value, cell) {
  if (value === null || value === undefined) return cell === '';
  if (typeof value === 'number' || typeof value === 'bigint') return cell !== '' && Number(value) === Number(cell);
  if (typeof value === 'boolean') return String(value) === cell;
  if (value instanceof Date) return value.toISOString().slice(0, 10) === cell;
  return value === cell;
}

const arrowColumns = (bytes) => {
  const table = tableFromIPC(readParquet(bytes).intoIPCStream());
  const dates = new Set(table.schema.fields.filter(({ type }) => /^Date/.test(String(type))).map(({ name }) => name));
  const value = (name, own) => (dates.has(name) && own !== null ? new Date(Number(own)) : own);
  return new Map(
    table.schema.fields.map(({ name }) => [name, Array.from(table.getChild(name), (own) => value(name, own))]),
  );
};
const polarsColumns = (bytes) => {
  const frame = polars.readParquet(bytes);
  return new Map(frame.columns.map((name) => [name, frame.getColumn(name).toArray()]));
};

let different = 0;
let all = 0;
for (const file of readdirSync(join(folder, 'parquet')).sort()) {
  const bytes = readFileSync(join(folder, 'parquet', file));
  const [header, ...rows] = cellsOf(readFileSync(join(folder, file.replace('.parquet', '.csv')), 'utf8'));
  for (const [reader, columns] of [
    ['Arrow', arrowColumns(bytes)],
    ['Polars', polarsColumns(bytes)],
  ]) {
    let wrong = [...columns.keys()].join() === header.join() ? 0 : 1;
    header.forEach((name, c) => {
      const own = columns.get(name) ?? [];
      if (own.length !== rows.length) wrong++;
      rows.forEach((row, r) => {
        if (same(own[r], row[c])) return;
        if (wrong++ < 3) console.log(`${file} ${name} row ${r + 1}: ${String(own[r])} is not '${row[c]}'`);
      });
    });
    different += wrong;
    console.log(`${file}, ${reader}: ${rows.length} rows of ${header.length}, ${wrong} cells differ`);
  }
  all += rows.length;
}
console.log(`${all} rows, ${different} cells differ`);
process.exitCode = different > 0 ? 1 : 0;
