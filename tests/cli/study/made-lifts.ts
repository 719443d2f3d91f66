import { mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { loadStudy } from '../../../src/capture/load-study.ts';
import type { CohortFolder } from '../../../src/cli/study/cohort-outputs.ts';
import { realDisk } from '../../../src/cli/study/disk.ts';
import type { doJob } from '../../../src/cli/study/jobs.ts';
import { writeLift } from '../../../src/cli/study/lift-job.ts';
import { ingredientsOf, keyOf } from '../../../src/cli/study/lift-key.ts';
import type { PlannedLift } from '../../../src/cli/study/planned-lifts.ts';
import { reportJob } from '../../../src/cli/study/report-job.ts';
import { type RunMeans, type RunResult, runStudy, type StudyRun } from '../../../src/cli/study/run-study.ts';
import { APPENDED_TABLES } from '../../../src/cli/study/study-tables.ts';
import { marked, PREVIOUS_PLACES } from '../../../src/report/previous-marks.ts';
import { withPrevious } from '../../../src/report/previous-parts.ts';
import { cellText } from '../../../src/study/csv.ts';
import { jsonText } from '../../../src/study/json-text.ts';
import type { SetMean } from '../../../src/study/set-means.ts';
import type { ScenePayload } from '../../../src/web/scene/payload.ts';

/*
 * A study whose recordings are not analysed but made up from the digest of their input file: everything that a run does with
 * files, at a thousandth of the time. No number in it is a measurement.
 */

export interface MadeRecording {
  readonly id: string;
  readonly athlete: string;
  readonly date: string;
  readonly loadKg: number;
}

/** Three lifters; dates and ids in different orders, so that the previous lift is not the one before it by id. */
export function madeRecordings(count: number): MadeRecording[] {
  return Array.from({ length: count }, (_, i) => ({
    id: `r${String((7 * i) % 100).padStart(2, '0')}`,
    athlete: `L${i % 3}`,
    date: `2026-03-${String(1 + ((5 * i) % 28)).padStart(2, '0')}`,
    // One load: pictures across loads are drawn elsewhere, and take longer than all the rest.
    loadKg: 40,
  }));
}

/** Writes study, recordings and one input file each; returns the path of the study. */
export function writeMadeStudy(folder: string, recordings: readonly MadeRecording[]): string {
  mkdirSync(folder, { recursive: true });
  for (const name of readdirSync(folder)) if (/^r.*\.yaml$/.test(name)) rmSync(join(folder, name));
  for (const { id, athlete, date, loadKg } of recordings) {
    writeFileSync(
      join(folder, `${id}.yaml`),
      `kneeward: 1\nrecording: ${id}\ndate: ${date}\nathlete: { id: ${athlete}, mass_kg: 80 }\nlift: { kind: squat }\n` +
        `load: { total_kg: ${loadKg}, bar: { position: high back } }\n` +
        `landmarks_3d: { file: ${id}.csv, frame_rate_hz: 100, unit: m, axes: { forward: "+x", up: "+y" } }\n`,
    );
    writeFileSync(join(folder, `${id}.csv`), `points of ${id}\n`);
  }
  const study = join(folder, 'study.yaml');
  writeFileSync(study, 'kneeward: 1\nstudy: made\nsynthetic: true\nrecordings: ["r*.yaml"]\n');
  return study;
}

/** A job done as quickly as files are written; an input file that begins with "bad" is refused. */
export const madeJob: typeof doJob = async (job, setting) => {
  if (job.kind === 'report') return reportJob(job, setting);
  const of = ingredientsOf(job.lift, setting.study, setting.options);
  const key = keyOf(of);
  const points = readFileSync(join(setting.study.file, '..', `${job.lift.recording.id}.csv`), 'utf8');
  if (points.startsWith('bad')) {
    return { state: 'refused', code: 'made', message: `${job.lift.file}: made to be refused`, key };
  }
  const { recording } = job.lift;
  const numbers = numbersOf(points);
  return writeLift(job.work, {
    of,
    key,
    grade: 'good',
    row: {
      recordingId: recording.id,
      lifter: recording.athlete.id,
      condition: '',
      lift: recording.lift.kind,
      loadKg: recording.load.totalKg,
      hipShareAtParallel: null,
      hipShareAtBottom: null,
      largestLeanDeg: null,
      start: 'unknown',
      grade: 'good',
      synthetic: true,
    },
    files: madeFiles(job.lift, numbers),
    kept: { means: [meanOf(numbers)], record: { measures: [], repetitions: [] }, curves: [] },
    scene: madeScene(job.lift, numbers),
  });
};

/** Eight numbers from 0 to 1 that any change of the text changes. */
function numbersOf(text: string): number[] {
  let state = 2166136261;
  for (const character of text) state = Math.imul(state ^ character.charCodeAt(0), 16777619);
  return Array.from({ length: 8 }, (_, i) => {
    state = Math.imul(state ^ (state >>> 13) ^ i, 16777619);
    return (state >>> 0) / 2 ** 32;
  });
}

function madeFiles({ recording }: PlannedLift, numbers: readonly number[]): Map<string, string> {
  const { id } = recording;
  const files = new Map<string, string>();
  const own = Number(id.slice(1)) % 3;
  for (const [t, name] of APPENDED_TABLES.entries()) {
    // Columns differ between recordings; some tables have no rows.
    const columns = ['recording_id', ...(own === 1 ? ['b', 'a'] : ['a']), ...(own === 2 ? ['c'] : [])];
    const rows =
      (own + t) % 4 === 3 ? [] : numbers.map((value) => [id, ...columns.slice(1).map(() => cellText(value))]);
    files.set(name, `${[columns, ...rows].map((row) => row.join(',')).join('\n')}\n`);
  }
  files.set('quality.json', jsonText({ recording_id: id, values: numbers }));
  files.set('provenance.json', jsonText({ tool: 'kneeward', recording_id: id, inputs: [{ file: `${id}.csv` }] }));
  files.set('figures/time-course.svg', `<svg>${numbers[0]}</svg>`);
  const blank = PREVIOUS_PLACES.map((place) => marked(place, null).text).join('');
  files.set('report.html', withPrevious(`<p>${recording.id} ${numbers[0]}</p>${blank}\n`, null, recording)!);
  return files;
}

const meanOf = ([value, effect, noise]: readonly number[]): SetMean => ({
  measure: 'hip_share',
  side: 'both',
  at: 'parallel',
  unit: '1',
  value,
  repetitions: 3,
  lower: value - 0.1,
  upper: value + 0.1,
  sd: 0.05,
  reason: '',
  shares: [Number.NaN],
  effects: new Map([['shared', effect]]),
  noiseVariance: noise / 100,
  noiseFreedom: 3,
  drawn: null,
});

function madeScene({ recording }: PlannedLift, numbers: readonly number[]): ScenePayload {
  return {
    about: { recording: recording.id, lifter: recording.athlete.id, lift: 'Squat', date: '', synthetic: true },
    frames: 2,
    frameRateHz: 100,
    startS: 0,
    points: ['left_hip'],
    position: Float32Array.from(numbers.slice(0, 6)),
    series: {},
    bar: null,
    weightN: 800,
    repetitions: [],
    marks: [],
  };
}

/** A run of a made study in this process. */
export function runMade(
  file: string,
  out: string,
  how: Partial<StudyRun> = {},
  means: Partial<RunMeans> = {},
): Promise<RunResult> {
  const run = {
    options: { intervals: false },
    out,
    workers: 1,
    fresh: false,
    takesOver: false,
    resumable: true,
    quiet: true,
    ...how,
  };
  return runStudy({ study: loadStudy(file), ...run }, { disk: realDisk, work: madeJob, ...means });
}

/** The folder of a study as its comparison and figures see it, for tests that write them alone. */
export const plainFolder = (out: string): CohortFolder => ({
  put(files) {
    for (const [name, content] of files) {
      mkdirSync(dirname(join(out, name)), { recursive: true });
      writeFileSync(join(out, name), content);
    }
  },
  drop: (name) => rmSync(join(out, name), { force: true }),
});

/** Every file under a folder but what only going on needs, path → bytes as text. */
export function resultsIn(folder: string): Record<string, string> {
  const found: Record<string, string> = {};
  for (const name of readdirSync(folder, { recursive: true, encoding: 'utf8' }).sort()) {
    if (name.split('/').includes('.study') || statSync(join(folder, name)).isDirectory()) continue;
    found[name] = readFileSync(join(folder, name), 'latin1');
  }
  return found;
}
