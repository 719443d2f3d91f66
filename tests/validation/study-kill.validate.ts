import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { crashRuns } from '../cli/study/crash-runs.ts';
import { bundledRun, killRuns } from '../cli/study/kill-runs.ts';
import { madeRecordings, writeMadeStudy } from '../cli/study/made-lifts.ts';
import { writeSmallStudy } from '../cluster/small-study.ts';
import type { Validation } from './result.ts';

const SEED = 20260719;
/** Kills of a run that only writes files, and of the real command with two processes. */
const KILLS = 170;
const REAL_KILLS = 30;

export const validation: Validation = {
  name: 'study-kill',
  title: 'A study killed at any instant goes on to the bytes of an undisturbed run',
  async run(scale, progress) {
    const folder = mkdtempSync(join(tmpdir(), 'kneeward-study-kill-'));
    const [kills, realKills] = [Math.ceil(scale * KILLS), Math.ceil(scale * REAL_KILLS)];
    const step = Math.max(1, Math.round(1 / scale));
    const program = await bundledRun();
    try {
      const made = writeMadeStudy(join(folder, 'made'), madeRecordings(12));
      const inFolder = (name: string) => join(folder, name);
      const killed = await killRuns(
        (out, seed) => [program, made, out, String(seed)],
        inFolder('a'),
        kills,
        SEED,
        'begins',
        (done) => progress(done, kills + realKills),
      );
      const real = writeSmallStudy(inFolder('real'), 4, 120);
      const options = ['--no-intervals', '--quiet', '--workers', '2'];
      const command = (out: string, seed: number) => [
        'src/cli/kneeward.mjs',
        ...['study', real, '--out', out, '--seed', String(seed), ...options],
      ];
      const realKilled = await killRuns(command, inFolder('b'), realKills, SEED + 1, '', (done) =>
        progress(kills + done, kills + realKills),
      );
      const first = await crashRuns(inFolder('c'), false, 0, step);
      const over = await crashRuns(inFolder('d'), true, 0, step);
      const none = { unit: '', from: 0, to: 0 };
      return {
        seed: SEED,
        setting:
          'SIGKILL at instants drawn uniformly over the length of a run, of a study of twelve recordings whose results are made up ' +
          'and of the command with two processes on four recordings of a stick figure, over empty folders and over results of ' +
          'another seed; and a power failure before every single change that a run makes to its folder. Files of completed runs ' +
          'are compared byte by byte with those of an undisturbed run.',
        rows: [
          {
            what: 'files that differ after kills, made-up results',
            runs: killed.kills,
            value: killed.different.length,
            ...none,
          },
          {
            what: 'files that differ after kills, two processes',
            runs: realKilled.kills,
            value: realKilled.different.length,
            ...none,
          },
          {
            what: 'kills that fell into the writing',
            runs: killed.kills,
            value: killed.inTheMiddle / killed.kills,
            unit: '1',
            from: 0.5,
            to: 1,
          },
          {
            what: 'faults after a power failure, first run',
            runs: first.instants,
            value: first.faults.length,
            ...none,
          },
          {
            what: 'faults after a power failure, over other results',
            runs: over.instants,
            value: over.faults.length,
            ...none,
          },
        ],
      };
    } finally {
      rmSync(folder, { recursive: true, force: true });
      rmSync(dirname(program), { recursive: true, force: true });
    }
  },
};
