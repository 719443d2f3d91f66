import { spawn } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { seededRandom } from '../../../src/numerics/random.ts';
import { resultsIn } from './made-lifts.ts';

export interface KillResult {
  readonly kills: number;
  /** Runs that came to their end between kills, each compared. */
  readonly completions: number;
  /** Files of them that were not those of an undisturbed run; with the folder and the run. */
  readonly different: readonly string[];
  /** Kills after which something was left of the run (a recording, a table, a lock), so that it did fall into one. */
  readonly inTheMiddle: number;
}

/** A command line of the program under test for one output folder; `seed` changes every result. */
export type CommandFor = (out: string, seed: number) => readonly string[];

/**
 * Runs a study over and over and kills it (SIGKILL) at instants drawn uniformly from the length of an undisturbed run. A run
 * that comes to its end is compared with the undisturbed one byte by byte; then the folder is emptied, or the next runs go
 * over its results with another seed, in turn.
 *
 * @param begins what the program says when it begins; '' = it begins when it is started
 */
export async function killRuns(
  command: CommandFor,
  folder: string,
  kills: number,
  seed: number,
  begins: string,
  progress: (done: number) => void = () => {},
): Promise<KillResult> {
  const random = seededRandom(seed);
  const wanted: Record<string, string>[] = [];
  let lengthMs = 0;
  for (const s of [1, 2]) {
    const { ms } = await once(command(join(folder, `clean-${s}`), s), begins, null);
    wanted.push(resultsIn(join(folder, `clean-${s}`)));
    lengthMs = Math.max(lengthMs, ms);
  }
  const out = join(folder, 'killed');
  let [killed, completions, inTheMiddle, cycle] = [0, 0, 0, 0];
  const different: string[] = [];
  while (killed < kills) {
    const run = 1 + (cycle % 2);
    const { ended } = await once(command(out, run), begins, 1.05 * lengthMs * random.uniform());
    if (!ended) {
      killed++;
      if (somethingIsLeft(out)) inTheMiddle++;
      progress(killed);
      continue;
    }
    completions++;
    different.push(...differences(resultsIn(out), wanted[run - 1]).map((name) => `${name} (run ${completions})`));
    cycle++;
    if (cycle % 3 === 0) rmSync(out, { recursive: true, force: true });
  }
  // The last one undisturbed.
  const run = 1 + (cycle % 2);
  await once(command(out, run), begins, null);
  different.push(...differences(resultsIn(out), wanted[run - 1]).map((name) => `${name} (at the end)`));
  return { kills: killed, completions: completions + 1, different, inTheMiddle };
}

function differences(found: Record<string, string>, wanted: Record<string, string>): string[] {
  const names = new Set([...Object.keys(found), ...Object.keys(wanted)]);
  return [...names].filter((name) => found[name] !== wanted[name]);
}

/** A lock is there as long as a run is under way, and stays where it was killed. */
function somethingIsLeft(out: string): boolean {
  try {
    return Object.keys(resultsIn(out)).length > 0;
  } catch {
    return false;
  }
}

/** Runs a program and kills it `killAfterMs` after it begins; null = not. */
function once(
  args: readonly string[],
  begins: string,
  killAfterMs: number | null,
): Promise<{ readonly ended: boolean; readonly ms: number }> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'pipe'] });
    let from = 0;
    let said = '';
    const begin = () => {
      if (from > 0) return;
      from = performance.now();
      if (killAfterMs !== null) setTimeout(() => child.kill('SIGKILL'), killAfterMs).unref();
    };
    child.stdout.on('data', (text) => {
      if (String(text).includes(begins)) begin();
    });
    child.stderr.on('data', (text) => {
      said += String(text);
    });
    if (begins === '') begin();
    child.on('close', (code, signal) => {
      const ms = performance.now() - from;
      if (signal === 'SIGKILL') resolve({ ended: false, ms });
      else if (code === 0) resolve({ ended: true, ms });
      else reject(new Error(`exit code ${code}: ${said}`));
    });
  });
}

const PROJECT = fileURLToPath(new URL('../../../', import.meta.url));

/**
 * killed-run.ts as one file, which starts several times as fast as the sources: a kill should fall into a run and not into
 * the start. Beside the packages, which it needs. Returns its path; its folder is for the caller to remove.
 */
export async function bundledRun(): Promise<string> {
  const outfile = join(PROJECT, 'node_modules', '.cache', `kneeward-killed-run-${process.pid}`, 'run.mjs');
  mkdirSync(dirname(outfile), { recursive: true });
  await build({
    entryPoints: [join(PROJECT, 'tests/cli/study/killed-run.ts')],
    outfile,
    bundle: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    packages: 'external',
    tsconfigRaw: {},
    plugins: [
      {
        name: 'files of the package are found from where the source lies',
        setup(context) {
          context.onLoad({ filter: /[\\/](src|tests)[\\/].*\.ts$/ }, ({ path }) => ({
            contents: readFileSync(path, 'utf8').replaceAll(
              'import.meta.url',
              JSON.stringify(pathToFileURL(path).href),
            ),
            loader: 'ts',
          }));
        },
      },
    ],
  });
  return outfile;
}
