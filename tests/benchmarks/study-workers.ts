import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { writeSmallStudy } from '../cluster/small-study.ts';

/*
 * What a second worker gains a study, all of it: analysing, reports, tables, figures.
 *   tsx tests/benchmarks/study-workers.ts [recordings of the stick figure, default 400] [--rounds 2]
 * Node compiles and collects garbage beside its own work, so that one worker alone keeps 1.3 to 1.5 cores busy. Two ratios,
 * therefore: against one worker that may use all cores, and against one held to a single core (taskset, Linux), which is what a
 * further core gains. Shortest time of the rounds. A quarter of an hour of two cores; writes docs/validation/study-workers.json.
 */
const args = process.argv.slice(2);
const at = args.indexOf('--rounds');
const rounds = at < 0 ? 2 : Number(args.splice(at, 2)[1]);
const count = Number(args[0] ?? 400);

const HELD = ['taskset', '-c', '0'];
const HOW = [
  { name: 'oneWorkerS', before: [], workers: 1 },
  { name: 'oneWorkerOnOneCoreS', before: HELD, workers: 1 },
  { name: 'twoWorkersS', before: [], workers: 2 },
] as const;
type Seconds = Record<(typeof HOW)[number]['name'], number>;

function secondsOf(command: readonly string[]): Promise<number> {
  const begun = performance.now();
  return new Promise((resolve, reject) => {
    const child = spawn(command[0], command.slice(1), { stdio: ['ignore', 'ignore', 'pipe'] });
    let said = '';
    child.stderr.on('data', (text) => {
      said += String(text);
    });
    child.on('error', reject);
    child.on('close', (code) => {
      if (code === 0) resolve((performance.now() - begun) / 1000);
      else reject(new Error(said));
    });
  });
}

async function measured(root: string, study: string, options: readonly string[]): Promise<Seconds> {
  const shortest: Seconds = {
    oneWorkerS: Number.POSITIVE_INFINITY,
    oneWorkerOnOneCoreS: Number.POSITIVE_INFINITY,
    twoWorkersS: Number.POSITIVE_INFINITY,
  };
  for (let round = 0; round < rounds; round++) {
    for (const { name, before, workers } of HOW) {
      const out = join(root, 'out');
      const command = ['src/cli/kneeward.mjs', 'study', study, '--out', out, '--quiet', '--workers', String(workers)];
      const seconds = await secondsOf([...before, process.execPath, ...command, ...options]);
      shortest[name] = Math.min(shortest[name], seconds);
      process.stderr.write(`${name} ${seconds.toFixed(1)}\n`);
      rmSync(out, { recursive: true, force: true });
    }
  }
  return shortest;
}

const root = mkdtempSync(join(tmpdir(), 'kneeward-workers-'));
try {
  const small = writeSmallStudy(join(root, 'lab'), count, 120);
  const studies = [
    {
      what: `${count} recordings of an invented stick figure, without intervals`,
      study: small,
      options: ['--no-intervals'],
    },
    { what: 'demo study, 10 recordings, with intervals', study: 'datasets/demo-study/study.yaml', options: [] },
  ];
  const rows: object[] = [];
  for (const { what, study, options } of studies) {
    const seconds = await measured(root, study, options);
    const { oneWorkerS, oneWorkerOnOneCoreS, twoWorkersS } = seconds;
    const gained = { overOneWorker: oneWorkerS / twoWorkersS, overOneCore: oneWorkerOnOneCoreS / twoWorkersS };
    rows.push({ what, ...seconds, ...gained });
  }
  const kept = {
    title: 'What a second worker gains a study',
    setting: `${rounds === 1 ? 'One round' : `Shortest of ${rounds} rounds`}; ${cpus().length} cores. The seconds depend on the machine, the ratios less so.`,
    rows,
  };
  const file = fileURLToPath(new URL('../../docs/validation/study-workers.json', import.meta.url));
  writeFileSync(file, `${JSON.stringify(kept, null, 2)}\n`);
  process.stdout.write(`${JSON.stringify(kept, null, 2)}\n`);
} finally {
  rmSync(root, { recursive: true, force: true });
}
