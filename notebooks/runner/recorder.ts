import { inspect } from 'node:util';
import type { Output } from './notebook.ts';
import { lines } from './text-lines.ts';

/** What a cell gives when it runs. */
export interface Ran {
  readonly outputs: Output[];
  readonly executionCount: number;
}

/** Where the running module finds its recorder: `globalThis[Symbol.for(RECORDER)]`. */
export const RECORDER = 'kneeward notebook recorder';

/** Kernels of Jupyter for TypeScript (Deno's) show an object by this method, which gives a bundle of MIME types. */
const DISPLAY = Symbol.for('Jupyter.display');

/** Collects what cells print and what they are worth, in the terms of the notebook format. */
export class Recorder {
  /** By index of the cell in the notebook. */
  readonly ran = new Map<number, Ran>();
  private current: Ran = { outputs: [], executionCount: 0 };

  begin(index: number): void {
    this.current = { outputs: [], executionCount: this.ran.size + 1 };
    this.ran.set(index, this.current);
  }

  /** What goes to the console; adjoining pieces of one stream are one output. */
  write(name: 'stdout' | 'stderr', text: string): void {
    if (text === '') return;
    const last = this.current.outputs.at(-1);
    if (last?.output_type === 'stream' && last.name === name) {
      last.text = lines((last.text as string[]).join('') + text);
    } else {
      this.current.outputs.push({ output_type: 'stream', name, text: lines(text) });
    }
  }

  /** What stopped the cell that was running. */
  error(name: string, text: string): void {
    this.current.outputs.push({ output_type: 'error', ename: name, evalue: text, traceback: [`${name}: ${text}`] });
  }

  /** The value of a cell's last expression; nothing is shown for undefined. */
  async value(value: unknown): Promise<void> {
    if (value === undefined) return;
    const { outputs, executionCount } = this.current;
    const data = await bundleOf(value);
    outputs.push({ output_type: 'execute_result', execution_count: executionCount, data, metadata: {} });
  }
}

async function bundleOf(value: unknown): Promise<Record<string, unknown>> {
  const display = (value as { [DISPLAY]?: unknown } | null)?.[DISPLAY];
  if (typeof display !== 'function') {
    return { 'text/plain': lines(inspect(value, { colors: false, depth: 4, breakLength: 100 })) };
  }
  const bundle: unknown = await display.call(value);
  if (bundle === null || typeof bundle !== 'object') {
    throw new TypeError('a value with Symbol.for("Jupyter.display") gave no bundle of MIME types');
  }
  return Object.fromEntries(
    Object.entries(bundle).map(([type, content]) => [type, typeof content === 'string' ? lines(content) : content]),
  );
}
