import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { keepResult } from './keep-result.ts';
import { passes, type Validation } from './result.ts';

/** `npm run validate [name …]`: the long statistical checks; results in docs/validation; exit 1 where one fails. */
const here = fileURLToPath(new URL('.', import.meta.url));
const wanted = process.argv.slice(2);
let failed = false;

for (const file of readdirSync(here).sort()) {
  if (!file.endsWith('.validate.ts')) continue;
  const { validation } = (await import(new URL(file, import.meta.url).href)) as { validation: Validation };
  if (wanted.length > 0 && !wanted.includes(validation.name)) continue;
  process.stderr.write(`${validation.title}\n`);
  let last = 0;
  const { seed, setting, rows } = await validation.run(1, (done, total) => {
    const tenth = Math.floor((10 * done) / total);
    if (tenth > last) process.stderr.write(`  ${10 * tenth} %\n`);
    last = tenth;
  });
  // What was skipped for want of its data keeps its last result.
  if (rows.length === 0) continue;
  keepResult(validation, { seed, setting, rows });
  for (const row of rows) {
    const range = row.from === null && row.to === null ? 'reported' : `${row.from ?? '−∞'} … ${row.to ?? '∞'}`;
    process.stdout.write(
      `${passes(row) ? 'ok  ' : 'FAIL'} ${row.what}: ${row.value.toPrecision(4)} ${row.unit} (${range}; ${row.runs} runs)\n`,
    );
    if (!passes(row)) failed = true;
  }
}
process.exitCode = failed ? 1 : 0;
