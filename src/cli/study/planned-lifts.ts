import { dirname, relative } from 'node:path';
import type { Recording, Study } from '../../capture/recording.ts';
import { readRecordingFile } from '../../capture/recording-file.ts';
import { heldAgainst } from '../../report/previous-lift.ts';
import { type LiftOptions, overridesOf } from './lift-options.ts';

/** A recording that a study wants analysed. */
export interface PlannedLift {
  readonly file: string;
  /** As stated, with the settings and marks that study and command line lay over it. */
  readonly recording: Recording;
}

/** All recordings of a study by date, then by id: the order in which they were lifted. Only recording files are opened. */
export function plannedLifts(study: Study, options: LiftOptions): PlannedLift[] {
  const { findings: _, ...settings } = overridesOf(options);
  const order = ({ recording: { date, id } }: PlannedLift) => `${date ?? ''} ${id}`;
  return study.recordings
    .map((file): PlannedLift => {
      const read = readRecordingFile(file, study.settings, null);
      const recording = {
        ...read,
        synthetic: read.synthetic || study.synthetic,
        settings: { ...read.settings, ...settings },
      };
      return { file, recording };
    })
    .sort((a, b) => (order(a) < order(b) ? -1 : 1));
}

/** Path of a recording file as the study's tables name it. */
export const nameInStudy = (study: Study, file: string): string =>
  relative(dirname(study.file), file).replaceAll('\\', '/');

/**
 * Part `part` of `of`, both counted from 1: in the order of the ids every `of`-th recording from the `part`-th on. The parts
 * share nothing and together are all; which recordings a part has depends on nothing but the ids.
 */
export function partOf(lifts: readonly PlannedLift[], part: number, of: number): PlannedLift[] {
  const ids = lifts.map(({ recording }) => recording.id).sort();
  const place = new Map(ids.map((id, i) => [id, i]));
  return lifts.filter(({ recording }) => place.get(recording.id)! % of === part - 1);
}

/** For each lift that counts, the one its report is held against; null where there is none. */
export function previousOf(recordings: readonly Recording[]): Map<string, Recording | null> {
  const groups = new Map<string, { recording: Recording; means: []; scene: null }[]>();
  const keyOf = ({ athlete, lift }: Recording) => JSON.stringify([athlete.id, lift.kind]);
  for (const recording of recordings) {
    const key = keyOf(recording);
    groups.set(key, [...(groups.get(key) ?? []), { recording, means: [], scene: null }]);
  }
  return new Map(
    recordings.map((recording) => [
      recording.id,
      heldAgainst(recording, groups.get(keyOf(recording))!)?.recording ?? null,
    ]),
  );
}
