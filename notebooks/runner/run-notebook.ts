import { fork } from 'node:child_process';
import { createRequire } from 'node:module';
import { basename, dirname } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import type { Asked, Told } from './cell-process.ts';
import { cellsToModule } from './cells-to-module.ts';
import { cellFailed, notebookDied } from './messages.ts';
import type { Cell, Notebook } from './notebook.ts';
import { placeOfFailure } from './place-of-failure.ts';
import { stripTypes } from './strip-types.ts';

const PROCESS = fileURLToPath(new URL('./cell-process.ts', import.meta.url));
const STRIP_TYPES = pathToFileURL(createRequire(import.meta.url).resolve('tsx')).href;

/** A notebook with the outputs of a run, and what stopped the run, if anything did. */
export interface NotebookRun {
  readonly notebook: Notebook;
  readonly failed: Error | null;
}

/**
 * Runs the code cells of a notebook in order, in a process of its own that starts in the notebook's folder (as Jupyter does).
 *
 * path: where the notebook stands, for its imports. The result has new outputs and counts for every code cell; the cells
 * after a failed one have none. Errors: notebook-cell-failed for cells that cannot be parsed; what goes wrong while they run
 * is in `failed` (notebook-cell-failed, notebook-died).
 */
export async function runNotebook(path: string, notebook: Notebook): Promise<NotebookRun> {
  const file = basename(path);
  const url = pathToFileURL(path).href;
  const module = cellsToModule(file, notebook);
  const { told, code, printed } = await inOwnProcess(dirname(path), { url, source: stripTypes(file, module) });
  if (!told) return { notebook: withOutputs(notebook, []), failed: notebookDied(file, code, printed) };
  const { ran, failed } = told;
  if (!failed) return { notebook: withOutputs(notebook, ran), failed: null };
  const { cell, line } = placeOfFailure(url, failed, module);
  return {
    notebook: withOutputs(notebook, ran),
    failed: cellFailed(file, cell, line, `${failed.name}: ${failed.text}`),
  };
}

function inOwnProcess(folder: string, asked: Asked): Promise<{ told: Told | null; code: number; printed: string }> {
  return new Promise((done, fail) => {
    const { FORCE_COLOR: _, NODE_OPTIONS: __, ...environment } = process.env;
    const child = fork(PROCESS, [], {
      cwd: folder,
      execArgv: ['--import', STRIP_TYPES, '--no-warnings=ExperimentalWarning'],
      env: { ...environment, NO_COLOR: '1', TZ: 'UTC', COLUMNS: '100' },
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
    });
    let told: Told | null = null;
    let printed = '';
    child.stderr!.on('data', (chunk) => {
      printed += chunk;
    });
    child.on('message', (message) => {
      told = message as Told;
    });
    child.on('error', fail);
    child.on('close', (code) => done({ told, code: code ?? -1, printed: printed.trim() }));
    child.send(asked);
  });
}

function withOutputs(notebook: Notebook, ran: Told['ran']): Notebook {
  const byIndex = new Map(ran);
  const cells = notebook.cells.map((cell, index): Cell => {
    if (cell.cell_type !== 'code') return cell;
    const { executionCount, outputs } = byIndex.get(index) ?? { executionCount: null, outputs: [] };
    return { ...cell, execution_count: executionCount, outputs };
  });
  return { ...notebook, cells };
}
