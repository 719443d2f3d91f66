import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writeSmallStudy } from '../cluster/small-study.ts';

/*
 * Memory of a study against its number of recordings.
 *   tsx tests/benchmarks/study.ts [numbers of recordings, default 50 100 200] [--frames 120]
 * Ratios within one run of this script. Largest resident set of the process that merges, from /proc (Linux); the recordings are
 * those of an invented stick figure, without intervals.
 */
const args = process.argv.slice(2);
const at = args.indexOf('--frames');
const frames = at < 0 ? 120 : Number(args.splice(at, 2)[1]);
const counts = args.length > 0 ? args.map(Number) : [50, 100, 200];

/** Runs the command; the largest resident set of its own process, MB, workers not counted. */
function largestOf(...of: string[]): Promise<number> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, ['src/cli/kneeward.mjs', 'study', ...of, '--no-intervals', '--quiet'], {
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    let largestMb = Number.NaN;
    let said = '';
    child.stderr.on('data', (text) => {
      said += String(text);
    });
    const watch = setInterval(() => {
      try {
        const kb = /VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'))?.[1];
        if (kb) largestMb = Number(kb) / 1000;
      } catch {
        // Not on Linux, or gone by now.
      }
    }, 20);
    child.on('close', (code) => {
      clearInterval(watch);
      if (code === 0) resolve(largestMb);
      else reject(new Error(said));
    });
  });
}

const root = mkdtempSync(join(tmpdir(), 'kneeward-bench-'));
try {
  process.stdout.write('recordings  frames.csv MB  merging: largest MB  against the first\n');
  let first = 0;
  for (const count of counts) {
    const file = writeSmallStudy(join(root, `lab-${count}`), count, frames);
    const out = join(root, `out-${count}`);
    await largestOf(file, '--out', out, '--part', '1', '--of', '1');
    const largestMb = await largestOf(file, '--out', out, '--merge', '--workers', '1');
    if (first === 0) first = largestMb;
    const tableMb = statSync(join(out, 'frames.csv')).size / 1e6;
    process.stdout.write(
      `${String(count).padStart(10)}  ${tableMb.toFixed(1).padStart(13)}  ${largestMb.toFixed(0).padStart(19)}  ${(largestMb / first).toFixed(2).padStart(17)}\n`,
    );
  }
} finally {
  rmSync(root, { recursive: true, force: true });
}
