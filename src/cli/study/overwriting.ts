import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Recording, Study } from '../../capture/recording.ts';
import { outputIsForeign, outputIsInput, outputOfAnother } from '../../messages/study-run.ts';
import { readCompletion, readState } from './completion.ts';
import { inputFiles } from './input-files.ts';
import { LIFT_FILES } from './lift-names.ts';
import type { LiftOptions } from './lift-options.ts';
import { COHORT_STATE, PROVENANCE, REPORT, recordingFolder, TABLES_STATE } from './places.ts';
import type { PlannedLift } from './planned-lifts.ts';
import { isInside } from './publish.ts';
import { COMPARISON_FILES } from './study-comparison.ts';
import { FIGURES_FILES } from './study-figures.ts';
import { APPENDED_RECORDS, APPENDED_TABLES, INDEX, WHOLE_TABLES } from './study-tables.ts';

/*
 * Before a run writes anything: nothing that it reads, and nothing that Kneeward did not write, stands where it will write. `--out`
 * is often the study's own folder, and raw points are often called frames.csv.
 */

export const STUDY_FILES: readonly string[] = [...APPENDED_TABLES, ...WHOLE_TABLES, ...APPENDED_RECORDS, INDEX];
export const COHORT_FILES: readonly string[] = [...COMPARISON_FILES, ...FIGURES_FILES];

export interface Overwriting {
  readonly study: Study;
  readonly options: LiftOptions;
  /** Folder of the study. */
  readonly out: string;
  readonly lifts: readonly PlannedLift[];
  /** Results of another study give way. */
  readonly takesOver: boolean;
}

/** Throws a DataError where a run of a study would write over a file that is not its own. */
export function refuseOverwriting({ study, options, out, lifts, takesOver }: Overwriting): void {
  const holder = holderOf(out);
  if (holder && !takesOver && (holder.kind === 'recording' || holder.id !== study.id)) {
    throw outputOfAnother(out, holder.kind, holder.id, 'study', study.id);
  }
  const inputs = new Inputs([
    study.file,
    ...lifts.flatMap(({ recording }) => [...namedFiles(recording), ...rulesOf(options, recording, study)]),
  ]);
  refuse(out, STUDY_FILES, inputs, () => isOwnOfStudy(out, TABLES_STATE));
  refuse(out, COHORT_FILES, inputs, () => isOwnOfStudy(out, COHORT_STATE));
  for (const { recording } of lifts) {
    const { id } = recording;
    const old =
      readCompletion(out, id)
        ?.files.map(({ name }) => name)
        .filter(isInside) ?? [];
    refuse(recordingFolder(out, id), [...new Set([...LIFT_FILES, ...old])], inputs, () => isOwnOfLift(out, id));
  }
}

/** The same for one recording that is analysed alone into `folder`. */
export function refuseOverwritingAlone(
  folder: string,
  recording: Recording,
  rules: string | null,
  names: readonly string[],
): void {
  const holder = holderOf(folder);
  if (holder?.kind === 'study') throw outputOfAnother(folder, 'study', holder.id, 'recording', recording.id);
  const inputs = new Inputs([...namedFiles(recording), ...(rules === null ? [] : [rules])]);
  refuse(folder, names, inputs, () => () => holder !== null);
}

type IsOwn = (name: string) => boolean;

/**
 * @param isOwn asked once a file is there: a run under way beside this one records a file before it writes it
 */
function refuse(folder: string, names: readonly string[], inputs: Inputs, isOwn: () => IsOwn): void {
  const there = names.filter((name) => isThere(join(folder, name)));
  if (there.length === 0) return;
  const own = isOwn();
  for (const name of there) {
    const path = join(folder, name);
    const input = inputs.named(path);
    if (input !== null) throw outputIsInput(path, input);
    if (!own(name)) throw outputIsForeign(path);
  }
}

/** By the record of a study's tables or figures. Where it has none (`analyse` keeps none, `.study` may be removed), provenance.json tells. */
function isOwnOfStudy(out: string, record: string): IsOwn {
  const state = readState<{ key: string; files: readonly { readonly name: string }[] }>(
    join(out, record),
    ({ files }) => Array.isArray(files),
  );
  // Without a key: a run was ended while it exchanged them.
  if (state === null || state.key === '') return () => state !== null || holderOf(out) !== null;
  const names = new Set(state.files.map(({ name }) => name));
  return (name) => names.has(name);
}

function isOwnOfLift(out: string, id: string): IsOwn {
  const completion = readCompletion(out, id);
  if (completion === null) return () => holderOf(recordingFolder(out, id)) !== null;
  const names = new Set([...completion.files.map(({ name }) => name), REPORT]);
  return (name) => names.has(name);
}

/** Whose results a folder holds, by the provenance.json that Kneeward wrote there; null where there is none. */
function holderOf(folder: string): { readonly kind: 'study' | 'recording'; readonly id: string } | null {
  try {
    const found = JSON.parse(readFileSync(join(folder, PROVENANCE), 'utf8')) as Record<string, unknown>;
    const { study, recordings, tool, recording_id: recording } = found;
    if (typeof study === 'string' && Array.isArray(recordings)) return { kind: 'study', id: study };
    return tool === 'kneeward' && typeof recording === 'string' ? { kind: 'recording', id: recording } : null;
  } catch {
    return null;
  }
}

/** Every file that a recording file names, read for its result or not. */
function namedFiles(recording: Recording): string[] {
  const { source } = recording;
  const videos = source.kind === 'views' ? source.views.flatMap(({ video }) => video ?? []) : [];
  return [...inputFiles(recording, null), ...videos];
}

const rulesOf = (options: LiftOptions, recording: Recording, study: Study): string[] =>
  [options.findings, recording.findings, study.findings].filter((file) => typeof file === 'string');

/** Files by what the system knows them by: a path that leads to them over a link counts too, and one in other letters. */
class Inputs {
  readonly #byPlace = new Map<string, string>();

  constructor(files: readonly string[]) {
    for (const file of new Set(files)) {
      const place = placeOf(file);
      if (place !== null) this.#byPlace.set(place, file);
    }
  }

  /** As the study or recording names it; null for a file that is no input. */
  named(path: string): string | null {
    return this.#byPlace.get(placeOf(path) ?? '') ?? null;
  }
}

function placeOf(path: string): string | null {
  const status = statusOf(path);
  return status && `${status.dev}:${status.ino}`;
}

/** A folder stands in the way too, but nothing is written over it: that is said where it fails. */
const isThere = (path: string): boolean => statusOf(path)?.isFile() ?? false;

function statusOf(path: string) {
  try {
    return statSync(path, { bigint: true, throwIfNoEntry: false }) ?? null;
  } catch {
    // A file where a folder must be, or no permission: writing there fails, and says why.
    return null;
  }
}
