import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from '@jest/globals';
import { COMPLETION, recordingFolder, recordingsFolder, stateFolder } from '../../../src/cli/study/places.ts';
import { studyInterrupted } from '../../../src/messages/study-run.ts';
import { bundledRun } from './kill-runs.ts';
import { madeRecordings, resultsIn, writeMadeStudy } from './made-lifts.ts';

/* A run that is asked to end: by Ctrl-C, or by the system, as a cluster does before it kills. */

const folder = mkdtempSync(join(tmpdir(), 'kneeward-interrupt-'));
const file = writeMadeStudy(join(folder, 'study'), madeRecordings(12));
let program: string;
beforeAll(async () => {
  program = await bundledRun();
}, 120_000);
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
  rmSync(dirname(program), { recursive: true, force: true });
});

interface Ended {
  readonly code: number | null;
  readonly said: string;
}

/** Runs the study; `signal` is sent once its first lift is written. */
function run(out: string, signal: 'SIGINT' | 'SIGTERM' | null): Promise<Ended> {
  const child = spawn(process.execPath, [program, file, out, '1'], { stdio: ['ignore', 'ignore', 'pipe'] });
  let said = '';
  child.stderr.on('data', (text) => {
    said += String(text);
  });
  const ended = new Promise<Ended>((resolve) => child.on('close', (code) => resolve({ code, said })));
  const send = async () => {
    while (child.exitCode === null && !lifts(out)) await wait(1);
    child.kill(signal!);
  };
  if (signal !== null) void send();
  return ended;
}

/** Whether a lift lies at its place. Only folders that stay are listed: those a run works in vanish under a reader. */
const lifts = (out: string): boolean =>
  existsSync(recordingsFolder(out)) &&
  readdirSync(recordingsFolder(out)).some((id) => existsSync(join(recordingFolder(out, id), COMPLETION)));
const locks = (out: string): string[] => readdirSync(stateFolder(out)).filter((name) => name.startsWith('lock-'));

test.each([
  ['SIGINT', 130],
  ['SIGTERM', 143],
] as const)(
  '%s: the program ends with its code, says what is kept, and the next run makes up for it',
  async (signal, code) => {
    const whole = join(folder, `whole-${signal}`);
    expect((await run(whole, null)).code).toBe(0);
    const out = join(folder, `ended-${signal}`);
    const { code: found, said } = await run(out, signal);
    expect(found).toBe(code);
    expect(said).toContain(studyInterrupted());
    expect(locks(out)).toEqual([]);
    expect(Object.keys(resultsIn(out)).length).toBeLessThan(Object.keys(resultsIn(whole)).length);
    expect((await run(out, null)).code).toBe(0);
    expect(resultsIn(out)).toEqual(resultsIn(whole));
  },
  120_000,
);
