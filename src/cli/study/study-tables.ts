import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Study } from '../../capture/recording.ts';
import { withCohort } from '../../report/cohort-part.ts';
import { studyReportHtml } from '../../report/study-report.ts';
import { csvOf } from '../../study/csv.ts';
import { jsonText } from '../../study/json-text.ts';
import { athletesTable, recordingsTable } from '../../study/tables.ts';
import { toolVersion } from '../package-files.ts';
import { appendComparisons } from './append-comparisons.ts';
import { appendLoadChanges } from './append-load-changes.ts';
import { appendTables, type RecordedFile, readRecorded } from './append-tables.ts';
import { weekChangesCsv, weeksCsv, weeksOf } from './append-weeks.ts';
import type { Failure, ThereLift } from './complete-lifts.ts';
import { readState, sizeOf } from './completion.ts';
import { type Appending, type Disk, exchange } from './disk.ts';
import { exactText } from './exact-json.ts';
import { digestOf } from './input-files.ts';
import { TABLES_STATE } from './places.ts';
import { toolDigest } from './tool-digest.ts';

/** Tables that the recordings' own are put together to, in the order of the index. */
export const APPENDED_TABLES = [
  'frames.csv',
  'moments.csv',
  'moment-axes.csv',
  'curves.csv',
  'repetitions.csv',
  'measures.csv',
  'means.csv',
  'causes.csv',
  'residual.csv',
  'segment-tables.csv',
  'set-changes.csv',
  'findings.csv',
] as const;

/** Tables of the study that are made of all its recordings. */
export const WHOLE_TABLES = [
  'athletes.csv',
  'recordings.csv',
  'comparisons.csv',
  'load-changes.csv',
  'weeks.csv',
  'week-changes.csv',
] as const;

/** Records that are put together to a list. */
export const APPENDED_RECORDS = ['quality.json', 'provenance.json'] as const;

/** Page of the study. */
export const INDEX = 'index.html';

type StudyFile =
  | (typeof APPENDED_TABLES)[number]
  | (typeof WHOLE_TABLES)[number]
  | (typeof APPENDED_RECORDS)[number]
  | typeof INDEX;

export interface StudyTables {
  readonly study: Study;
  /** By id. */
  readonly lifts: readonly ThereLift[];
  readonly failures: readonly Failure[];
}

/** What comparison and figures of a study start from: the study's folder with its tables, and the lifts that they hold. */
export interface WrittenStudy extends StudyTables {
  /** Folder of the study. */
  readonly out: string;
}

/**
 * Writes the tables and the index of a study. Recordings are read one after the other, so that the memory does not grow with
 * their tables; everything is written in the work folder and renamed at the end, the index last. Nothing is written where
 * the tables there were made of the same lifts.
 */
export async function writeStudyTables(disk: Disk, out: string, work: string, of: StudyTables): Promise<void> {
  const key = tablesKey(of);
  if (tablesAreThere(out, key)) return;
  const names: string[] = [];
  const toFile = async <T>(name: StudyFile, write: (sink: Appending) => T): Promise<Awaited<T>> => {
    const sink = disk.open(join(work, name));
    try {
      return await write(sink);
    } finally {
      sink.close();
      names.push(name);
    }
  };
  const { study, lifts, failures } = of;
  for (const name of APPENDED_TABLES) await toFile(name, (sink) => appendTables(sink, out, filesCalled(lifts, name)));
  await toFile('athletes.csv', (sink) => sink.append(csvOf(athletesTable(lifts.map(({ recording }) => recording)))));
  await toFile('recordings.csv', (sink) => sink.append(csvOf(recordingsTable(lifts))));
  const comparisons = await toFile('comparisons.csv', (sink) => appendComparisons(sink, out, lifts));
  const loads = await toFile('load-changes.csv', (sink) => appendLoadChanges(sink, out, lifts));
  const weeks = weeksOf(out, lifts);
  await toFile('weeks.csv', (sink) => sink.append(weeksCsv(weeks)));
  await toFile('week-changes.csv', (sink) => sink.append(weekChangesCsv(weeks)));
  for (const name of APPENDED_RECORDS) {
    const last = name === 'quality.json' ? { failures } : {};
    await toFile(name, (sink) => appendRecords(sink, out, study.id, filesCalled(lifts, name), last));
  }
  const index = studyReportHtml({
    id: study.id,
    title: study.title,
    synthetic: study.synthetic,
    toolVersion: toolVersion(),
    lifts: lifts.map(({ row, recording }) => ({ row, recording, report: `recordings/${row.recordingId}/report.html` })),
    failures,
    comparisons,
    loads,
    files: [...names],
  });
  await toFile(INDEX, (sink) => sink.append(index));
  const state = join(out, TABLES_STATE);
  exchange(disk, work, state, exactText({ key: '', files: [] } satisfies TablesState));
  const files = names.map((name) => ({ name, size: sizeOf(join(work, name)) }));
  for (const name of names) disk.rename(join(work, name), join(out, name));
  exchange(disk, work, state, exactText({ key, files } satisfies TablesState));
}

/** Which lifts the tables were made of; `key` '' while they are exchanged. */
interface TablesState {
  readonly key: string;
  readonly files: readonly { readonly name: string; readonly size: number }[];
}

function tablesKey({ study, lifts, failures }: StudyTables): string {
  const { id, title, synthetic } = study;
  const keys = lifts.map(({ recording, key }) => [recording.id, key]);
  return digestOf(JSON.stringify([toolDigest(), id, title, synthetic, keys, failures]));
}

function tablesAreThere(out: string, key: string): boolean {
  const state = readState<TablesState>(join(out, TABLES_STATE), ({ files }) => Array.isArray(files));
  return (
    state !== null &&
    state.key === key &&
    state.files.every(({ name, size }) => {
      const path = join(out, name);
      return (name === INDEX ? emptyIndexSize(path) : sizeOf(path)) === size;
    })
  );
}

/** Length of the index without what the figures of the whole study are put into it; −1 where it is no such page. */
function emptyIndexSize(path: string): number {
  if (!existsSync(path)) return -1;
  const empty = withCohort(readFileSync(path, 'utf8'), null);
  return empty === null ? -1 : Buffer.byteLength(empty, 'utf8');
}

/** The file of that name of every lift, as it was recorded. */
const filesCalled = (lifts: readonly ThereLift[], name: string): RecordedFile[] =>
  lifts.map(({ recording: { id }, digests }) => ({ id, name, sha256: digests[name] ?? '' }));

/** `{ study, recordings: […], …last }` as `jsonText` writes it, the recordings' own files between. */
function appendRecords(
  sink: Appending,
  out: string,
  study: string,
  files: readonly RecordedFile[],
  last: Readonly<Record<string, unknown>>,
): void {
  const opening = '{\n';
  sink.append(`${opening}  "study": ${JSON.stringify(study)},\n  "recordings": [`);
  files.forEach((file, i) => {
    const text = readRecorded(out, file).toString('utf8').trimEnd();
    sink.append(`${i > 0 ? ',' : ''}\n    ${text.replaceAll('\n', '\n    ')}`);
  });
  sink.append('\n  ]');
  sink.append(Object.keys(last).length > 0 ? `,\n${jsonText(last).slice(opening.length)}` : '\n}\n');
}
