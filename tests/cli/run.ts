import { spawn } from 'node:child_process';
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

/** The program in a process of its own, where that is what is tested: it takes longer to start than a short film to analyse. */
export function runApart(...args: string[]): Promise<Ran> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, ['src/cli/kneeward.mjs', ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
    const said = { stdout: '', stderr: '' };
    for (const stream of ['stdout', 'stderr'] as const) {
      child[stream].setEncoding('utf8').on('data', (text: string) => {
        said[stream] += text;
      });
    }
    child.on('close', (code) => resolve({ code: code ?? -1, ...said }));
  });
}
