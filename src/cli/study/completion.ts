import { existsSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Grade } from '../../lift/grade.ts';
import type { SummaryRow } from '../../study/summary.ts';
import { exactText, exactValue } from './exact-json.ts';
import type { Ingredients } from './lift-key.ts';
import { COMPLETION, REPORT, REPORT_STATE, recordingFolder } from './places.ts';

/** A file of a recording's folder as it was written. */
export interface WrittenFile {
  /** Inside the folder, forward slashes. */
  readonly name: string;
  readonly size: number;
  readonly sha256: string;
}

export interface CompleteLift {
  readonly state: 'complete';
  readonly key: string;
  readonly of: Ingredients;
  /** All but this record and the report, which is written again when the previous lift changes. */
  readonly files: readonly WrittenFile[];
  readonly grade: Grade | null;
  readonly row: SummaryRow;
}

export interface FailedLift {
  readonly state: 'failed';
  readonly key: string;
  readonly code: string;
  /** As shown, and with the study's folder taken out of its paths. */
  readonly message: string;
  readonly inStudy: string;
  /** Of an earlier success, where an input cannot be reached; they are cleared away by the next success. */
  readonly files: readonly Pick<WrittenFile, 'name'>[];
}

/** Files are being exchanged: those there may belong to the old result or to the new one. */
export interface ChangingLift {
  readonly state: 'changing';
  readonly files: readonly Pick<WrittenFile, 'name'>[];
}

/**
 * The completion record of a recording. It is exchanged whole; before any file of a result is touched it says `changing`, and
 * it says `complete` only when every one is in its place.
 */
export type Completion = CompleteLift | FailedLift | ChangingLift;

export const completionText = (completion: Completion): string => exactText(completion);

/** null where there is none, or none that can be read: both mean that nothing is known of the folder. */
export function readCompletion(out: string, id: string): Completion | null {
  return readState<Completion>(
    join(recordingFolder(out, id), COMPLETION),
    (value) => ['complete', 'failed', 'changing'].includes(value.state) && Array.isArray(value.files),
  );
}

/** Which previous lift a report holds; `key` '' while it is exchanged, then of either size. */
export interface ReportState {
  readonly key: string;
  readonly sizes: readonly number[];
}

export function readReportState(out: string, id: string): ReportState | null {
  return readState<ReportState>(join(recordingFolder(out, id), REPORT_STATE), (value) => Array.isArray(value.sizes));
}

/** A record that the program wrote itself; null where it is absent or was damaged. */
export function readState<T extends object>(path: string, sound: (value: T) => boolean): T | null {
  if (!existsSync(path)) return null;
  try {
    const value = exactValue(readFileSync(path, 'utf8')) as T | null;
    return value !== null && typeof value === 'object' && sound(value) ? value : null;
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}

/** Whether every file of a complete lift is there and as long as it was written. */
export function filesAreThere(out: string, id: string, { files }: CompleteLift): boolean {
  const folder = recordingFolder(out, id);
  const sizes = readReportState(out, id)?.sizes ?? [];
  return (
    files.every(({ name, size }) => sizeOf(join(folder, name)) === size) && sizes.includes(sizeOf(join(folder, REPORT)))
  );
}

/** Bytes of a file; −1 where there is none. */
export function sizeOf(path: string): number {
  const status = statSync(path, { throwIfNoEntry: false });
  return status?.isFile() ? status.size : -1;
}
