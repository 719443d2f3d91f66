import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { columnName } from '../../src/lift/quantities.ts';
import { type ColumnEntry, TABLES, type TableEntry } from '../../src/study/dictionary.ts';
import { FRAME_QUANTITIES, type QuantityEntry } from '../../src/study/frame-quantities.ts';
import { liftJsonSchema } from '../../src/study/lift-json.ts';

/** Writes docs/data-dictionary.md and docs/lift.schema.json. Run: npx tsx tests/generators/write-data-dictionary.ts */

export const DICTIONARY = fileURLToPath(new URL('../../docs/data-dictionary.md', import.meta.url));
export const SCHEMA = fileURLToPath(new URL('../../docs/lift.schema.json', import.meta.url));

const INTRODUCTION = `# Data dictionary

Every column of every table. Made from \`src/study/dictionary.ts\` by \`npx tsx tests/generators/write-data-dictionary.ts\`; tests fail where the two differ, and where a table has a column that is not here.

- UTF-8, comma, LF, first row = column names, RFC 4180 quoting. An unknown value is an **empty cell**: never 0, never a word. Numbers carry seven significant digits, more than any of them deserves.
- Ids are text: \`007\` stays \`007\`. Tell your reader so if it guesses types.
- SI units; the unit stands at the end of the column name (\`_nm\` = N·m, \`_m_per_s\` = m/s, \`_deg\` = degrees). Lab frame: X forward (where the lifter faces), Y up, Z to the lifter’s right.
- Tables of a study hold the rows of all its recordings, sorted by \`recording_id\`; join them on \`recording_id\` (and \`repetition\`).
- The measures of measures.csv are defined in [method/measures.md](method/measures.md); \`lift.json\` holds the same numbers of one recording in one file, checked by [lift.schema.json](lift.schema.json).
`;

export function dictionaryDocument(): string {
  return `${INTRODUCTION}\n${TABLES.map((table) => section(table)).join('\n')}`;
}

function section(table: TableEntry): string {
  const isFrames = table.file === 'frames.csv';
  const columns = isFrames ? table.columns.slice(0, 3) : table.columns;
  const parts = [`## ${table.file}`, '', `One row is ${table.row}.`, '', ...columnLines(columns)];
  if (isFrames) parts.push('', ...quantityLines());
  return `${parts.join('\n')}\n`;
}

function columnLines(columns: readonly ColumnEntry[]): string[] {
  return [
    '| column | type | unit | meaning |',
    '|---|---|---|---|',
    ...columns.map(({ column, type, unit, definition }) => `| \`${column}\` | ${type} | ${unit} | ${definition} |`),
  ];
}

function quantityLines(): string[] {
  return [
    'Then one column a quantity, those that the recording can give (type number). `both`, `left`, `right` columns of one quantity share a line.',
    '',
    '| columns | unit | meaning |',
    '|---|---|---|',
    ...FRAME_QUANTITIES.map(
      (entry) => `| ${columnsOf(entry)} | ${entry.unit === '' ? '1' : entry.unit} | ${entry.definition} |`,
    ),
  ];
}

function columnsOf({ quantity, unit, sides }: QuantityEntry): string {
  return sides.map((side) => `\`${columnName({ quantity, side, unit })}\``).join('<br>');
}

export function schemaDocument(): string {
  return `${JSON.stringify(liftJsonSchema(), null, 2)}\n`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(DICTIONARY, dictionaryDocument());
  writeFileSync(SCHEMA, schemaDocument());
}
