import { isDeepStrictEqual } from 'node:util';
import { outputsDiffer } from './messages.ts';
import type { CodeCell, Notebook } from './notebook.ts';
import { joined, lines } from './text-lines.ts';

/** Null where a run gave what is stored, else the error that says where it first does not (notebook-outputs-differ). */
export function differenceOf(file: string, stored: Notebook, found: Notebook): Error | null {
  for (let index = 0; index < stored.cells.length; index++) {
    const [was, is] = [stored.cells[index], found.cells[index]];
    if (was.cell_type !== 'code' || is.cell_type !== 'code') continue;
    // Through JSON: what came from another process has arrays of another make, and undefined is not stored.
    const [before, now] = [plain(was), plain(is)].map((one): unknown => JSON.parse(JSON.stringify(one)));
    if (isDeepStrictEqual(before, now)) continue;
    const [old, fresh] = [before, now].map((one) => JSON.stringify(one, null, 1).split('\n'));
    const at = old.findIndex((line, k) => line !== fresh[k]);
    const first = at < 0 ? old.length : at;
    return outputsDiffer(file, index + 1, old[first] ?? '(nothing)', fresh[first] ?? '(nothing)');
  }
  return null;
}

/** Outputs of a cell, texts as lists of lines whichever way they are stored. */
function plain({ execution_count, outputs }: CodeCell): unknown {
  const texts = (content: unknown) =>
    typeof content === 'string' || (Array.isArray(content) && content.every((one) => typeof one === 'string'))
      ? lines(joined(content as string | string[]))
      : content;
  return {
    execution_count,
    outputs: outputs.map((output) => {
      if (output.output_type === 'stream') return { ...output, text: texts(output.text) };
      if (output.output_type === 'error') return output;
      const data = Object.entries(output.data).map(([type, content]) => [type, texts(content)]);
      return { ...output, data: Object.fromEntries(data) };
    }),
  };
}
