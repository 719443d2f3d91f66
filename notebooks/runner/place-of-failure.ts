import type { Failure } from './cell-process.ts';
import type { CellModule } from './cells-to-module.ts';

/** Cell and line, from 1; 0 where not known. */
export interface Place {
  readonly cell: number;
  readonly line: number;
}

/**
 * Where a notebook failed: the innermost line of its own that the stack names; else the import that asked for what is not
 * there (found before any cell runs); else the cell that was running.
 */
export function placeOfFailure(url: string, { stack, text, index }: Failure, module: CellModule): Place {
  return placeInStack(stack, url, module) ?? placeOfImport(text, module) ?? { cell: (index ?? -1) + 1, line: 0 };
}

function placeInStack(stack: string, url: string, module: CellModule): Place | null {
  for (const frame of stack.split('\n')) {
    if (!/^\s*at /.test(frame)) continue;
    // With or without "file://".
    const at = frame.lastIndexOf(new URL(url).pathname);
    const line = at < 0 ? null : /^:(\d+)/.exec(frame.slice(at + new URL(url).pathname.length));
    const place = line && module.placeOf(Number(line[1]));
    if (place) return place;
  }
  return null;
}

function placeOfImport(message: string, { imports }: CellModule): Place | null {
  const bare = (specifier: string) => specifier.replace(/^(\.{0,2}\/)+/, '');
  const asking = imports.filter(({ specifier }) => message.includes(bare(specifier)));
  const found = asking.find(({ names }) => names.some((name) => message.includes(`'${name}'`))) ?? asking[0];
  return found ? { cell: found.cell, line: found.line } : null;
}
