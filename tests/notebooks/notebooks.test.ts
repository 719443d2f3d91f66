import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from '@jest/globals';
import { main } from '../../notebooks/run.ts';
import { cellsToModule } from '../../notebooks/runner/cells-to-module.ts';
import { comparedRows } from '../../notebooks/runner/compared-rows.ts';
import { type CodeCell, parseNotebook, serialiseNotebook } from '../../notebooks/runner/notebook.ts';

const folder = fileURLToPath(new URL('../../notebooks', import.meta.url));
const files = readdirSync(folder)
  .filter((file) => file.endsWith('.ipynb'))
  .sort();
const textOf = (file: string) => readFileSync(join(folder, file), 'utf8');
const notebookOf = (file: string) => parseNotebook(file, textOf(file));

describe.each(files)('%s', (file) => {
  const notebook = notebookOf(file);
  const code = notebook.cells.filter((cell): cell is CodeCell => cell.cell_type === 'code');

  test('is of the open format, as the runner writes it', () => {
    expect(textOf(file)).toBe(serialiseNotebook(notebook));
  });

  test('its cells can be parsed, and were run in order without an error', () => {
    expect(cellsToModule(file, notebook).imports.length).toBeGreaterThan(0);
    expect(code.map(({ execution_count }) => execution_count)).toEqual(code.map((_, k) => k + 1));
    expect(code.flatMap(({ outputs }) => outputs).filter(({ output_type }) => output_type === 'error')).toEqual([]);
  });

  test('begins with question, source and method, and ends with published results beside ours', () => {
    const first = [notebook.cells[0].source].flat().join('');
    for (const word of ['# ', '**Question.**', '**Source', '**Method.**']) expect(first).toContain(word);
    expect(comparedRows(notebook).length).toBeGreaterThan(0);
  });

  test('a verdict is computed, not typed', () => {
    const typed = /^\s*sameDirection: '[^']*',?$/m;
    expect([code.at(-1)?.source ?? []].flat().join('')).not.toMatch(typed);
  });

  test('who is invented is said to be', () => {
    const invented = cellsToModule(file, notebook).imports.some(({ specifier }) => specifier.includes('lifters.ts'));
    if (invented) expect([notebook.cells[0].source].flat().join('')).toContain('**synthetic**');
  });

  test('asks for no address of its own: kernels of Jupyter run cells outside a module', () => {
    expect(code.map(({ source }) => [source].flat().join('')).join('\n')).not.toContain('import.meta');
  });

  test('names no place of a machine', () => {
    expect(textOf(file)).not.toMatch(/file:\/\/|\/(?:home|Users|work|tmp)\//);
  });
});

test('the table of docs/reproduced.md is that of the notebooks, figure for figure', () => {
  const document = readFileSync(fileURLToPath(new URL('../../docs/reproduced.md', import.meta.url)), 'utf8');
  const written = document
    .split('\n')
    .filter((line) => /^\| \[\d\d\]/.test(line))
    .map((line) =>
      line
        .split('|')
        .slice(1, -1)
        .map((cell) => cell.trim()),
    );
  const found = files.flatMap((file) =>
    comparedRows(notebookOf(file)).map((row) => [`[${file.slice(0, 2)}](../notebooks/${file})`, ...row]),
  );
  expect(written).toEqual(found);
});

test('two quick notebooks give again what they hold', async () => {
  const said: string[] = [];
  const code = await main(['--check', '--only', '02', '--only', '04'], folder, (line) => said.push(line));
  expect({ code, said }).toMatchObject({ code: 0 });
});
