import { register } from 'node:module';
import { type Ran, RECORDER, Recorder } from './recorder.ts';

/** What the process of a notebook is asked to run: JavaScript with its source map, under the notebook's address. */
export interface Asked {
  readonly url: string;
  readonly source: string;
}

/** What it tells its parent. */
export interface Told {
  readonly ran: readonly (readonly [index: number, ran: Ran])[];
  readonly failed: Failure | null;
}

export interface Failure {
  readonly name: string;
  readonly text: string;
  readonly stack: string;
  /** Index of the cell that was running; null where none was yet. */
  readonly index: number | null;
}

process.once('message', (asked) => runHere(asked as Asked));

async function runHere(asked: Asked): Promise<void> {
  process.setSourceMapsEnabled(true);
  register('./one-module.mjs', import.meta.url, { data: asked });
  const recorder = new Recorder();
  (globalThis as Record<symbol, unknown>)[Symbol.for(RECORDER)] = recorder;
  for (const name of ['stdout', 'stderr'] as const) catchWrites(name, recorder);
  let failed: Failure | null = null;
  try {
    await Promise.race([import(asked.url), lostRejection()]);
  } catch (error) {
    failed = failureOf(error, recorder);
  }
  const told: Told = { ran: [...recorder.ran], failed };
  // A server or timer that a cell left open must not keep the process.
  process.send!(told, () => process.exit(0));
}

/** What a program prints goes to the cell that is running. */
function catchWrites(name: 'stdout' | 'stderr', recorder: Recorder): void {
  process[name].write = (chunk: string | Uint8Array, ...rest: unknown[]): boolean => {
    recorder.write(name, typeof chunk === 'string' ? chunk : Buffer.from(chunk).toString('utf8'));
    const done = rest.find((one) => typeof one === 'function') as (() => void) | undefined;
    done?.();
    return true;
  };
}

/** Settles only by a promise that a cell started and nobody caught. */
function lostRejection(): Promise<never> {
  return new Promise((_, reject) => {
    process.once('unhandledRejection', reject);
    process.once('uncaughtException', reject);
  });
}

function failureOf(error: unknown, recorder: Recorder): Failure {
  const { name, message, stack = '' } = error instanceof Error ? error : { name: 'Error', message: String(error) };
  const index = [...recorder.ran.keys()].at(-1) ?? null;
  if (index !== null) recorder.error(name, message);
  return { name, text: message, stack, index };
}
