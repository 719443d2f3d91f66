import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type CodeCell, type Notebook, parseNotebook } from '../../notebooks/runner/notebook.ts';
import { runNotebook } from '../../notebooks/runner/run-notebook.ts';
import { joined } from '../../notebooks/runner/text-lines.ts';

/** A notebook of code cells (a text that begins with # is a markdown cell), as JSON of the format. */
export function made(cells: readonly string[], needs: readonly string[] = []): Notebook {
  return {
    cells: cells.map((source, k) =>
      source.startsWith('#')
        ? { cell_type: 'markdown', id: `cell-${k}`, metadata: {}, source }
        : { cell_type: 'code', id: `cell-${k}`, metadata: {}, source, execution_count: null, outputs: [] },
    ),
    metadata: {
      kernelspec: { name: 'deno', display_name: 'Deno' },
      language_info: { name: 'typescript' },
      ...(needs.length > 0 ? { kneeward: { needs: [...needs] } } : {}),
    },
    nbformat: 4,
    nbformat_minor: 5,
  };
}

/** A new folder with such notebooks; returns its path. */
export function folderWith(notebooks: Readonly<Record<string, Notebook | string>>): string {
  const folder = mkdtempSync(join(tmpdir(), 'notebooks-'));
  for (const [file, content] of Object.entries(notebooks)) {
    writeFileSync(join(folder, file), typeof content === 'string' ? content : JSON.stringify(content));
  }
  return folder;
}

/** Runs code cells; returns the run and, per code cell, its outputs with texts joined. */
export async function run(cells: readonly string[]) {
  const path = join(folderWith({ 'made.ipynb': made(cells) }), 'made.ipynb');
  const found = await runNotebook(path, parseNotebook('made.ipynb', JSON.stringify(made(cells))));
  const code = found.notebook.cells.filter((cell): cell is CodeCell => cell.cell_type === 'code');
  return { ...found, shown: code.map(({ outputs }) => outputs.map(shownText)), code };
}

function shownText(output: CodeCell['outputs'][number]): string {
  if (output.output_type === 'stream') return `${output.name}: ${joined(output.text)}`;
  if (output.output_type === 'error') return `error: ${output.ename}: ${output.evalue}`;
  return joined(output.data['text/plain'] as string[]);
}
