import { jest } from '@jest/globals';
import { main } from '../../src/cli/main.ts';

export interface Ran {
  readonly code: number;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs a command line in this process and returns what it said. */
export async function run(...args: string[]): Promise<Ran> {
  const said = { stdout: '', stderr: '' };
  const catching = (stream: 'stdout' | 'stderr') =>
    jest.spyOn(process[stream], 'write').mockImplementation((text) => {
      said[stream] += String(text);
      return true;
    });
  const spies = [catching('stdout'), catching('stderr')];
  try {
    return { code: await main(args), ...said };
  } finally {
    for (const spy of spies) spy.mockRestore();
  }
}
