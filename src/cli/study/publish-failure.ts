import { dirname, join } from 'node:path';
import { removeIfEmpty } from '../write-files.ts';
import { type FailedLift, readCompletion } from './completion.ts';
import type { Disk } from './disk.ts';
import { LIFT_FILES } from './lift-names.ts';
import { COMPLETION, REPORT_STATE, recordingFolder } from './places.ts';
import { isInside, writeCompletion } from './publish.ts';

/** Codes of errors that tell nothing of what a file holds. */
const UNREACHABLE: ReadonlySet<string> = new Set(['file-missing', 'file-unreadable']);

/**
 * Records that a recording's files cannot be used, and takes away the result of their earlier contents: it would pass for one of those
 * that are there. Ended at any instant it leaves the old result, a recording marked as changing, or the record of the failure. Files
 * that are none of the result's are left alone: before a run begins, those by its names are known to be Kneeward's own.
 *
 * Where an input cannot be reached (a disk that is not there) nothing says that it changed: the result stays. Returns whether one does.
 */
export function publishFailure(
  disk: Disk,
  out: string,
  id: string,
  work: string,
  failure: Pick<FailedLift, 'key' | 'code' | 'message' | 'inStudy'>,
): boolean {
  const folder = recordingFolder(out, id);
  const files = readCompletion(out, id)?.files ?? [];
  if (UNREACHABLE.has(failure.code)) {
    writeCompletion(disk, out, id, work, { state: 'failed', ...failure, files });
    return files.length > 0;
  }
  const old = files.map(({ name }) => name);
  const names = [...new Set([...old, ...LIFT_FILES, REPORT_STATE])].filter(
    (name) => isInside(name) && name !== COMPLETION,
  );
  writeCompletion(disk, out, id, work, { state: 'changing', files: names.map((name) => ({ name })) });
  for (const name of names) disk.remove(join(folder, name));
  for (const place of new Set(names.map((name) => dirname(name))))
    if (place !== '.') removeIfEmpty(join(folder, place));
  writeCompletion(disk, out, id, work, { state: 'failed', ...failure, files: [] });
  return false;
}
