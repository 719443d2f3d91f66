import { COMPARED_COLUMNS } from '../show.ts';
import type { CodeCell, Notebook } from './notebook.ts';
import { joined } from './text-lines.ts';

/** Rows of a notebook's last table, published results beside ours, as cells of text. */
export function comparedRows({ cells }: Notebook): string[][] {
  const code = cells.filter((cell): cell is CodeCell => cell.cell_type === 'code');
  const result = code.at(-1)?.outputs.find(({ output_type }) => output_type === 'execute_result');
  if (result?.output_type !== 'execute_result') return [];
  const [head, ...rows] = joined(result.data['text/plain'] as string[])
    .split('\n')
    .map((line) => line.split('\t'));
  return head.join() === COMPARED_COLUMNS.join() ? rows : [];
}
