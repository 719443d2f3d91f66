import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { removeIfEmpty } from '../write-files.ts';
import {
  type Completion,
  completionText,
  type ReportState,
  readCompletion,
  readReportState,
  sizeOf,
} from './completion.ts';
import { type Disk, exchange } from './disk.ts';
import { exactText } from './exact-json.ts';
import { LIFT_FILES } from './lift-names.ts';
import { COMPLETION, REPORT, REPORT_STATE, recordingFolder, recordingsFolder, STATE } from './places.ts';

/*
 * Results come into their place by renaming, in the one process that holds the lock: workers write into folders of their own,
 * which nobody reads, so that one that outlives its run can spoil nothing.
 */

/**
 * Moves a finished result from a work folder into the folder of its recording. Ended at any instant, it leaves the old
 * result, a recording marked as changing (which is analysed again), or the new result. Files that are none of the result's
 * are left alone; those of an older result that the new one lacks are removed, by its record and by their names: before a run begins,
 * files of these names are known to be Kneeward's own.
 *
 * @param work holds the files of `names` and the completion record
 */
export function publishLift(disk: Disk, out: string, id: string, work: string, names: readonly string[]): void {
  const folder = recordingFolder(out, id);
  const old = readCompletion(out, id)?.files ?? [];
  const all = [...new Set([...old.map(({ name }) => name), ...names, ...LIFT_FILES])].filter(isInside);
  for (const place of new Set([STATE, ...names.map((name) => dirname(name))])) disk.makeFolder(join(folder, place));
  writeCompletion(disk, out, id, work, { state: 'changing', files: all.map((name) => ({ name })) });
  for (const name of names) disk.rename(join(work, name), join(folder, name));
  for (const name of all) if (!names.includes(name)) disk.remove(join(folder, name));
  disk.rename(join(work, COMPLETION), join(folder, COMPLETION));
  disk.remove(work);
}

/** Writes the completion record of a lift, whole or not at all, by way of a work folder. */
export function writeCompletion(disk: Disk, out: string, id: string, work: string, completion: Completion): void {
  const folder = recordingFolder(out, id);
  disk.makeFolder(join(folder, STATE));
  exchange(disk, work, join(folder, COMPLETION), completionText(completion));
}

/** Puts a finished report in the place of the old one. Ended in between, it is only written once more. */
export function publishReport(disk: Disk, out: string, id: string, work: string, key: string): void {
  const folder = recordingFolder(out, id);
  const size = sizeOf(join(work, REPORT));
  const state = join(folder, REPORT_STATE);
  const write = (now: ReportState) => exchange(disk, work, state, exactText(now));
  write({ key: '', sizes: [...(readReportState(out, id)?.sizes ?? []), size] });
  disk.rename(join(work, REPORT), join(folder, REPORT));
  write({ key, sizes: [size] });
  disk.remove(work);
}

/** Takes away what only going on needs: the folder then holds results alone, and is gone where there are none. */
export function forgetState(disk: Disk, out: string, ids: readonly string[]): void {
  for (const id of ids) {
    disk.remove(join(recordingFolder(out, id), STATE));
    removeIfEmpty(recordingFolder(out, id));
  }
  disk.remove(join(out, STATE));
  removeIfEmpty(recordingsFolder(out));
  removeIfEmpty(out);
}

/** A name of a record in the output folder must not lead out of its recording, whoever wrote it. */
export const isInside = (name: string): boolean =>
  !/^([\\/]|[A-Za-z]:)/.test(name) && !name.split(/[\\/]/).includes('..');

export const textOf = (path: string): string => readFileSync(path, 'utf8');
