import { DataError } from '../../src/errors.ts';

/** What can go wrong with a notebook: which file, which cell and line, and how to mend it. */

export const notJson = (file: string, reason: string) =>
  new DataError('notebook-not-json', `${file}: no JSON (${reason}). Open it in Jupyter and save it again.`, { file });

export const notANotebook = (file: string, place: string, reason: string) =>
  new DataError(
    'notebook-format',
    `${file}: ${place || 'the file'}: ${reason}. Notebooks here have the open format nbformat 4, minor 5 or later.`,
    { file, place },
  );

export const repeatedCellId = (file: string, id: string) =>
  new DataError('notebook-cell-id-repeated', `${file}: two cells have the id "${id}". Give one of them another.`, {
    file,
    id,
  });

/** cell: counted over all cells from 1; line: within the cell, from 1; both 0 where it is not known. */
export const cellFailed = (file: string, cell: number, line: number, what: string) =>
  new DataError('notebook-cell-failed', `${file}: ${placeOf(cell, line)}: ${what}`, { file, cell, line });

export const notebookDied = (file: string, code: number, last: string) =>
  new DataError(
    'notebook-died',
    `${file}: its process ended with code ${code} before the last cell had (does a cell end the process, or await what never comes?)${last ? `: ${last}` : '.'}`,
    { file, code },
  );

export const outputsDiffer = (file: string, cell: number, stored: string, found: string) =>
  new DataError(
    'notebook-outputs-differ',
    `${file}: cell ${cell}: the stored output is not what the cell gives now.\n  stored: ${stored}\n  now:    ${found}\nRun \`npm run notebooks -- --only ${file.slice(0, 2)}\` to write it anew.`,
    { file, cell },
  );

export const noSuchNotebook = (wanted: string, there: readonly string[]) =>
  new DataError('notebook-unknown', `No notebook begins with "${wanted}". There are: ${there.join(', ') || 'none'}.`, {
    wanted,
  });

const placeOf = (cell: number, line: number) =>
  cell === 0 ? 'before its first cell' : line === 0 ? `cell ${cell}` : `cell ${cell}, line ${line}`;
