import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir, totalmem } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { TopLevelSpec } from 'vega-lite';
import { COMPLETION, recordingsFolder } from '../../src/cli/study/places.ts';
import { COLOUR, CONFIG } from '../../src/figures/look.ts';
import { renderSvg } from '../../src/figures/render-svg.ts';
import { writeSmallStudy } from '../cluster/small-study.ts';

/*
 * Memory of one run of a large study from its start to its end, with the time a recording takes.
 *   tsx tests/benchmarks/study-memory.ts [number of recordings, default 2000] [--workers 2] [--frames 120]
 * Resident sets from /proc (Linux), once a second. The recordings are those of an invented stick figure, without intervals. Writes
 * docs/validation/study-memory.json and docs/images/study-memory.svg. Eight minutes of two cores for 2,000.
 */
const args = process.argv.slice(2);
const option = (name: string, usual: number): number => {
  const at = args.indexOf(`--${name}`);
  return at < 0 ? usual : Number(args.splice(at, 2)[1]);
};
const workers = option('workers', 2);
const frames = option('frames', 120);
const count = Number(args[0] ?? 2000);

interface Sample {
  readonly timeS: number;
  /** Recordings whose own files are all written. */
  readonly recordings: number;
  /** The process that deals out and merges, and the largest of those that analyse, MB. */
  readonly ownMb: number;
  readonly workerMb: number;
}

const residentMb = (pid: number): number => {
  try {
    return Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? 0) / 1000;
  } catch {
    return 0;
  }
};

function childrenOf(pid: number): number[] {
  try {
    return readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').trim().split(/\s+/).filter(Boolean).map(Number);
  } catch {
    return [];
  }
}

/** Folders of recordings that are finished; once finished they stay so. */
function counter(out: string): () => number {
  const folder = recordingsFolder(out);
  const finished = new Set<string>();
  return () => {
    try {
      for (const entry of readdirSync(folder, { withFileTypes: true })) {
        if (!entry.isDirectory() || finished.has(entry.name)) continue;
        try {
          readFileSync(join(folder, entry.name, COMPLETION));
          finished.add(entry.name);
        } catch {
          // Not yet.
        }
      }
    } catch {
      // The folder is not there yet.
    }
    return finished.size;
  };
}

function followed(file: string, out: string): Promise<Sample[]> {
  const begun = performance.now();
  const done = counter(out);
  const samples: Sample[] = [];
  return new Promise((resolve, reject) => {
    const command = ['src/cli/kneeward.mjs', 'study', file, '--out', out, '--no-intervals', '--quiet'];
    const child = spawn(process.execPath, [...command, '--workers', String(workers)], {
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    let said = '';
    child.stderr.on('data', (text) => {
      said += String(text);
    });
    const watch = setInterval(() => {
      const sample: Sample = {
        timeS: (performance.now() - begun) / 1000,
        recordings: done(),
        ownMb: residentMb(child.pid!),
        workerMb: Math.max(0, ...childrenOf(child.pid!).map(residentMb)),
      };
      samples.push(sample);
      if (samples.length % 30 === 0) process.stderr.write(`${JSON.stringify(sample)}\n`);
    }, 1000);
    child.on('close', (code) => {
      clearInterval(watch);
      if (code === 0) resolve(samples);
      else reject(new Error(said));
    });
  });
}

function figureOf(samples: readonly Sample[], allAtS: number): TopLevelSpec {
  const values = samples.flatMap(({ timeS, ownMb, workerMb }) => [
    { min: timeS / 60, mb: ownMb, of: 'deals out and merges' },
    ...(timeS < allAtS ? [{ min: timeS / 60, mb: workerMb, of: 'largest of those that analyse' }] : []),
  ]);
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    width: 520,
    height: 240,
    title: { text: `Memory of a study of ${count} recordings`, anchor: 'start' },
    layer: [
      {
        data: { values },
        mark: { type: 'line', strokeWidth: 1.5 },
        encoding: {
          x: { field: 'min', type: 'quantitative', title: 'Time since the start (min)' },
          y: { field: 'mb', type: 'quantitative', title: 'Resident memory of the process (MB)', scale: { zero: true } },
          color: {
            field: 'of',
            type: 'nominal',
            title: null,
            scale: { range: [COLOUR.hip, COLOUR.knee] },
            legend: { orient: 'bottom', labelLimit: 0 },
          },
          strokeDash: {
            field: 'of',
            type: 'nominal',
            title: null,
            scale: {
              range: [
                [1, 0],
                [4, 3],
              ],
            },
          },
        },
      },
      {
        data: { values: [{ min: allAtS / 60, mb: 0, text: 'all analysed' }] },
        mark: { type: 'rule', color: COLOUR.quiet, strokeDash: [2, 3] },
        encoding: { x: { field: 'min', type: 'quantitative' } },
      },
      {
        data: { values: [{ min: allAtS / 60, text: 'all analysed' }] },
        mark: { type: 'text', align: 'right', dx: -4, y: 8, color: COLOUR.quiet, fontSize: 12 },
        encoding: { x: { field: 'min', type: 'quantitative' }, text: { field: 'text' } },
      },
    ],
  };
}

const largest = (samples: readonly Sample[], of: 'ownMb' | 'workerMb') =>
  Math.round(Math.max(0, ...samples.map((sample) => sample[of])));

const root = mkdtempSync(join(tmpdir(), 'kneeward-memory-'));
try {
  const samples = await followed(writeSmallStudy(join(root, 'lab'), count, frames), join(root, 'out'));
  const last = samples.at(-1)!;
  const allAtS = samples.find(({ recordings }) => recordings >= last.recordings)!.timeS;
  const analysing = samples.filter(({ timeS }) => timeS <= allAtS);
  const quarters = [0, 1, 2, 3].map((k) => {
    const [from, to] = [(k * count) / 4, ((k + 1) * count) / 4];
    const own = analysing.filter(({ recordings }) => recordings > from && recordings <= to);
    const [first, end] = [own[0], own.at(-1)];
    return {
      recordings: `${from} to ${to}`,
      ownMb: largest(own, 'ownMb'),
      workerMb: largest(own, 'workerMb'),
      secondsARecording: first && end ? (end.timeS - first.timeS) / (end.recordings - first.recordings) : null,
    };
  });
  const kept = {
    title: 'Memory and time of a large study',
    setting: `${count} recordings of an invented stick figure, ${frames} frames each, without intervals; ${workers} workers; ${cpus().length} cores, ${Math.round(totalmem() / 1e9)} GB. Times depend on the machine.`,
    recordings: last.recordings,
    analysingS: Math.round(allAtS),
    mergingS: Math.round(last.timeS - allAtS),
    secondsARecording: last.timeS / last.recordings,
    quarters,
    merging: {
      ownMb: largest(
        samples.filter(({ timeS }) => timeS > allAtS),
        'ownMb',
      ),
    },
  };
  const file = (path: string) => fileURLToPath(new URL(`../../docs/${path}`, import.meta.url));
  writeFileSync(file('validation/study-memory.json'), `${JSON.stringify(kept, null, 2)}\n`);
  const thinned = samples.filter((_, i) => i % Math.ceil(samples.length / 300) === 0);
  const title = `Resident memory against time while a study of ${count} recordings is analysed and merged`;
  const drawn = await renderSvg(figureOf(thinned, allAtS));
  // A picture that stands alone in the documents has a name for those who hear it.
  writeFileSync(file('images/study-memory.svg'), drawn.replace(/<svg[^>]*>/, `$&<title>${title}</title>`));
  process.stdout.write(`${JSON.stringify(kept, null, 2)}\n`);
} finally {
  rmSync(root, { recursive: true, force: true });
}
